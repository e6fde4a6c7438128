/* The embedded image, the reading side: its contents and their offsets. See image.h. */
#ifndef THIRSTLINE_IMAGE_HEAD_H
#define THIRSTLINE_IMAGE_HEAD_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_source.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Firmware for images of one lattice may define it as 1, which saves 36 bytes for each of the
   others. */
#ifndef THIRSTLINE_IMAGE_LATTICES
#define THIRSTLINE_IMAGE_LATTICES 4
#endif

enum {
    THIRSTLINE_IMAGE_MAJOR = 1,
    THIRSTLINE_IMAGE_LAYERS = 8,
    THIRSTLINE_IMAGE_PARTS = 4,
    THIRSTLINE_IMAGE_PART_LAYERS = 2,
    THIRSTLINE_IMAGE_FIXED_BYTES = 64,
    THIRSTLINE_IMAGE_LAYER_BYTES = 8,
    THIRSTLINE_IMAGE_LATTICE_BYTES = 40,
    THIRSTLINE_IMAGE_GROUP_TILES = 8,
    THIRSTLINE_IMAGE_GROUP_BYTES = 24
};

/* Layers are read by part: all layers of a part together. */
enum {
    THIRSTLINE_IMAGE_MEANS = 0,           /* eto in mm/day, rain in mm per month */
    THIRSTLINE_IMAGE_STANDARD_ERRORS = 1, /* of these, in the same units */
    THIRSTLINE_IMAGE_TEMPERATURES = 2,    /* mean daily maximum and minimum in degrees Celsius */
    THIRSTLINE_IMAGE_ELEVATION = 3        /* in metres; the same in every month */
};

/* A layer: a value is its integer / (divisor * 100). */
typedef struct {
    uint16_t divisor; /* 1 to 10000 */
    uint8_t id;       /* 1 eto, 2 rain, 3 eto_se, 4 rain_se, 5 tmax, 6 tmin, 9 elevation */
    uint8_t part;
    uint8_t is_of_points; /* one value per point, not twelve */
    uint8_t is_signed;
} thirstline_image_layer;

/* As in the database: points at south + row * spacing, west + column * spacing, in arc-seconds. */
typedef struct {
    int32_t west_arcsec, south_arcsec;
    uint32_t spacing_arcsec;
    uint32_t columns, rows;
    uint32_t reach_m;
    uint32_t directory[THIRSTLINE_IMAGE_PARTS]; /* offset; 0 if there is no such part */
} thirstline_image_lattice;

/* An open image. All state is here and in the caller's buffer: one thread at a time. Its members
 * are private to these headers, except `layers` and those marked as public. */
typedef struct {
    thirstline_image_source source;
    uint16_t minor; /* of the format's version; public */
    uint16_t greatest_tile_bytes[THIRSTLINE_IMAGE_PARTS];
    uint8_t tile_edge;
    uint8_t lattice_count; /* searched in this order */
    uint8_t layer_count;   /* public, as are the layers */
    uint8_t postal_levels;
    uint8_t position_bytes;
    uint8_t flags;
    uint32_t position_unit_e7;
    uint32_t postal_codes; /* their number; public */
    uint32_t postal_offset, postal_blocks, postal_leaves;
    uint32_t text_offset;
    uint32_t text_bytes, notice_bytes; /* public */
    thirstline_image_layer layers[THIRSTLINE_IMAGE_LAYERS];
    thirstline_image_lattice lattices[THIRSTLINE_IMAGE_LATTICES];
} thirstline_image;

/* How a lattice's points fall into tiles, which are anchored at 90 S 180 W. */
typedef struct {
    uint32_t row_offset, column_offset; /* the first point's, on the global grid of this spacing */
    uint32_t first_tile_row, first_tile_column;
    uint32_t tile_rows, tile_columns;
} thirstline_image_tiling;

static inline thirstline_image_tiling thirstline_image_tiling_of(
    const thirstline_image_lattice* lattice, uint32_t tile_edge) {
    thirstline_image_tiling tiling;
    tiling.row_offset = (uint32_t)(lattice->south_arcsec + 324000) / lattice->spacing_arcsec;
    tiling.column_offset = (uint32_t)(lattice->west_arcsec + 648000) / lattice->spacing_arcsec;
    tiling.first_tile_row = tiling.row_offset / tile_edge;
    tiling.first_tile_column = tiling.column_offset / tile_edge;
    tiling.tile_rows =
        (tiling.row_offset + lattice->rows - 1u) / tile_edge - tiling.first_tile_row + 1u;
    tiling.tile_columns =
        (tiling.column_offset + lattice->columns - 1u) / tile_edge - tiling.first_tile_column + 1u;
    return tiling;
}

