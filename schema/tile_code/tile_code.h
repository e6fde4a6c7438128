/* Codec 1 of a tile, the reading side: C99 (and C++), one header, integers only. It allocates
 * nothing, does not recurse, keeps 1.3 KB of state, and checks every read against the end of the
 * bytes. Desktop, page and firmware all read with this code. TILE_CODE.md describes the code,
 * section by section in the order of this file.
 *
 * A tile is read block by block: at most 8 x 8 points. Within a block, planes are read in the order
 * in which they were written (a plane is one month of a layer). A reader can stop when it has the
 * planes that it needs.
 *
 *     thirstline_block block;
 *     thirstline_block_begin(&block, &bytes, tile_edge, which, NULL);
 *     for each layer by ascending id:
 *         thirstline_layer_begin(&block, shape, is_signed);
 *         tile_month:   thirstline_layer_tile_months(&block, twelve);
 *         otherwise:    for each step: thirstline_layer_plane(&block, step, last_slot);
 *     block.damaged is set if the bytes cannot be a valid tile.
 *
 * Values are 16 bits: the integer itself in an unsigned layer, integer + 32768 in a signed one. For
 * any bytes, a read ends, stays within bounds, and gives some value or `damaged`; only the tile's
 * checksum shows that the values are the writer's.
 *
 * The entropy code is rANS: J. Duda, "Asymmetric numeral systems: entropy coding combining speed of
 * Huffman coding with compression rate of arithmetic coding", arXiv:1311.2540 (2013), with two
 * states in turn as in F. Giesen, "Interleaved entropy coders", arXiv:1402.3392 (2014). The median
 * edge detector is that of LOCO-I: M. Weinberger, G. Seroussi and G. Sapiro, IEEE Transactions on
 * Image Processing 9 (2000) 1309-1324.
 *
 * Thread safety: all state is in the caller's `thirstline_block`. */
#ifndef THIRSTLINE_TILE_CODE_H
#define THIRSTLINE_TILE_CODE_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "schema/tile_code/tile_code_bytes.h"
#include "schema/tile_code/tile_code_prediction.h"
#include "schema/tile_code/tile_code_residuals.h"
#include "schema/tile_code/tile_code_tables.h"

