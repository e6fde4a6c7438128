/* The embedded image, the reading side: the answer for a position. See image.h. */
#ifndef THIRSTLINE_IMAGE_ANSWER_H
#define THIRSTLINE_IMAGE_ANSWER_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_position.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { THIRSTLINE_IMAGE_VALUES = 12 * THIRSTLINE_IMAGE_PART_LAYERS, THIRSTLINE_IMAGE_CORNERS = 4 };
#define THIRSTLINE_IMAGE_MISSING INT32_MIN

/* The answer for a position. If the position's cell has no data, the answer is that of the nearest
 * point with data within the lattice's reach. */
typedef struct {
    thirstline_position_e7 at; /* the position asked for, or the nearest point used instead */
    int32_t distance_m;        /* to that point; 0 for a position among points with data */
    uint8_t is_interpolated;
    uint8_t layer_count;                          /* of the part */
    uint8_t layers[THIRSTLINE_IMAGE_PART_LAYERS]; /* their indices in image->layers */
    /* During a look-up: sums of weight * value in two words each, the lower first. Afterwards:
     * values by layer and month, see thirstline_image_value. */
    uint32_t words[2 * THIRSTLINE_IMAGE_VALUES];
    uint8_t
        corners_with[THIRSTLINE_IMAGE_VALUES]; /* which corners had the value: bit 0 the first */
} thirstline_image_answer;

/* The value for a month, 0 to 11, of one of the answer's layers, 0 to layer_count - 1: an integer
 * in 1 / (divisor * 100) of the layer's unit, or THIRSTLINE_IMAGE_MISSING. */
static inline int32_t thirstline_image_value(const thirstline_image_answer* answer, uint32_t layer,
                                             uint32_t month) {
    return thirstline_s32(answer->words[12u * layer + month]);
}

/* A point of a lattice: its tile, and its slot there, numbered as in the tile code. */
typedef struct {
    uint32_t tile_row, tile_column; /* from the lattice's first tile */
    uint32_t slot;
} thirstline_image_place;

static inline thirstline_image_place thirstline_image_place_of(
    const thirstline_image_tiling* tiling, uint32_t tile_edge, uint32_t row, uint32_t column) {
    thirstline_image_place place;
    row += tiling->row_offset;
    column += tiling->column_offset;
    place.tile_row = row / tile_edge - tiling->first_tile_row;
    place.tile_column = column / tile_edge - tiling->first_tile_column;
    place.slot = row % tile_edge * THIRSTLINE_ROW + column % tile_edge;
    return place;
}

/* A lattice being searched. */
typedef struct {
    const thirstline_image* image;
    const thirstline_image_lattice* lattice;
    uint32_t number; /* of the lattice */
    uint32_t part;
    thirstline_image_tiling tiling;
} thirstline_image_search;

/* A tile's bytes, checked, valid until others are requested: tile->size is 0 if the image has no
 * such tile. */
THIRSTLINE_OUTLINE thirstline_image_status
thirstline_image_tile(const thirstline_image_search* search, uint32_t tile_row,
                      uint32_t tile_column, thirstline_tile_bytes* tile) {
    const thirstline_image_source* source = &search->image->source;
    const uint32_t groups = thirstline_image_groups_along(search->tiling.tile_columns);
    const uint32_t group = search->lattice->directory[search->part] +
                           (tile_row * groups + tile_column / THIRSTLINE_IMAGE_GROUP_TILES) *
                               (uint32_t)THIRSTLINE_IMAGE_GROUP_BYTES;
    thirstline_image_status status;
    const uint8_t* bytes =
        thirstline_image_record(source, group, THIRSTLINE_IMAGE_GROUP_BYTES, &status);
    uint32_t offset, count, at, crc;
    tile->size = 0;
    if (bytes == NULL) return status;
    offset = thirstline_u32(bytes);
    for (at = 0;; ++at) {
        count = thirstline_u16(bytes + 4 + 2 * at);
        if (at == tile_column % THIRSTLINE_IMAGE_GROUP_TILES) break;
        if (offset > source->size || count > source->size - offset) return THIRSTLINE_IMAGE_DAMAGED;
        offset += count;
    }
    if (count == 0) return THIRSTLINE_IMAGE_OK;
    if (count <= THIRSTLINE_IMAGE_CRC_BYTES ||
        count > search->image->greatest_tile_bytes[search->part])
        return THIRSTLINE_IMAGE_DAMAGED;
    crc = thirstline_crc32_of_number(0, search->number << 8 | search->part);
    crc = thirstline_crc32_of_number(crc, tile_row);
    crc = thirstline_crc32_of_number(crc, tile_column);
    tile->memory = thirstline_image_checked_bytes(
        source, offset, count, (uint32_t)THIRSTLINE_READ_AHEAD - THIRSTLINE_IMAGE_CRC_BYTES, crc,
        &status);
    if (tile->memory == NULL) return status;
    tile->size = count - THIRSTLINE_IMAGE_CRC_BYTES;
    return THIRSTLINE_IMAGE_OK;
}