static inline uint32_t thirstline_image_groups_along(uint32_t tile_columns) {
    return (tile_columns + THIRSTLINE_IMAGE_GROUP_TILES - 1u) / THIRSTLINE_IMAGE_GROUP_TILES;
}

/* Whether a section of `count` records is within the image. */
static inline int thirstline_image_holds(const thirstline_image* image, uint32_t offset,
                                         uint32_t count, uint32_t record_bytes) {
    return offset <= image->source.size && count <= (image->source.size - offset) / record_bytes;
}

/* Whether the columns form a full circle. */
static inline int thirstline_image_wraps(const thirstline_image_lattice* lattice) {
    return lattice->columns * lattice->spacing_arcsec == 1296000u;
}

static inline int thirstline_image_lattice_is_sound(const thirstline_image* image,
                                                    const thirstline_image_lattice* lattice) {
    thirstline_image_tiling tiling;
    uint32_t part;
    if (lattice->west_arcsec < -648000 || lattice->west_arcsec > 647999 ||
        lattice->south_arcsec < -324000 || lattice->south_arcsec > 324000 ||
        lattice->spacing_arcsec < 1 || lattice->spacing_arcsec > 36000 || lattice->columns < 1 ||
        lattice->rows < 1 || lattice->reach_m > 20000000 || lattice->directory[0] == 0)
        return 0;
    if (lattice->columns - 1u > 1295999u / lattice->spacing_arcsec ||
        lattice->rows - 1u > (uint32_t)(324000 - lattice->south_arcsec) / lattice->spacing_arcsec)
        return 0;
    tiling = thirstline_image_tiling_of(lattice, image->tile_edge);
    for (part = 0; part < THIRSTLINE_IMAGE_PARTS; ++part) {
        if (lattice->directory[part] != 0 &&
            !thirstline_image_holds(image, lattice->directory[part], tiling.tile_rows,
                                    thirstline_image_groups_along(tiling.tile_columns) *
                                        (uint32_t)THIRSTLINE_IMAGE_GROUP_BYTES))
            return 0;
    }
    return 1;
}

/* Whether an image of any version begins here: THIRSTLINE_IMAGE_FIXED_BYTES bytes. */
static inline int thirstline_image_begins(const uint8_t* bytes) {
    static const uint8_t magic[8] = {'T', 'h', 'L', 'i', 'm', 'g', '\r', '\n'};
    uint32_t at;
    for (at = 0; at < sizeof magic; ++at)
        if (bytes[at] != magic[at]) return 0;
    return 1;
}

/* The size of an image in bytes, from its first THIRSTLINE_IMAGE_FIXED_BYTES: for a source of which
 * only the beginning is known, such as a partition of flash. 0 if no image of this major version
 * begins there. The number is checked only by thirstline_image_open: compare it with the room. */
static inline uint32_t thirstline_image_size(const uint8_t* bytes) {
    if (!thirstline_image_begins(bytes) || thirstline_u16(bytes + 8) != THIRSTLINE_IMAGE_MAJOR)
        return 0;
    return thirstline_u32(bytes + 12);
}

static inline thirstline_image_status thirstline_image_read_fixed(thirstline_image* image,
                                                                  const uint8_t* bytes) {
    uint32_t at;
    if (!thirstline_image_begins(bytes)) return THIRSTLINE_IMAGE_DAMAGED;
    if (thirstline_u16(bytes + 8) != THIRSTLINE_IMAGE_MAJOR) return THIRSTLINE_IMAGE_UNSUPPORTED;
    image->minor = (uint16_t)thirstline_u16(bytes + 10);
    if (thirstline_u32(bytes + 12) != image->source.size) return THIRSTLINE_IMAGE_DAMAGED;
    image->tile_edge = bytes[18];
    image->lattice_count = bytes[19];
    image->layer_count = bytes[20];
    image->postal_levels = bytes[21];
    image->position_bytes = bytes[22];
    image->flags = bytes[23];
    image->position_unit_e7 = thirstline_u32(bytes + 24);
    image->postal_codes = thirstline_u32(bytes + 28);
    image->postal_offset = thirstline_u32(bytes + 32);
    image->postal_blocks = thirstline_u32(bytes + 36);
    image->postal_leaves = thirstline_u32(bytes + 40);
    image->text_offset = thirstline_u32(bytes + 44);
    image->text_bytes = thirstline_u32(bytes + 48);
    image->notice_bytes = thirstline_u32(bytes + 52);
    for (at = 0; at < THIRSTLINE_IMAGE_PARTS; ++at)
        image->greatest_tile_bytes[at] = (uint16_t)thirstline_u16(bytes + 56 + 2 * at);
    return THIRSTLINE_IMAGE_OK;
}

