/* The embedded image, the reading side: looking up a position, and the nearest point if the
 * position's own cell has no data. See image.h. */
#ifndef THIRSTLINE_IMAGE_LOOK_UP_H
#define THIRSTLINE_IMAGE_LOOK_UP_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_answer.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Rounding changes chords by less than this, in 2^-30: the search continues this far beyond the
 * best. */
enum { THIRSTLINE_CHORD_ROUNDING = 1024 };

/* The nearest point found so far, and the limit of the search. */
typedef struct {
    thirstline_position_e7 from;
    thirstline_direction direction;
    uint64_t limit_squared;
    uint64_t squared; /* of the nearest; all ones if there is none yet */
    uint32_t row, column;
} thirstline_image_nearest;

static inline void thirstline_image_go_no_farther(thirstline_image_nearest* nearest,
                                                  uint64_t chord) {
    const uint64_t farthest = UINT64_C(3000000000); /* larger than any chord; its square fits */
    chord += THIRSTLINE_CHORD_ROUNDING;
    if (chord > farthest) chord = farthest;
    nearest->limit_squared = chord * chord;
}

/* The lattice's rows, or columns, in one of its tiles: from `first` on. `at` counts from the
 * lattice's first tile, whose first `before` ones are before the lattice. */
typedef struct {
    uint32_t first, count;
} thirstline_image_span;

static inline thirstline_image_span thirstline_image_span_of(uint32_t at, uint32_t tile_edge,
                                                             uint32_t before, uint32_t size) {
    thirstline_image_span span;
    uint32_t end = (at + 1u) * tile_edge - before;
    span.first = at == 0 ? 0u : at * tile_edge - before;
    if (end > size) end = size;
    span.count = end - span.first;
    return span;
}

/* Searches a tile's points: sets `*is_near` if any of them is within the limit, and updates the
 * nearest with data. */
static inline thirstline_image_status thirstline_image_look_into(
    const thirstline_image_search* search, uint32_t tile_row, uint32_t tile_column,
    thirstline_image_nearest* nearest, int* is_near) {
    const uint32_t tile_edge = search->image->tile_edge;
    const thirstline_image_span rows = thirstline_image_span_of(
        tile_row, tile_edge, search->tiling.row_offset % tile_edge, search->lattice->rows);
    const thirstline_image_span columns = thirstline_image_span_of(
        tile_column, tile_edge, search->tiling.column_offset % tile_edge, search->lattice->columns);
    thirstline_image_status status;
    thirstline_tile_bytes tile;
    uint8_t present[THIRSTLINE_ROW];
    uint32_t row, column;
    int is_read = 0;
    *is_near = 0;
    for (row = rows.first; row < rows.first + rows.count; ++row) {
        for (column = columns.first; column < columns.first + columns.count; ++column) {
            const uint64_t squared = thirstline_squared_chord(
                &nearest->direction, thirstline_position_of(search->lattice, row, column));
            const uint32_t chord = thirstline_chord(squared);
            if (squared > nearest->limit_squared) continue;
            *is_near = 1;
            if (!is_read) {
                status = thirstline_image_tile(search, tile_row, tile_column, &tile);
                if (status != THIRSTLINE_IMAGE_OK || tile.size == 0) return status;
                thirstline_tile_presence(&tile, tile_edge, present);
                is_read = 1;
            }
            if (!thirstline_has_bit(
                    present,
                    thirstline_image_place_of(&search->tiling, tile_edge, row, column).slot))
                continue;
            if (squared > nearest->squared ||
                thirstline_metres_of_chord(chord) > (int32_t)search->lattice->reach_m)
                continue;
            /* On a tie the southernmost, then the westernmost. */
            if (squared == nearest->squared &&
                (row > nearest->row || (row == nearest->row && column > nearest->column)))
                continue;
            nearest->squared = squared;
            nearest->row = row;
            nearest->column = column;
            thirstline_image_go_no_farther(nearest, (uint64_t)chord + 1u);
        }
    }
    return THIRSTLINE_IMAGE_OK;
}

/* Searches one direction along a row of tiles, starting at a tile, around the full circle if
   necessary. */