static inline int thirstline_has_bit(const uint8_t* rows, uint32_t slot) {
    return rows[slot / THIRSTLINE_ROW] >> slot % THIRSTLINE_ROW & 1;
}

/* The corners of a cell, or the single point used instead. */
typedef struct {
    uint32_t weight[THIRSTLINE_IMAGE_CORNERS]; /* 0: not used */
    uint32_t tile_row[2];                      /* of the southern and northern corners */
    uint32_t tile_column[2];                   /* of the western and eastern corners */
    uint8_t slot[THIRSTLINE_IMAGE_CORNERS];
    uint8_t used; /* of which there is data: bit 0 the first */
} thirstline_image_corners;

static inline void thirstline_image_put_corner(thirstline_image_corners* corners, uint32_t corner,
                                               const thirstline_image_place* place) {
    corners->tile_row[corner >> 1] = place->tile_row;
    corners->tile_column[corner & 1u] = place->tile_column;
    corners->slot[corner] = (uint8_t)place->slot;
}

/* Adds the current tile's values of the corners whose bit is set in `here`. */
static inline thirstline_image_status thirstline_image_add_tile(
    const thirstline_image_search* search, thirstline_block* block,
    const thirstline_image_corners* corners, uint32_t here, thirstline_image_answer* answer) {
    uint32_t number, step, corner;
    for (number = 0; number < answer->layer_count; ++number) {
        const thirstline_image_layer* layer = &search->image->layers[answer->layers[number]];
        const uint32_t steps = layer->is_of_points ? 1u : 12u;
        thirstline_layer_begin(
            block, layer->is_of_points ? THIRSTLINE_SHAPE_POINT : THIRSTLINE_SHAPE_POINT_MONTH,
            layer->is_signed);
        for (step = 0; step < steps; ++step) {
            const uint16_t* plane =
                thirstline_layer_plane(block, step, THIRSTLINE_BLOCK_SLOTS - 1u);
            const uint32_t at = 12u * number + thirstline_month_of_step(step);
            for (corner = 0; corner < THIRSTLINE_IMAGE_CORNERS; ++corner) {
                const uint32_t slot = corners->slot[corner];
                uint64_t sum;
                if ((here >> corner & 1u) == 0 || !thirstline_has_bit(block->has_value, slot))
                    continue;
                sum = (uint64_t)answer->words[2u * at + 1u] << 32 | answer->words[2u * at];
                sum += (uint64_t)corners->weight[corner] * plane[slot];
                answer->words[2u * at] = (uint32_t)sum;
                answer->words[2u * at + 1u] = (uint32_t)(sum >> 32);
                answer->corners_with[at] = (uint8_t)(answer->corners_with[at] | 1u << corner);
            }
        }
    }
    return thirstline_block_is_whole(block) ? THIRSTLINE_IMAGE_OK : THIRSTLINE_IMAGE_DAMAGED;
}

/* Converts sums to values: the weighted mean over the corners that have it, in hundredths, rounded,
 * halves away from zero. */
