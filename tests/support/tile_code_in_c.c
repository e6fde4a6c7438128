#include "tests/support/tile_code_in_c.h"

int read_block_in_c(const thirstline_tile_bytes* bytes, uint32_t tile_edge, uint32_t which,
                    const thirstline_quick_table* quick, const layer_in_c* layers,
                    uint32_t layer_count, uint32_t last_slot, const listener_in_c* listener) {
    thirstline_block block;
    uint16_t months[12];
    uint32_t layer, step;
    thirstline_block_begin(&block, bytes, tile_edge, which, quick);
    if (block.points == 0) return !block.damaged;
    for (layer = 0; layer < layer_count; ++layer) {
        const thirstline_shape shape = layers[layer].shape;
        const uint32_t steps = shape == THIRSTLINE_SHAPE_POINT_MONTH ? 12u : 1u;
        thirstline_layer_begin(&block, shape, layers[layer].is_signed);
        if (shape == THIRSTLINE_SHAPE_TILE_MONTH) {
            const uint32_t missing = thirstline_layer_tile_months(&block, months);
            listener->tile_months(listener->context, layer, missing, months);
            continue;
        }
        for (step = 0; step < steps; ++step) {
            const uint16_t* plane = thirstline_layer_plane(&block, step, last_slot);
            listener->plane(listener->context, layer, thirstline_month_of_step(step), &block,
                            plane);
        }
    }
    return thirstline_block_is_whole(&block);
}

uint32_t bytes_of_state_in_c(void) {
    return (uint32_t)sizeof(thirstline_block);
}