static inline thirstline_image_status thirstline_image_look_along(
    const thirstline_image_search* search, uint32_t tile_row, uint32_t tile_column, int eastward,
    thirstline_image_nearest* nearest) {
    const uint32_t tiles = search->tiling.tile_columns;
    uint32_t looked;
    int is_near;
    for (looked = 0; looked < tiles; ++looked) {
        const thirstline_image_status status =
            thirstline_image_look_into(search, tile_row, tile_column, nearest, &is_near);
        if (status != THIRSTLINE_IMAGE_OK || !is_near) return status;
        if (eastward)
            tile_column = tile_column + 1u < tiles ? tile_column + 1u : 0u;
        else
            tile_column = tile_column != 0 ? tile_column - 1u : tiles - 1u;
    }
    return THIRSTLINE_IMAGE_OK;
}

/* Whether a row of the lattice is near enough to search, at its point position north or south. */
static inline int thirstline_image_row_is_near(const thirstline_image_search* search, uint32_t row,
                                               const thirstline_image_nearest* nearest) {
    thirstline_position_e7 position = thirstline_position_of(search->lattice, row, 0);
    position.lon_e7 = nearest->from.lon_e7;
    return thirstline_squared_chord(&nearest->direction, position) <= nearest->limit_squared;
}

/* Sets the nearest point with data within reach: nearest->squared stays all ones if there is
 * none. */
static inline thirstline_image_status thirstline_image_find_nearest(
    const thirstline_image_search* search, thirstline_position_e7 position,
    thirstline_image_nearest* nearest) {
    const thirstline_image_lattice* lattice = search->lattice;
    const thirstline_image_tiling* tiling = &search->tiling;
    const uint32_t tile_edge = search->image->tile_edge;
    const thirstline_cell cell = thirstline_cell_of(lattice, position);
    const uint32_t last_row = lattice->rows - 1u;
    const uint32_t row = cell.row < 0                    ? 0u
                         : (uint32_t)cell.row > last_row ? last_row
                                                         : (uint32_t)cell.row;
    const int is_inside = cell.column >= 0 && cell.column < (int32_t)lattice->columns;
    const thirstline_image_place start = thirstline_image_place_of(
        tiling, tile_edge, row, is_inside ? (uint32_t)cell.column : lattice->columns - 1u);
    const uint32_t east_start =
        start.tile_column + 1u < tiling->tile_columns ? start.tile_column + 1u : 0u;
    uint32_t at, north;
    nearest->from = position;
    nearest->direction = thirstline_direction_of(position);
    nearest->squared = UINT64_MAX;
    nearest->row = nearest->column = 0;
    thirstline_image_go_no_farther(
        nearest, (((uint64_t)lattice->reach_m + 1u) << 30) / THIRSTLINE_EARTH_RADIUS_M + 1u);
    for (north = 0; north < 2; ++north) {
        for (at = start.tile_row + north; at < tiling->tile_rows; at += north ? 1u : 0u - 1u) {
            const thirstline_image_span rows = thirstline_image_span_of(
                at, tile_edge, tiling->row_offset % tile_edge, lattice->rows);
            thirstline_image_status status;
            if (at != start.tile_row &&
                !thirstline_image_row_is_near(
                    search, north ? rows.first : rows.first + rows.count - 1u, nearest))
                break;
            status = thirstline_image_look_along(search, at, start.tile_column, 0, nearest);
            if (status == THIRSTLINE_IMAGE_OK)
                status = thirstline_image_look_along(search, at, east_start, 1, nearest);
            if (status != THIRSTLINE_IMAGE_OK) return status;
        }
    }
    return THIRSTLINE_IMAGE_OK;
}

/* Makes the nearest point with data the only corner; NO_DATA if there is none within reach. */
THIRSTLINE_OUTLINE thirstline_image_status thirstline_image_nearest_as_corner(
    const thirstline_image_search* search, thirstline_image_answer* answer,
    thirstline_image_corners* corners) {
    thirstline_image_nearest nearest;
    thirstline_image_place place;
    uint32_t at;
    const thirstline_image_status status =
        thirstline_image_find_nearest(search, answer->at, &nearest);
    if (status != THIRSTLINE_IMAGE_OK) return status;
    if (nearest.squared == UINT64_MAX) return THIRSTLINE_IMAGE_NO_DATA;
    answer->at = thirstline_position_of(search->lattice, nearest.row, nearest.column);
    answer->distance_m = thirstline_metres_of_chord(thirstline_chord(nearest.squared));
    answer->is_interpolated = 0;
    place = thirstline_image_place_of(&search->tiling, search->image->tile_edge, nearest.row,
                                      nearest.column);
    thirstline_image_put_corner(corners, 0, &place);
    for (at = 0; at < THIRSTLINE_IMAGE_CORNERS; ++at) corners->weight[at] = at == 0 ? 1u : 0u;
    return THIRSTLINE_IMAGE_OK;
}

