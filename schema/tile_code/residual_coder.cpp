#include "schema/tile_code/residual_coder.hpp"

#include <algorithm>

#include "schema/tile_code/residual_costs.hpp"
#include "schema/tile_code/tile_code.h"

namespace thirstline {

namespace {

/// A state below 2^22 needs to output at most 12 bits.
constexpr std::size_t kGreatestBytesOfStep = 2;

/// A symbol's frequency in 4096, and 2^34 divided by it, rounded up: a state below 2^10 times the
/// frequency is divided by it by taking the high bits of a product.
struct SymbolShare {
    std::uint64_t reciprocal = 0;
    std::uint16_t below = 0, frequency = 0;
};
using SymbolShares = std::array<SymbolShare, THIRSTLINE_TABLES * THIRSTLINE_SYMBOLS>;

constexpr int kReciprocalBits = 34;

const SymbolShares& symbol_shares() {
    static const SymbolShares kShares = [] {
        SymbolShares made;
        for (std::size_t at = 0; at < made.size(); ++at) {
            const std::uint16_t* below =
                &thirstline_below[at / THIRSTLINE_SYMBOLS][at % THIRSTLINE_SYMBOLS];
            const auto frequency = static_cast<std::uint16_t>(below[1] - below[0]);
            made[at] = {((std::uint64_t{1} << kReciprocalBits) + frequency - 1U) / frequency,
                        below[0], frequency};
        }
        return made;
    }();
    return kShares;
}

}  // namespace

void ResidualCoder::add(std::uint32_t residual_class, std::span<const std::uint16_t> folded) {
    const auto [table, low_bits] = table_of(residual_class);
    const auto is_symbol = [](std::uint16_t residual) { return residual < THIRSTLINE_ESCAPE; };
    if (low_bits == 0 && std::all_of(folded.begin(), folded.end(), is_symbol))
        return add_symbols(table, folded);
    for (const std::uint16_t residual : folded) {
        const std::uint32_t number = static_cast<std::uint32_t>(residual) >> low_bits;
        const std::uint32_t symbol = std::min<std::uint32_t>(number, THIRSTLINE_ESCAPE);
        steps_.push_back(
            {static_cast<std::uint16_t>(table * THIRSTLINE_SYMBOLS + symbol), 0, state_});
        if (symbol == THIRSTLINE_ESCAPE) add_escape(number);
        if (low_bits != 0) add_low_bits(residual, low_bits);
        state_ ^= 1;
    }
}

void ResidualCoder::add_symbols(std::uint32_t table, std::span<const std::uint16_t> symbols) {
    const std::size_t before = steps_.size();
    steps_.resize(before + symbols.size());
    Step* step = steps_.data() + before;
    for (const std::uint16_t symbol : symbols) {
        *step++ = {static_cast<std::uint16_t>(table * THIRSTLINE_SYMBOLS + symbol), 0, state_};
        state_ ^= 1;
    }
}

void ResidualCoder::add_escape(std::uint32_t number) {
    const int count = escape_bits(number);
    const std::uint32_t above = number - THIRSTLINE_ESCAPE + 1 - (1U << count);
    add_even_bits(static_cast<std::uint32_t>(count), 5);
    add_even_bits(above & 255U, std::min(count, 8));
    if (count > 8) add_even_bits(above >> 8, count - 8);
}

void ResidualCoder::add_low_bits(std::uint32_t folded, int count) {
    if (count > 8) {
        add_even_bits(folded >> (count - 8), 8);
        count -= 8;
    }
    add_even_bits(folded, count);
}

void ResidualCoder::add_even_bits(std::uint32_t value, int count) {
    if (count == 0) return;  // would take nothing from a state
    steps_.push_back({static_cast<std::uint16_t>(value & ((1U << count) - 1U)),
                      static_cast<std::uint8_t>(count), state_});
}

ResidualStream ResidualCoder::stream() const {
    // Limits the state so that after a step with this frequency it is below 2^22, as the reader
    // requires.
    constexpr std::uint32_t kStatesPerShare = THIRSTLINE_LEAST_STATE / 4096 * 256;
    const SymbolShares& shares = symbol_shares();
    std::array<std::uint32_t, 2> states{THIRSTLINE_LEAST_STATE, THIRSTLINE_LEAST_STATE};
    std::vector<std::uint8_t> backwards(steps_.size() * kGreatestBytesOfStep + 1);
    std::size_t count = 0;
    // A reader's first step is the writer's last.
    for (auto step = steps_.rbegin(); step != steps_.rend(); ++step) {
        std::uint32_t state = states[step->state];
        const SymbolShare& share = shares[step->even_bits == 0 ? step->number : 0];
        const std::uint32_t frequency =
            step->even_bits == 0 ? share.frequency : 4096U >> step->even_bits;
        // Whether a byte must be output is unpredictable, so the first is handled without a branch.
        const std::uint32_t greatest = frequency * kStatesPerShare;
        const bool goes = state >= greatest;
        backwards[count] = static_cast<std::uint8_t>(state);
        count += goes ? 1 : 0;
        state >>= goes ? 8 : 0;
        for (; state >= greatest; state >>= 8)
            backwards[count++] = static_cast<std::uint8_t>(state);
        if (step->even_bits == 0) {
            const auto quotient =
                static_cast<std::uint32_t>((state * share.reciprocal) >> kReciprocalBits);
            state += quotient * (4096U - frequency) + share.below;
        } else {
            state = (state << step->even_bits) | step->number;
        }
        states[step->state] = state;
    }
    // Both begin with the same parity: step 0 uses state number 0.
    backwards.resize(count);
    return {states, {backwards.rbegin(), backwards.rend()}};
}

}  // namespace thirstline
