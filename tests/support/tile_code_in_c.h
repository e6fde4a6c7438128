/* Reads a whole block in plain C with schema/tile_code/tile_code.h, as firmware would; for the
 * tests. */
#ifndef THIRSTLINE_TESTS_TILE_CODE_IN_C_H
#define THIRSTLINE_TESTS_TILE_CODE_IN_C_H

#include "schema/tile_code/tile_code.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct {
    thirstline_shape shape;
    int is_signed;
} layer_in_c;

/* Called for every plane in the order of the code: `values` and `has_value` as in thirstline_block.
 * For a layer of shape tile_month it is called once, with the twelve values and a bit for each
 * missing one. */
typedef struct {
    void (*plane)(void* context, uint32_t layer, uint32_t month, const thirstline_block* block,
                  const uint16_t* values);
    void (*tile_months)(void* context, uint32_t layer, uint32_t missing, const uint16_t* months);
    void* context;
} listener_in_c;

/* Reads the given layers, which may be only the first ones of the tile, up to `last_slot`. Returns
 * 1 if the block is valid and everything was read. */
int read_block_in_c(const thirstline_tile_bytes* bytes, uint32_t tile_edge, uint32_t which,
                    const thirstline_quick_table* quick, const layer_in_c* layers,
                    uint32_t layer_count, uint32_t last_slot, const listener_in_c* listener);

/* The size of a reader's state, in bytes. */
uint32_t bytes_of_state_in_c(void);

#ifdef __cplusplus
}
#endif

#endif