/* Number of layers of a part: 0 if there is no such part. */
static inline uint32_t thirstline_image_begin_answer(const thirstline_image* image, uint32_t part,
                                                     thirstline_image_answer* answer) {
    uint32_t at;
    answer->layer_count = 0;
    for (at = 0; at < THIRSTLINE_IMAGE_PART_LAYERS; ++at) answer->layers[at] = 0;
    for (at = 0; at < image->layer_count; ++at)
        if (image->layers[at].part == part) answer->layers[answer->layer_count++] = (uint8_t)at;
    for (at = 0; at < 2 * THIRSTLINE_IMAGE_VALUES; ++at) answer->words[at] = 0;
    for (at = 0; at < THIRSTLINE_IMAGE_VALUES; ++at) answer->corners_with[at] = 0;
    for (at = 0; at < image->lattice_count; ++at)
        if (part < THIRSTLINE_IMAGE_PARTS && image->lattices[at].directory[part] == 0)
            answer->layer_count = 0;
    return answer->layer_count;
}

/* As thirstline_image_look_up; also the lattice that answers, and its corners. */
static inline thirstline_image_status thirstline_image_search_for(
    const thirstline_image* image, thirstline_position_e7 position, uint32_t part,
    thirstline_image_answer* answer, thirstline_image_search* search,
    thirstline_image_corners* corners) {
    thirstline_image_status status = THIRSTLINE_IMAGE_NO_DATA;
    uint32_t round;
    if (position.lat_e7 < -THIRSTLINE_RIGHT_ANGLE_E7 ||
        position.lat_e7 > THIRSTLINE_RIGHT_ANGLE_E7 ||
        position.lon_e7 < -2 * THIRSTLINE_RIGHT_ANGLE_E7 ||
        position.lon_e7 >= 2 * THIRSTLINE_RIGHT_ANGLE_E7 ||
        thirstline_image_begin_answer(image, part, answer) == 0)
        return THIRSTLINE_IMAGE_BAD_ARGUMENT;
    search->image = image;
    search->part = part;
    answer->at = position;
    answer->distance_m = 0;
    answer->is_interpolated = 1;
    /* First searches each lattice for the position's cell, then each for its nearest point. */
    for (round = 0; round < 2; ++round) {
        for (search->number = 0; search->number < image->lattice_count; ++search->number) {
            search->lattice = &image->lattices[search->number];
            search->tiling = thirstline_image_tiling_of(search->lattice, image->tile_edge);
            status = THIRSTLINE_IMAGE_OK;
            if (round == 0)
                thirstline_image_corners_of(search, position, corners);
            else
                status = thirstline_image_nearest_as_corner(search, answer, corners);
            if (status == THIRSTLINE_IMAGE_OK)
                status = thirstline_image_add_corners(search, corners, answer);
            if (status == THIRSTLINE_IMAGE_OK) thirstline_image_finish(image, corners, answer);
            if (status != THIRSTLINE_IMAGE_NO_DATA) return status;
        }
    }
    return THIRSTLINE_IMAGE_NO_DATA;
}

/* Looks up a position: all values of a part, THIRSTLINE_IMAGE_MEANS and so on, to the last digit as
 * the database that the image was made from gives them. Returns OK, NO_DATA, BAD_ARGUMENT, or a
 * failure, after which `*answer` must not be used. */
static inline thirstline_image_status thirstline_image_look_up(const thirstline_image* image,
                                                               thirstline_position_e7 position,
                                                               uint32_t part,
                                                               thirstline_image_answer* answer) {
    thirstline_image_search search;
    thirstline_image_corners corners;
    return thirstline_image_search_for(image, position, part, answer, &search, &corners);
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
