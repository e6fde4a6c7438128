#include "schema/residual_coder.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "schema/bit_writer.hpp"
#include "schema/tile_code.h"

namespace thirstline {

namespace {

struct ClassTable {
    std::uint32_t table = 0;
    int low_bits = 0;
};

ClassTable table_of(std::uint32_t residual_class) {
    const std::uint32_t table = residual_class - 1;
    if (table < THIRSTLINE_TABLES) return {table, 0};
    const std::uint32_t above = table - THIRSTLINE_TABLES;
    return {THIRSTLINE_TABLES - THIRSTLINE_TABLES_AN_OCTAVE + above % THIRSTLINE_TABLES_AN_OCTAVE,
            1 + static_cast<int>(above / THIRSTLINE_TABLES_AN_OCTAVE)};
}

using SymbolCosts = std::array<std::uint16_t, THIRSTLINE_SYMBOLS>;

/// What each symbol of each table costs, in 1/kCostOfABit.
const std::array<SymbolCosts, THIRSTLINE_TABLES>& symbol_costs() {
    static const auto costs = [] {
        std::array<SymbolCosts, THIRSTLINE_TABLES> made{};
        for (std::size_t table = 0; table < made.size(); ++table) {
            for (std::size_t symbol = 0; symbol < THIRSTLINE_SYMBOLS; ++symbol) {
                const int frequency =
                    thirstline_below[table][symbol + 1] - thirstline_below[table][symbol];
                made[table][symbol] = static_cast<std::uint16_t>(
                    std::lround(static_cast<double>(kCostOfABit) * std::log2(4096.0 / frequency)));
            }
        }
        return made;
    }();
    return costs;
}

constexpr std::uint64_t kMeanScale = 4096;

/// The mean of the residuals that each class from 1 on expects, in 1/kMeanScale.
const std::array<std::uint64_t, THIRSTLINE_GREATEST_CLASS>& class_means() {
    static const auto means = [] {
        std::array<std::uint64_t, THIRSTLINE_GREATEST_CLASS> made{};
        for (std::uint32_t residual_class = 1; residual_class <= made.size(); ++residual_class) {
            const auto [table, low_bits] = table_of(residual_class);
            const std::uint16_t* below = thirstline_below[table];
            std::uint64_t mean = 0;
            for (std::uint64_t symbol = 0; symbol < THIRSTLINE_SYMBOLS; ++symbol)
                mean += symbol * static_cast<std::uint64_t>(below[symbol + 1] - below[symbol]);
            made[residual_class - 1] = mean << low_bits;
        }
        return made;
    }();
    return means;
}

/// Bits that say how far beyond the last symbol an escaped number lies.
int escape_bits(std::uint32_t number) {
    return std::bit_width(number - THIRSTLINE_ESCAPE + 1) - 1;
}

std::uint64_t cost_in(std::uint32_t residual_class, const std::vector<std::uint16_t>& residuals) {
    const auto [table, low_bits] = table_of(residual_class);
    const SymbolCosts& costs = symbol_costs()[table];
    std::uint64_t cost = residuals.size() * static_cast<std::uint64_t>(low_bits) * kCostOfABit;
    for (const std::uint16_t folded : residuals) {
        const std::uint32_t number = static_cast<std::uint32_t>(folded) >> low_bits;
        if (number < THIRSTLINE_ESCAPE) {
            cost += costs[number];
        } else {
            cost += costs[THIRSTLINE_ESCAPE] +
                    static_cast<std::uint64_t>(5 + escape_bits(number)) * kCostOfABit;
        }
    }
    return cost;
}

}  // namespace

void ResidualStatistics::add(std::uint16_t folded, bool at_edge) {
    (at_edge ? edge_ : inner_).push_back(folded);
    sum_ += folded;
}

std::uint64_t ResidualStatistics::cost(std::uint32_t residual_class) const {
    return cost_in(residual_class, inner_) + cost_in(thirstline_edge_class(residual_class), edge_);
}

std::pair<std::uint32_t, std::uint64_t> ResidualStatistics::best_class(
    std::uint32_t previous_class) const {
    const auto head_cost = [previous_class](std::uint32_t residual_class) {
        const auto difference =
            static_cast<std::int32_t>(residual_class) - static_cast<std::int32_t>(previous_class);
        const auto number =
            static_cast<std::uint32_t>(difference >= 0 ? 2 * difference : -2 * difference - 1);
        return golomb_bits(number, THIRSTLINE_CLASS_PARAMETER) * kCostOfABit;
    };
    if (sum_ == 0) return {0, head_cost(0)};
    // Costs fall towards the best class and rise after it, but for small bumps.
    const std::uint64_t count = inner_.size() + edge_.size();
    const auto& means = class_means();
    const auto wider = std::find_if(means.begin(), means.end(), [&](std::uint64_t mean) {
        return mean * count >= sum_ * kMeanScale;
    });
    const int guess = static_cast<int>(wider - means.begin()) + 1;
    constexpr int kAside = 5;
    std::pair<std::uint32_t, std::uint64_t> best{0, std::numeric_limits<std::uint64_t>::max()};
    for (int c = std::max(1, guess - kAside);
         c <= std::min<int>(guess + kAside, THIRSTLINE_GREATEST_CLASS); ++c) {
        const auto residual_class = static_cast<std::uint32_t>(c);
        const std::uint64_t total = cost(residual_class) + head_cost(residual_class);
        if (total < best.second) best = {residual_class, total};
    }
    return best;
}

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