/* Bytes of text in a block, besides one byte for their number and four for the checksum. */
enum { THIRSTLINE_IMAGE_TEXT_BYTES = THIRSTLINE_IMAGE_BLOCK_BYTES - 5 };

static inline uint32_t thirstline_image_text_blocks(const thirstline_image* image) {
    return image->text_bytes / THIRSTLINE_IMAGE_TEXT_BYTES +
           (image->text_bytes % THIRSTLINE_IMAGE_TEXT_BYTES != 0 ? 1u : 0u);
}

/* Where the texts end, and the changes with elevation begin, if there are any. */
static inline uint32_t thirstline_image_texts_end(const thirstline_image* image) {
    return image->text_offset +
           thirstline_image_text_blocks(image) * (uint32_t)THIRSTLINE_IMAGE_BLOCK_BYTES;
}

/* Whether answers can be adjusted to a site's own elevation. */
static inline int thirstline_image_has_gradients(const thirstline_image* image) {
    return image->minor >= 1 && (image->flags & 1u) != 0;
}

static inline int thirstline_image_head_is_sound(const thirstline_image* image) {
    const uint32_t text_blocks = thirstline_image_text_blocks(image);
    if (image->tile_edge < 2 || image->tile_edge > THIRSTLINE_BLOCK_EDGE ||
        image->lattice_count == 0 || image->layer_count == 0)
        return 0;
    if (image->text_bytes == 0 || image->notice_bytes > image->text_bytes ||
        !thirstline_image_holds(image, image->text_offset, text_blocks,
                                THIRSTLINE_IMAGE_BLOCK_BYTES))
        return 0;
    if (image->postal_codes == 0) return image->postal_blocks == 0 && image->postal_leaves == 0;
    return image->position_bytes >= 2 && image->position_bytes <= 4 &&
           image->position_unit_e7 >= 1 && image->postal_leaves >= 1 &&
           image->postal_leaves <= image->postal_blocks && image->postal_levels <= 8 &&
           (image->postal_levels == 0) == (image->postal_blocks == 1) &&
           thirstline_image_holds(image, image->postal_offset, image->postal_blocks,
                                  THIRSTLINE_IMAGE_BLOCK_BYTES);
}

static inline int thirstline_image_read_layer(thirstline_image* image, uint32_t number,
                                              const uint8_t* bytes) {
    thirstline_image_layer* layer = &image->layers[number];
    uint32_t before, of_part = 0;
    layer->id = bytes[0];
    layer->part = bytes[1];
    layer->is_of_points = bytes[2];
    layer->is_signed = bytes[3];
    layer->divisor = (uint16_t)thirstline_u16(bytes + 4);
    if (layer->id == 0 || layer->part >= THIRSTLINE_IMAGE_PARTS || layer->is_of_points > 1 ||
        layer->is_signed > 1 || layer->divisor < 1 || layer->divisor > 10000)
        return 0;
    for (before = 0; before < number; ++before) {
        if (image->layers[before].part > layer->part || image->layers[before].id >= layer->id)
            return 0;
        if (image->layers[before].part == layer->part) ++of_part;
    }
    return of_part < THIRSTLINE_IMAGE_PART_LAYERS && (number != 0 || layer->part == 0);
}

static inline void thirstline_image_read_lattice(thirstline_image_lattice* lattice,
                                                 const uint8_t* bytes) {
    uint32_t part;
    lattice->west_arcsec = thirstline_s32(thirstline_u32(bytes));
    lattice->south_arcsec = thirstline_s32(thirstline_u32(bytes + 4));
    lattice->spacing_arcsec = thirstline_u32(bytes + 8);
    lattice->columns = thirstline_u32(bytes + 12);
    lattice->rows = thirstline_u32(bytes + 16);
    lattice->reach_m = thirstline_u32(bytes + 20);
    for (part = 0; part < THIRSTLINE_IMAGE_PARTS; ++part)
        lattice->directory[part] = thirstline_u32(bytes + 24 + 4 * part);
}

