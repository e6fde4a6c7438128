/* The embedded image, the reading side: checks the whole image, as after a download. See image.h.
 */
#ifndef THIRSTLINE_IMAGE_VERIFY_H
#define THIRSTLINE_IMAGE_VERIFY_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_answer.h"
#include "lookup/embedded/image_texts.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Decodes all layers of a tile. */
static inline thirstline_image_status thirstline_image_verify_tile(
    const thirstline_image_search* search, const thirstline_tile_bytes* tile) {
    const thirstline_image* image = search->image;
    thirstline_block block;
    uint32_t number, step;
    thirstline_block_begin(&block, tile, image->tile_edge, 0, NULL);
    if (block.damaged || block.points == 0) return THIRSTLINE_IMAGE_DAMAGED;
    for (number = 0; number < image->layer_count; ++number) {
        const thirstline_image_layer* layer = &image->layers[number];
        const uint32_t steps = layer->is_of_points ? 1u : 12u;
        if (layer->part != search->part) continue;
        thirstline_layer_begin(
            &block, layer->is_of_points ? THIRSTLINE_SHAPE_POINT : THIRSTLINE_SHAPE_POINT_MONTH,
            layer->is_signed);
        for (step = 0; step < steps; ++step)
            (void)thirstline_layer_plane(&block, step, THIRSTLINE_BLOCK_SLOTS - 1u);
    }
    return thirstline_block_is_whole(&block) ? THIRSTLINE_IMAGE_OK : THIRSTLINE_IMAGE_DAMAGED;
}

static inline thirstline_image_status thirstline_image_verify_part(
    const thirstline_image_search* search) {
    thirstline_tile_bytes tile;
    uint32_t row, column;
    for (row = 0; row < search->tiling.tile_rows; ++row) {
        for (column = 0; column < search->tiling.tile_columns; ++column) {
            thirstline_image_status status = thirstline_image_tile(search, row, column, &tile);
            if (status == THIRSTLINE_IMAGE_OK && tile.size != 0)
                status = thirstline_image_verify_tile(search, &tile);
            if (status != THIRSTLINE_IMAGE_OK) return status;
        }
    }
    return THIRSTLINE_IMAGE_OK;
}

/* All blocks of postal codes: those of leaves in ascending order, as many as the head says. */
static inline thirstline_image_status thirstline_image_verify_codes(const thirstline_image* image) {
    char before[THIRSTLINE_IMAGE_LONGEST_CODE];
    uint32_t before_bytes = 0, block, codes = 0, at;
    for (block = 0; block < image->postal_blocks; ++block) {
        const int is_leaf = block < image->postal_leaves;
        thirstline_image_entries entries;
        const thirstline_image_status status =
            thirstline_image_postal_block(image, block, &entries);
        if (status != THIRSTLINE_IMAGE_OK) return status;
        if (!is_leaf) entries.next = 5; /* after the number of the first child */
        while (entries.left != 0) {
            if (!thirstline_image_next_entry(image, is_leaf, &entries))
                return THIRSTLINE_IMAGE_DAMAGED;
            if (!is_leaf) continue;
            if (thirstline_image_compared(&entries, before, before_bytes) < 0)
                return THIRSTLINE_IMAGE_DAMAGED;
            before_bytes = entries.code_bytes;
            for (at = 0; at < before_bytes; ++at) before[at] = (char)entries.code[at];
            ++codes;
        }
    }
    return codes == image->postal_codes ? THIRSTLINE_IMAGE_OK : THIRSTLINE_IMAGE_DAMAGED;
}

/* All squares of changes with elevation. */
static inline thirstline_image_status thirstline_image_verify_gradients(
    const thirstline_image* image) {
    thirstline_image_squares squares = {{0, 0, 0, 0}, 0, 0, 0, 0, 0, 0, 0};
    uint32_t lattice, number;
    for (lattice = 0; lattice < image->lattice_count; ++lattice) {
        thirstline_image_status status = thirstline_image_squares_of(image, lattice, &squares);
        if (status != THIRSTLINE_IMAGE_OK) return status;
        for (number = 0; number < squares.rows * squares.columns; ++number)
            if (thirstline_image_square(image, &squares, number, &status) == NULL) return status;
    }
    return THIRSTLINE_IMAGE_OK;
}

/* Reads and checks every tile, postal code and text, and all changes with elevation. Look-ups check
 * what they read even without it; use this for an image that has just been downloaded or written to
 * flash. The buffer of a callback must be large enough for all parts
 * (thirstline_image_buffer_bytes), else UNSUPPORTED. Returns OK, or the first failure. */
static inline thirstline_image_status thirstline_image_verify(const thirstline_image* image) {
    thirstline_image_search search;
    thirstline_image_status status;
    uint32_t offset, copied;
    search.image = image;
    for (search.number = 0; search.number < image->lattice_count; ++search.number) {
        search.lattice = &image->lattices[search.number];
        search.tiling = thirstline_image_tiling_of(search.lattice, image->tile_edge);
        for (search.part = 0; search.part < THIRSTLINE_IMAGE_PARTS; ++search.part) {
            if (search.lattice->directory[search.part] == 0) continue;
            status = thirstline_image_verify_part(&search);
            if (status != THIRSTLINE_IMAGE_OK) return status;
        }
    }
    status = thirstline_image_verify_codes(image);
    if (status != THIRSTLINE_IMAGE_OK) return status;
    for (offset = 0; offset < image->text_bytes; offset += THIRSTLINE_IMAGE_TEXT_BYTES) {
        status = thirstline_image_text(image, offset, NULL, 0, &copied);
        if (status != THIRSTLINE_IMAGE_OK) return status;
    }
    return thirstline_image_has_gradients(image) ? thirstline_image_verify_gradients(image)
                                                 : THIRSTLINE_IMAGE_OK;
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
