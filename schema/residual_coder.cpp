#include "schema/residual_coder.hpp"

#include <algorithm>

#include "schema/residual_costs.hpp"
#include "schema/tile_code.h"

namespace thirstline {

void ResidualCoder::add(std::uint32_t residual_class, std::uint16_t folded) {
    const auto [table, low_bits] = table_of(residual_class);
    const std::uint32_t number = static_cast<std::uint32_t>(folded) >> low_bits;
    const std::uint32_t symbol = std::min<std::uint32_t>(number, THIRSTLINE_ESCAPE);
    const std::uint16_t* below = thirstline_below[table];
    steps_.push_back(
        {below[symbol], static_cast<std::uint16_t>(below[symbol + 1] - below[symbol]), 0, state_});
    if (symbol == THIRSTLINE_ESCAPE) {
        const int count = escape_bits(number);
        const std::uint32_t above = number - THIRSTLINE_ESCAPE + 1 - (1U << count);
        add_even_bits(static_cast<std::uint32_t>(count), 5);
        add_even_bits(above & 255U, std::min(count, 8));
        if (count > 8) add_even_bits(above >> 8, count - 8);
    }
    const std::uint32_t low = static_cast<std::uint32_t>(folded) & ((1U << low_bits) - 1U);
    if (low_bits > 8) {
        add_even_bits(low >> (low_bits - 8), 8);
        add_even_bits(low, low_bits - 8);
    } else if (low_bits > 0) {
        add_even_bits(low, low_bits);
    }
    state_ ^= 1;
}

void ResidualCoder::add_even_bits(std::uint32_t value, int count) {
    steps_.push_back({static_cast<std::uint16_t>(value & ((1U << count) - 1U)), 0,
                      static_cast<std::uint8_t>(count), state_});
}

ResidualStream ResidualCoder::stream() const {
    ResidualStream stream;
    std::array<std::uint32_t, 2> states{THIRSTLINE_LEAST_STATE, THIRSTLINE_LEAST_STATE};
    // A reader's first step is the writer's last.
    for (auto step = steps_.rbegin(); step != steps_.rend(); ++step) {
        std::uint32_t& state = states[step->state];
        const std::uint32_t share =
            step->frequency != 0 ? step->frequency : 4096U >> step->even_bits;
        // So that after the step the state is below 2^22, as the reader found it.
        const std::uint32_t greatest = share * (THIRSTLINE_LEAST_STATE / 4096 * 256);
        while (state >= greatest) {
            stream.bytes.push_back(static_cast<std::uint8_t>(state));
            state >>= 8;
        }
        state = step->frequency != 0 ? (state / share) * 4096 + state % share + step->below
                                     : (state << step->even_bits) | step->below;
    }
    // Both begin with the same parity: the state of step 0 is number 0.
    stream.states = states;
    std::reverse(stream.bytes.begin(), stream.bytes.end());
    return stream;
}

}  // namespace thirstline