/* Opens an image and checks its head; tiles, postal codes and texts are checked when they are read.
 * `source` is copied; what it points to must exist as long as the image is used. Returns OK,
 * DAMAGED, UNREADABLE, or UNSUPPORTED: a newer major version, more lattices than
 * THIRSTLINE_IMAGE_LATTICES, tiles larger than THIRSTLINE_ROW, a buffer too small for the means. */
static inline thirstline_image_status thirstline_image_open(thirstline_image* image,
                                                            const thirstline_image_source* source) {
    thirstline_image_status status;
    const uint8_t* bytes;
    uint32_t at, offset, crc, head_bytes;
    image->source = *source;
    bytes = thirstline_image_bytes(source, 0, THIRSTLINE_IMAGE_FIXED_BYTES, 0, &status);
    if (bytes == NULL) return status;
    status = thirstline_image_read_fixed(image, bytes);
    if (status != THIRSTLINE_IMAGE_OK) return status;
    head_bytes = thirstline_u16(bytes + 16);
    crc = thirstline_crc32(0, bytes, THIRSTLINE_IMAGE_FIXED_BYTES);
    if (head_bytes != THIRSTLINE_IMAGE_FIXED_BYTES +
                          (uint32_t)image->layer_count * THIRSTLINE_IMAGE_LAYER_BYTES +
                          (uint32_t)image->lattice_count * THIRSTLINE_IMAGE_LATTICE_BYTES +
                          THIRSTLINE_IMAGE_CRC_BYTES ||
        !thirstline_image_head_is_sound(image))
        return THIRSTLINE_IMAGE_DAMAGED;
    if (image->tile_edge > THIRSTLINE_ROW || image->layer_count > THIRSTLINE_IMAGE_LAYERS ||
        image->lattice_count > THIRSTLINE_IMAGE_LATTICES)
        return THIRSTLINE_IMAGE_UNSUPPORTED;
    offset = THIRSTLINE_IMAGE_FIXED_BYTES;
    for (at = 0; at < image->layer_count; ++at, offset += THIRSTLINE_IMAGE_LAYER_BYTES) {
        bytes = thirstline_image_bytes(source, offset, THIRSTLINE_IMAGE_LAYER_BYTES, 0, &status);
        if (bytes == NULL) return status;
        crc = thirstline_crc32(crc, bytes, THIRSTLINE_IMAGE_LAYER_BYTES);
        if (!thirstline_image_read_layer(image, at, bytes)) return THIRSTLINE_IMAGE_DAMAGED;
    }
    for (at = 0; at < image->lattice_count; ++at, offset += THIRSTLINE_IMAGE_LATTICE_BYTES) {
        bytes = thirstline_image_bytes(source, offset, THIRSTLINE_IMAGE_LATTICE_BYTES, 0, &status);
        if (bytes == NULL) return status;
        crc = thirstline_crc32(crc, bytes, THIRSTLINE_IMAGE_LATTICE_BYTES);
        thirstline_image_read_lattice(&image->lattices[at], bytes);
        if (!thirstline_image_lattice_is_sound(image, &image->lattices[at]))
            return THIRSTLINE_IMAGE_DAMAGED;
    }
    bytes = thirstline_image_bytes(source, offset, THIRSTLINE_IMAGE_CRC_BYTES, 0, &status);
    if (bytes == NULL) return status;
    return thirstline_checksums_agree(crc, thirstline_u32(bytes)) ? THIRSTLINE_IMAGE_OK
                                                                  : THIRSTLINE_IMAGE_DAMAGED;
}

/* The buffer size that the callback needs for this part; at least 256, for codes and texts. */
static inline uint32_t thirstline_image_buffer_bytes(const thirstline_image* image, uint32_t part) {
    const uint32_t greatest = part < THIRSTLINE_IMAGE_PARTS ? image->greatest_tile_bytes[part] : 0u;
    const uint32_t tile = greatest + (uint32_t)THIRSTLINE_READ_AHEAD - THIRSTLINE_IMAGE_CRC_BYTES;
    return tile > THIRSTLINE_IMAGE_BLOCK_BYTES ? tile : (uint32_t)THIRSTLINE_IMAGE_BLOCK_BYTES;
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