THIRSTLINE_OUTLINE void thirstline_image_finish(const thirstline_image* image,
                                                const thirstline_image_corners* corners,
                                                thirstline_image_answer* answer) {
    uint32_t at, corner;
    for (at = 0; at < THIRSTLINE_IMAGE_VALUES; ++at) {
        const uint64_t sum = (uint64_t)answer->words[2u * at + 1u] << 32 | answer->words[2u * at];
        uint32_t weight = 0;
        for (corner = 0; corner < THIRSTLINE_IMAGE_CORNERS; ++corner)
            if ((answer->corners_with[at] >> corner & 1) != 0) weight += corners->weight[corner];
        if (weight == 0) {
            answer->words[at] = (uint32_t)1 << 31; /* THIRSTLINE_IMAGE_MISSING */
        } else {
            const int is_signed = image->layers[answer->layers[at / 12u]].is_signed;
            const uint64_t middle = is_signed ? (uint64_t)weight << 15 : 0; /* represents 0 */
            const int is_negative = sum < middle;
            const uint64_t size = is_negative ? middle - sum : sum - middle;
            const uint32_t value = (uint32_t)((size * 100u + weight / 2u) / weight);
            answer->words[at] = is_negative ? 0u - value : value;
        }
    }
}

/* Sets those corners of the position's cell that are within the lattice. */
THIRSTLINE_OUTLINE void thirstline_image_corners_of(const thirstline_image_search* search,
                                                    thirstline_position_e7 position,
                                                    thirstline_image_corners* corners) {
    const thirstline_image_lattice* lattice = search->lattice;
    const thirstline_cell cell = thirstline_cell_of(lattice, position);
    thirstline_image_place place;
    uint32_t at;
    for (at = 0; at < THIRSTLINE_IMAGE_CORNERS; ++at) {
        const uint32_t north = at >> 1, east = at & 1u;
        const int32_t row = cell.row + (int32_t)north;
        int32_t column = cell.column + (int32_t)east;
        if (thirstline_image_wraps(lattice)) {
            if (column < 0) column += (int32_t)lattice->columns;
            if (column >= (int32_t)lattice->columns) column -= (int32_t)lattice->columns;
        }
        corners->weight[at] = 0;
        if (row < 0 || row >= (int32_t)lattice->rows || column < 0 ||
            column >= (int32_t)lattice->columns)
            continue;
        corners->weight[at] = (north ? cell.north_fraction : 32768u - cell.north_fraction) *
                              (east ? cell.east_fraction : 32768u - cell.east_fraction);
        place = thirstline_image_place_of(&search->tiling, search->image->tile_edge, (uint32_t)row,
                                          (uint32_t)column);
        thirstline_image_put_corner(corners, at, &place);
    }
}

/* Adds all corners that have data, tile by tile; NO_DATA if none has. */
THIRSTLINE_OUTLINE thirstline_image_status
thirstline_image_add_corners(const thirstline_image_search* search,
                             thirstline_image_corners* corners, thirstline_image_answer* answer) {
    thirstline_image_status status, result = THIRSTLINE_IMAGE_NO_DATA;
    thirstline_tile_bytes tile;
    thirstline_block block;
    uint32_t at, other, done = 0;
    corners->used = 0;
    for (at = 0; at < THIRSTLINE_IMAGE_CORNERS; ++at) {
        const uint32_t tile_row = corners->tile_row[at >> 1];
        const uint32_t tile_column = corners->tile_column[at & 1u];
        uint32_t here = 0;
        if (corners->weight[at] == 0 || (done >> at & 1u) != 0) continue;
        status = thirstline_image_tile(search, tile_row, tile_column, &tile);
        if (status != THIRSTLINE_IMAGE_OK) return status;
        if (tile.size != 0)
            thirstline_block_begin(&block, &tile, search->image->tile_edge, 0, NULL);
        for (other = at; other < THIRSTLINE_IMAGE_CORNERS; ++other) {
            if (corners->weight[other] == 0 || corners->tile_row[other >> 1] != tile_row ||
                corners->tile_column[other & 1u] != tile_column)
                continue;
            done |= 1u << other;
            if (tile.size != 0 && thirstline_has_bit(block.present, corners->slot[other]))
                here |= 1u << other;
        }
        if (tile.size != 0 && (block.damaged || block.points == 0)) return THIRSTLINE_IMAGE_DAMAGED;
        if (here == 0) continue;
        corners->used = (uint8_t)(corners->used | here);
        status = thirstline_image_add_tile(search, &block, corners, here, answer);
        if (status != THIRSTLINE_IMAGE_OK) return status;
        result = THIRSTLINE_IMAGE_OK;
    }
    return result;
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