#ifdef __cplusplus
extern "C" {
#endif

/* How a layer's planes are stored in the tile. */
enum {
    THIRSTLINE_LAYER_WHOLE = 0,     /* every point has a value in every plane */
    THIRSTLINE_LAYER_STEADY = 1,    /* the same, and all planes equal the first */
    THIRSTLINE_LAYER_ABSENT = 2,    /* no point has a value */
    THIRSTLINE_LAYER_PERFORATED = 3 /* each plane has flags for the points that lack a value */
};

typedef enum {
    THIRSTLINE_SHAPE_POINT_MONTH = 0,
    THIRSTLINE_SHAPE_POINT = 1,
    THIRSTLINE_SHAPE_TILE_MONTH = 2
} thirstline_shape;

typedef struct {
    thirstline_bit_reader head;
    thirstline_byte_reader stream;
#ifndef THIRSTLINE_SMALL
    /* From thirstline_fill_quick_tables, for speed; or null. */
    const thirstline_quick_table* quick;
#endif
    uint32_t state, state_in_turn; /* of the entropy decoder; they swap after every symbol */
    uint16_t points_before, points, points_after; /* with data: in blocks before, this, after */
    uint32_t corner_error;                        /* of the last corner */
    uint8_t blocks, block; /* that have points; the index of this one among them */
    uint8_t previous_class, previous_predictor;
    uint8_t corner_parameter;
    uint8_t layers_before; /* layers with planes read so far, at most 2 */
    uint8_t width, height; /* of the block */
    uint8_t damaged;
    uint8_t form; /* of the layer: THIRSTLINE_LAYER_... */
    uint8_t is_signed;
    uint8_t present[THIRSTLINE_ROW];   /* row by row, column c is bit c: points with data */
    uint8_t has_value[THIRSTLINE_ROW]; /* ... that have a value in the last plane read */
    /* January, April, July, October, the other two months of the current quarter, and the first
       layer's first plane. */
    uint16_t planes[THIRSTLINE_PLANES][THIRSTLINE_PLANE_VALUES];
#ifndef THIRSTLINE_SMALL
    thirstline_outer_columns outer_columns;
#endif
} thirstline_block;
/* --- presence of points ------------------------------------------------------------------- */

/* Blocks along the side of a tile, and points along the side of all blocks except the last. */
static inline uint32_t thirstline_blocks_along(uint32_t tile_edge) {
    return (tile_edge + THIRSTLINE_BLOCK_EDGE - 1u) / THIRSTLINE_BLOCK_EDGE;
}
static inline uint32_t thirstline_block_edge(uint32_t tile_edge) {
    const uint32_t along = thirstline_blocks_along(tile_edge);
    return (tile_edge + along - 1u) / along;
}
/* Points along the side of block number `at` in its row or column. */
static inline uint32_t thirstline_block_side(uint32_t tile_edge, uint32_t at) {
    const uint32_t edge = thirstline_block_edge(tile_edge);
    const uint32_t left = tile_edge - at * edge;
    return left < edge ? left : edge;
}

/* One block's part of the head: two bits if none or all points are present, or one bit per point.
   Returns the number of points. */
THIRSTLINE_OUTLINE uint32_t thirstline_read_presence(thirstline_bit_reader* head, uint32_t width,
                                                     uint32_t height, uint8_t* rows) {
    const uint32_t all = thirstline_bits(head, 1);
    const uint32_t none = all != 0 ? 0u : thirstline_bits(head, 1);
    uint32_t points = 0;
    uint32_t row, column;
    for (row = 0; row < THIRSTLINE_ROW; ++row) rows[row] = 0;
    for (row = 0; row < height; ++row) {
        rows[row] = (uint8_t)(all != 0    ? ((uint32_t)1 << width) - 1u
                              : none != 0 ? 0u
                                          : thirstline_bits(head, width));
        for (column = 0; column < width; ++column) points += (uint32_t)rows[row] >> column & 1u;
    }
    return points;
}

/* The points present in a tile of one block: row by row, column c is bit c. */
static inline void thirstline_tile_presence(const thirstline_tile_bytes* source, uint32_t tile_edge,
                                            uint8_t present[THIRSTLINE_ROW]) {
    thirstline_bit_reader head;
    head.buffer = head.buffer_bits = 0;
    thirstline_read_from(&head.bytes, source, 0, source->size);
    thirstline_read_presence(&head, tile_edge, tile_edge, present);
}

/* Reads the first part of the head and prepares to read the planes of block `which`, in row which /
 * blocks_along and column which % blocks_along. If the block has no points (block->points == 0),
 * read nothing more. */
static inline void thirstline_block_begin(thirstline_block* block,
                                          const thirstline_tile_bytes* source, uint32_t tile_edge,
                                          uint32_t which, const thirstline_quick_table* quick) {
#if THIRSTLINE_ROW == 8
    const uint32_t along = thirstline_blocks_along(tile_edge);
    uint8_t others[THIRSTLINE_ROW];
#endif
    uint32_t row, column, from = 0, length = 0;
    block->points = block->points_before = block->points_after = 0;
    block->blocks = block->block = block->width = block->height = 0;
    block->damaged = 0;
    block->layers_before = 0;
    for (row = 0; row < THIRSTLINE_PLANES; ++row)
        for (column = 0; column < THIRSTLINE_PLANE_VALUES; ++column) block->planes[row][column] = 0;
#ifdef THIRSTLINE_SMALL
    (void)quick;
#else
    block->quick = quick;
#endif
    block->previous_class = THIRSTLINE_FIRST_CLASS;
    block->previous_predictor = 0;
    block->head.buffer = block->head.buffer_bits = 0;
    thirstline_read_from(&block->head.bytes, source, 0, source->size);
#if THIRSTLINE_ROW < 8 /* tiles have one block only */
    block->width = block->height = (uint8_t)tile_edge;
    block->points =
        (uint16_t)thirstline_read_presence(&block->head, tile_edge, tile_edge, block->present);
    block->blocks = block->points != 0;
    (void)which;
#else
    for (row = 0; row < along; ++row) {
        for (column = 0; column < along; ++column) {
            const int is_this = row * along + column == which;
            const uint32_t width = thirstline_block_side(tile_edge, column);
            const uint32_t height = thirstline_block_side(tile_edge, row);
            const uint32_t points = thirstline_read_presence(&block->head, width, height,
                                                             is_this ? block->present : others);
            if (is_this) {
                block->points = (uint16_t)points;
                block->block = block->blocks;
                block->width = (uint8_t)width;
                block->height = (uint8_t)height;
            } else if (row * along + column < which) {
                block->points_before = (uint16_t)(block->points_before + points);
            } else {
                block->points_after = (uint16_t)(block->points_after + points);
            }
            if (points != 0) ++block->blocks;
        }
    }
#endif
    if (thirstline_bits_ran_out(&block->head)) block->damaged = 1;
    if (block->points == 0) return;
#ifndef THIRSTLINE_SMALL
    thirstline_fill_outer_columns(block->width, &block->outer_columns);
#endif
    /* Streams follow the head, in the order of the blocks; the head contains each length. */
    from = thirstline_golomb(&block->head, THIRSTLINE_HEAD_LENGTH_PARAMETER);
    for (row = 0; row < block->blocks; ++row) {
        const uint32_t this_length =
            row + 1 < block->blocks
                ? thirstline_golomb(&block->head, THIRSTLINE_STREAM_LENGTH_PARAMETER)
                : 0;
        const uint32_t low = thirstline_bits(&block->head, 11);
        const uint32_t state = low | (thirstline_bits(&block->head, 11) << 11);
        const uint32_t low_in_turn = thirstline_bits(&block->head, 11);
        const uint32_t in_turn = low_in_turn | (thirstline_bits(&block->head, 11) << 11);
        if (row < block->block) from += this_length;
        if (row != block->block) continue;
        length = this_length;
        block->state = state;
        block->state_in_turn = in_turn;
    }
    if (from > source->size) from = source->size, block->damaged = 1;
    if (block->block + 1 == block->blocks) length = source->size - from;
    if (length > source->size - from) length = 0, block->damaged = 1;
    if (block->state < THIRSTLINE_LEAST_STATE || block->state_in_turn < THIRSTLINE_LEAST_STATE) {
        block->state = block->state_in_turn = THIRSTLINE_LEAST_STATE;
        block->damaged = 1;
    }
    thirstline_read_from(&block->stream, source, from, from + length);
}

/* --- planes ------------------------------------------------------------------------------- */

/* The corner's value of this block's plane; also reads those of the other blocks. */
static inline uint32_t thirstline_read_corner(thirstline_block* block, uint32_t month) {
    const uint32_t parameter = thirstline_corner_parameter(block->corner_parameter, month);
    uint16_t quarters[4];
    uint32_t first = 0, own = 0, at;
    for (at = 0; at < block->blocks; ++at) {
        const int leads = at == 0 && month == 0;
        uint32_t number = thirstline_golomb(
            &block->head, leads ? (uint32_t)THIRSTLINE_FIRST_CORNER_PARAMETER : parameter);
        if (!leads || block->is_signed) number = thirstline_signed(number);
        if (at == 0) first = number;
        if (at == block->block) own = at == 0 ? number : first + number;
    }
    if (month != 0) {
        for (at = 0; at < 4; ++at) quarters[at] = block->planes[at][0];
        first = thirstline_predicted_corner(quarters, month, block->corner_error);
    } else {
        first = block->is_signed ? 0x8000u : 0u;
    }
    block->corner_error = own;
    return first + own;
}

/* The points of the block that lack a value in this plane: one bit per point, or the same as in the
   previous plane. */
static inline void thirstline_read_gaps(thirstline_block* block) {
    uint32_t row, column, skipped;
    if (thirstline_bits(&block->head, 1) == 0) return;
    for (skipped = 0; skipped < block->points_before; ++skipped) thirstline_bits(&block->head, 1);
    for (row = 0; row < block->height; ++row) {
        block->has_value[row] = block->present[row];
        for (column = 0; column < block->width; ++column) {
            if (((uint32_t)block->present[row] >> column & 1u) != 0 &&
                thirstline_bits(&block->head, 1) != 0)
                block->has_value[row] &= (uint8_t)(0xFFu ^ 1u << column);
        }
    }
    for (skipped = 0; skipped < block->points_after; ++skipped) thirstline_bits(&block->head, 1);
}

/* Begins the next layer; layers are read by ascending id. Signed ones hold integer + 32768. */
static inline void thirstline_layer_begin(thirstline_block* block, thirstline_shape shape,
                                          int is_signed) {
    uint32_t row;
    block->is_signed = is_signed != 0;
    for (row = 0; row < THIRSTLINE_ROW; ++row) block->has_value[row] = block->present[row];
    if (shape == THIRSTLINE_SHAPE_TILE_MONTH) return;
    block->form = (uint8_t)thirstline_golomb(&block->head, 0);
    if (block->form > THIRSTLINE_LAYER_PERFORATED) {
        block->form = THIRSTLINE_LAYER_ABSENT;
        block->damaged = 1;
    }
    if (block->form == THIRSTLINE_LAYER_ABSENT) {
        for (row = 0; row < THIRSTLINE_ROW; ++row) block->has_value[row] = 0;
        return;
    }
    block->corner_parameter = (uint8_t)thirstline_bits(&block->head, 4);
}

/* How a plane is coded. */
typedef struct {
    uint32_t residual_class; /* 0: all residuals are 0 and not written */
    uint32_t predictor;
    uint32_t references[2];
    uint32_t reference_count;
    uint32_t weight[2]; /* of the references, in quarters, modulo 2^16 */
} thirstline_plane_form;

static inline void thirstline_read_plane_form(thirstline_block* block, uint32_t month,
                                              thirstline_plane_form* form) {
    uint32_t at;
    form->residual_class = block->previous_class + thirstline_signed(thirstline_golomb(
                                                       &block->head, THIRSTLINE_CLASS_PARAMETER));
    if (form->residual_class > THIRSTLINE_GREATEST_CLASS) {
        form->residual_class = 0;
        block->damaged = 1;
    }
    form->predictor = block->previous_predictor;
    if (thirstline_bits(&block->head, 1) != 0) {
        form->predictor = thirstline_bits(&block->head, 2);
        if (form->predictor >= block->previous_predictor) ++form->predictor;
    }
    form->reference_count =
        thirstline_references_of_month(month, block->layers_before, form->references);
    for (at = 0; at < form->reference_count; ++at) {
        form->weight[at] =
            thirstline_default_weight(month) +
            thirstline_signed(thirstline_golomb(&block->head, THIRSTLINE_WEIGHT_PARAMETER));
    }
    block->previous_class = (uint8_t)form->residual_class;
    block->previous_predictor = (uint8_t)form->predictor;
}

/* The class at the block's south and west edges, where fewer neighbours predict a value. */
static inline uint32_t thirstline_edge_class(uint32_t residual_class) {
    const uint32_t wider = residual_class + THIRSTLINE_EDGE_CLASSES;
    return wider < THIRSTLINE_GREATEST_CLASS ? wider : (uint32_t)THIRSTLINE_GREATEST_CLASS;
}

/* The rows from 1 on: adds their residuals to the changes, and completes those before `end_row`.
 * Done alternately, since the processor can overlap the two. */
static THIRSTLINE_ALWAYS_INLINE void thirstline_read_rows(thirstline_block* block,
                                                          uint32_t residual_class,
                                                          thirstline_symbols* all_symbols,
                                                          uint32_t predictor, uint32_t end_row,
                                                          uint16_t* plane, uint16_t* sums,
                                                          const thirstline_spread* spread) {
    const uint32_t width = block->width, height = block->height;
    thirstline_symbols symbols = *all_symbols;
    uint32_t row;
    for (row = 1; row < height; ++row) {
        uint16_t* here = plane + row * THIRSTLINE_ROW;
        uint16_t* sum = sums + row * THIRSTLINE_ROW;
        if (residual_class != 0)
            thirstline_add_run(&block->stream, &symbols, spread,
                               (uint32_t)block->has_value[row] >> 1, sum + 1, 1);
        if (row >= end_row) continue;
        if (THIRSTLINE_ROW == 8 && width == THIRSTLINE_ROW)
            thirstline_complete_row(here, THIRSTLINE_ROW, predictor, sum);
        else
            thirstline_complete_row(here, width, predictor, sum);
    }
    *all_symbols = symbols;
}

/* Reads the residuals, if there are any: first those at the south and west edges, then row by row;
 * and completes the plane, whose corner is set, up to `end_row`. */
static inline void thirstline_read_values(thirstline_block* block,
                                          const thirstline_plane_form* form, uint32_t end_row,
                                          uint16_t* plane, uint16_t* sums) {
#ifdef THIRSTLINE_SMALL
    const thirstline_quick_table* const quick = NULL;
#else
    const thirstline_quick_table* const quick = block->quick;
#endif
    const uint32_t has_residuals = form->residual_class != 0;
    const thirstline_spread spread =
        thirstline_spread_of(has_residuals ? form->residual_class : 1u, quick);
    thirstline_symbols state;
    const uint32_t width = block->width;
    uint32_t row, column;
    state.state = state.in_turn = 0;
    state.next = NULL;
    if (has_residuals) {
        const thirstline_spread edge =
            thirstline_spread_of(thirstline_edge_class(form->residual_class), quick);
        uint32_t west = 0;
        state.state = block->state;
        state.in_turn = block->state_in_turn;
        state.next = block->stream.next;
        for (row = 1; row < block->height; ++row)
            west |= (uint32_t)(block->has_value[row] & 1u) << (row - 1u);
        thirstline_add_run(&block->stream, &state, &edge, (uint32_t)block->has_value[0] >> 1,
                           sums + 1, 1);
        thirstline_add_run(&block->stream, &state, &edge, west, sums + THIRSTLINE_ROW,
                           THIRSTLINE_ROW);
    }
    for (column = 1; column < width; ++column)
        plane[column] = (uint16_t)(plane[column - 1] + sums[column]);
#ifdef THIRSTLINE_SMALL
    thirstline_read_rows(block, form->residual_class, &state, form->predictor, end_row, plane, sums,
                         &spread);
#else
    switch (form->predictor) { /* a loop for each, so that there is no test inside */
        case 0:
            thirstline_read_rows(block, form->residual_class, &state, 0, end_row, plane, sums,
                                 &spread);
            break;
        case 1:
            thirstline_read_rows(block, form->residual_class, &state, 1, end_row, plane, sums,
                                 &spread);
            break;
        case 2:
            thirstline_read_rows(block, form->residual_class, &state, 2, end_row, plane, sums,
                                 &spread);
            break;
        case 3:
            thirstline_read_rows(block, form->residual_class, &state, 3, end_row, plane, sums,
                                 &spread);
            break;
        default:
            thirstline_read_rows(block, form->residual_class, &state, 4, end_row, plane, sums,
                                 &spread);
            break;
    }
#endif
    if (has_residuals) {
        block->state = state.state;
        block->state_in_turn = state.in_turn;
        block->stream.next = state.next;
    }
}

/* Sets the change of the prediction due to the references. In small code `sums` is the plane
 * itself, which may be its own reference, so slots are processed last to first. */
static inline void thirstline_expect_change(const thirstline_block* block,
                                            const thirstline_plane_form* form, uint32_t end_row,
                                            uint16_t* sums) {
    uint32_t at;
#ifdef THIRSTLINE_SMALL
    uint32_t slot = THIRSTLINE_BLOCK_SLOTS, column = 0;
    (void)end_row;
    while (--slot != 0) {
        uint32_t quarters = 2;
        column = (column == 0 ? (uint32_t)THIRSTLINE_ROW : column) - 1u;
        for (at = 0; at < form->reference_count; ++at)
            quarters +=
                form->weight[at] * thirstline_detail(block->planes[form->references[at]], slot,
                                                     column, form->predictor, block->width);
        sums[slot] = thirstline_quarter((uint16_t)quarters);
    }
#else
    for (at = 0; at < THIRSTLINE_PLANE_VALUES; ++at) sums[at] = 0;
    for (at = 0; at < form->reference_count; ++at)
        thirstline_add_detail(sums, block->planes[form->references[at]], form->predictor,
                              (uint16_t)form->weight[at], &block->outer_columns, end_row);
    thirstline_whole_quarters(sums);
#endif
}

/* The plane of a step, 0 to 11 (only 0 for a layer of shape `point`), to be called in order. Its
 * month is thirstline_month_of_step(step). Slots after last_slot's row are not computed.
 * block->has_value holds which points have a value. The pointer is valid until the next plane is
 * read. */
THIRSTLINE_OUTLINE const uint16_t* thirstline_layer_plane(thirstline_block* block, uint32_t step,
                                                          uint32_t last_slot) {
    const uint32_t month = thirstline_month_of_step(step);
    uint16_t* plane = block->planes[thirstline_plane_of_month(month)];
#ifdef THIRSTLINE_SMALL
    uint16_t* sums = plane;
#else
    uint16_t sums[THIRSTLINE_PLANE_VALUES];
#endif
    const uint32_t last_row = last_slot / THIRSTLINE_ROW;
    const uint32_t end_row = last_row < block->height ? last_row + 1u : block->height;
    thirstline_plane_form form;
    uint32_t at;
    if (block->form == THIRSTLINE_LAYER_ABSENT) return plane;
    if (block->form == THIRSTLINE_LAYER_STEADY && step != 0) return block->planes[0];
    if (block->form == THIRSTLINE_LAYER_PERFORATED) thirstline_read_gaps(block);
    thirstline_read_plane_form(block, month, &form);
    thirstline_expect_change(block, &form, end_row, sums);
    plane[0] = (uint16_t)thirstline_read_corner(block, month);
    thirstline_read_values(block, &form, end_row, plane, sums);
    if (step == 0 && block->layers_before == 0 && THIRSTLINE_PLANES == 7)
        for (at = 0; at < THIRSTLINE_BLOCK_SLOTS; ++at)
            block->planes[THIRSTLINE_PLANES - 1][at] = plane[at];
    if (step == 0 && block->layers_before < 2) ++block->layers_before;
    if (thirstline_bits_ran_out(&block->head)) block->damaged = 1;
    return plane;
}

/* A layer of shape tile_month: twelve values. Returns the missing ones as bits: bit 0 is
   January. */
static inline uint32_t thirstline_layer_tile_months(thirstline_block* block, uint16_t months[12]) {
    uint32_t missing = 0, before = block->is_signed ? 0x8000u : 0u;
    uint32_t month, parameter;
    if (thirstline_bits(&block->head, 1) != 0) missing = thirstline_bits(&block->head, 12);
    parameter = thirstline_bits(&block->head, 4);
    for (month = 0; month < 12; ++month) {
        if ((missing >> month & 1u) == 0)
            before += thirstline_signed(thirstline_golomb(&block->head, parameter));
        months[month] = (uint16_t)before;
    }
    if (thirstline_bits_ran_out(&block->head)) block->damaged = 1;
    return missing;
}

/* After the last plane of the last layer: whether the block ended where its writer's did. */
static inline int thirstline_block_is_whole(const thirstline_block* block) {
    return !block->damaged && block->stream.past_end == 0 &&
           block->state == THIRSTLINE_LEAST_STATE &&
           block->state_in_turn == THIRSTLINE_LEAST_STATE &&
           block->stream.next == block->stream.end;
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
