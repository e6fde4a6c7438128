#include "schema/tile_code/residual_costs.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>

#include "schema/tile_code/bit_writer.hpp"

namespace thirstline {

namespace {

/// Number of classes per row of costs: a window begins at class 14 at most, since for wider ones
/// all residuals are halved first, and classes are wider at the edge.
constexpr std::size_t kClassesInRow = 32;

/// By residual and class, starting with class 1.
struct alignas(64) CostRows
    : std::array<std::array<std::uint16_t, kClassesInRow>, kFreeCostRow + 1> {};

/// One vector register: the compiler does not vectorise these sums by itself.
using CostVector [[gnu::vector_size(kClassesAtOnce * sizeof(std::uint16_t))]] = std::uint16_t;

double bits_in(std::uint32_t residual_class, std::uint32_t residual) {
    const auto [table, low_bits] = table_of(residual_class);
    const std::uint32_t number = residual >> low_bits;
    const std::uint32_t symbol = std::min<std::uint32_t>(number, THIRSTLINE_ESCAPE);
    const int frequency = thirstline_below[table][symbol + 1] - thirstline_below[table][symbol];
    const int after = low_bits + (symbol == THIRSTLINE_ESCAPE ? 5 + escape_bits(number) : 0);
    return std::log2(4096.0 / frequency) + after;
}

const CostRows& cost_rows() {
    static const CostRows kRows = [] {
        CostRows made{};
        for (std::uint32_t residual = 0; residual <= kGreatestCostRow; ++residual) {
            for (std::uint32_t at = 0; at < kClassesInRow; ++at) {
                made[residual][at] = static_cast<std::uint16_t>(
                    std::lround(static_cast<double>(kCostOfABit) * bits_in(at + 1, residual)));
            }
        }
        return made;
    }();
    return kRows;
}

constexpr std::uint64_t kMeanScale = 4096;

/// The mean residual that each class from 1 on expects, in 1/kMeanScale.
const std::array<std::uint64_t, THIRSTLINE_GREATEST_CLASS>& class_means() {
    static const auto kMeans = [] {
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
    return kMeans;
}

}  // namespace

ClassTable table_of(std::uint32_t residual_class) {
    const std::uint32_t table = residual_class - 1;
    if (table < THIRSTLINE_TABLES) return {table, 0};
    const std::uint32_t above = table - THIRSTLINE_TABLES;
    return {THIRSTLINE_TABLES - THIRSTLINE_TABLES_AN_OCTAVE + above % THIRSTLINE_TABLES_AN_OCTAVE,
            1 + static_cast<int>(above / THIRSTLINE_TABLES_AN_OCTAVE)};
}

int escape_bits(std::uint32_t number) {
    return std::bit_width(number - THIRSTLINE_ESCAPE + 1) - 1;
}

ClassWindow window_from(std::int32_t first) {
    constexpr auto kLast = static_cast<std::int32_t>(THIRSTLINE_GREATEST_CLASS -
                                                     THIRSTLINE_EDGE_CLASSES - kClassesAtOnce + 1);
    const auto from = static_cast<std::uint32_t>(std::clamp<std::int32_t>(first, 1, kLast));
    return {from, table_of(from).low_bits};
}

ClassWindow window_around(std::uint64_t sum_of_residuals, std::uint64_t count) {
    const auto& means = class_means();
    const auto wider = std::find_if(means.begin(), means.end(), [&](std::uint64_t mean) {
        return mean * count >= sum_of_residuals * kMeanScale;
    });
    // Mostly narrower classes: a few large residuals inflate the mean.
    return window_from(static_cast<std::int32_t>(wider - means.begin()) - 5);
}

void add_costs(const ClassWindow& window, const Plane& rows, ClassCosts& costs) {
    const std::uint32_t halved =
        static_cast<std::uint32_t>(window.low_bits) * THIRSTLINE_TABLES_AN_OCTAVE;
    const std::uint16_t* inner = cost_rows().front().data() + (window.first - halved - 1);
    const std::uint16_t* edge = inner + THIRSTLINE_EDGE_CLASSES;
    CostVector sums{};
    const auto add = [&sums](const std::uint16_t* from, std::uint16_t row) {
        CostVector costs_of_row;
        std::memcpy(&costs_of_row, from + row * kClassesInRow, sizeof costs_of_row);
        sums += costs_of_row;
    };
    for (std::size_t slot = 1; slot < kStride; ++slot) add(edge, rows[slot]);
    for (std::size_t first = kStride; first < rows.size(); first += kStride) {
        add(edge, rows[first]);
        for (std::size_t slot = first + 1; slot < first + kStride; ++slot) add(inner, rows[slot]);
    }
    for (std::size_t at = 0; at < kClassesAtOnce; ++at) costs[at] += sums[at];
}

std::uint32_t cost_of_residual(std::uint32_t residual_class, std::uint32_t residual) {
    return static_cast<std::uint32_t>(
        std::lround(static_cast<double>(kCostOfABit) * bits_in(residual_class, residual)));
}

std::uint32_t cost_of_class(std::uint32_t residual_class, std::uint32_t previous_class) {
    return static_cast<std::uint32_t>(
               golomb_bits(folded(residual_class - previous_class), THIRSTLINE_CLASS_PARAMETER)) *
           kCostOfABit;
}

ClassCosts costs_of_classes(const ClassWindow& window, std::uint32_t previous_class) {
    ClassCosts costs{};
    for (std::uint32_t at = 0; at < kClassesAtOnce; ++at)
        costs[at] = cost_of_class(window.first + at, previous_class);
    return costs;
}

}  // namespace thirstline
