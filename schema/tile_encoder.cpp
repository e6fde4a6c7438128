#include "schema/tile_encoder.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "schema/bit_writer.hpp"
#include "schema/residual_coder.hpp"
#include "schema/tile_code.h"

namespace thirstline {

namespace {

constexpr int kBlockSlots = THIRSTLINE_BLOCK_SLOTS;
constexpr int kStride = THIRSTLINE_BLOCK_EDGE;
constexpr int kPredictors = 5;
constexpr double kGreatestWeight = 20;  // in quarters: more has never paid
constexpr int kRefinements = 3;
constexpr std::int32_t kSignedBias = 0x8000;

using Plane = std::array<std::uint16_t, kBlockSlots>;
using Rows = std::array<std::uint8_t, kStride>;

bool has(const Rows& rows, int slot) {
    return (rows[static_cast<std::size_t>(slot / kStride)] >> (slot % kStride) & 1) != 0;
}

/// In the block's southernmost row or westernmost column.
bool at_edge(int slot) {
    return slot < kStride || slot % kStride == 0;
}

/// The smallest distance from 0 that is the same modulo 2^16, folded: 0, −1, 1, −2 … to 0, 1, 2, 3.
std::uint32_t folded(std::uint32_t difference) {
    const auto value = static_cast<std::int16_t>(difference & 0xFFFF);
    return value >= 0 ? static_cast<std::uint32_t>(value) * 2
                      : static_cast<std::uint32_t>(-(value + 1)) * 2 + 1;
}

std::uint32_t folded_integer(std::int32_t value) {
    return value >= 0 ? static_cast<std::uint32_t>(value) * 2
                      : static_cast<std::uint32_t>(-(value + 1)) * 2 + 1;
}

/// A block while it is written: where it lies, its points, and the planes that are still referred
/// to, as in thirstline_block.
struct Block {
    int first_row = 0, first_column = 0, width = 0, height = 0;
    Rows present{};
    Rows has_value{};
    Plane own{};  ///< the plane in hand
    std::array<Plane, THIRSTLINE_PLANES> planes{};
    std::uint32_t surprise = 0;
    ResidualCoder coder;

    [[nodiscard]] std::size_t tile_slot(int slot, int tile_edge) const {
        return static_cast<std::size_t>((first_row + slot / kStride) * tile_edge + first_column +
                                        slot % kStride);
    }
    [[nodiscard]] bool holds(int slot) const {
        return slot / kStride < height && slot % kStride < width;
    }
};

/// What one way to code a plane gives.
struct Candidate {
    thirstline_plane_form form{};
    std::uint64_t cost = 0;  ///< in 1/kCostOfABit
};

class TileEncoder {
  public:
    TileEncoder(const TileLayout& layout, const Tile& tile) : layout_(layout), tile_(tile) {
        const auto edge = static_cast<std::uint32_t>(layout.edge);
        const std::uint32_t along = thirstline_blocks_along(edge);
        for (std::uint32_t row = 0; row < along; ++row) {
            for (std::uint32_t column = 0; column < along; ++column) add_block(row, column);
        }
    }

    std::vector<std::uint8_t> coded() {
        if (blocks_.empty()) return head_.bytes();
        BitWriter presence = std::move(head_);
        head_ = BitWriter();
        for (const Layer& layer : layout_.layers) {
            if (layer.shape == LayerShape::tile_month)
                write_tile_months(layer);
            else
                write_layer(layer);
        }
        return assembled(std::move(presence));
    }

  private:
    void add_block(std::uint32_t row, std::uint32_t column) {
        const auto edge = static_cast<std::uint32_t>(layout_.edge);
        const auto block_edge = static_cast<int>(thirstline_block_edge(edge));
        Block block;
        block.first_row = static_cast<int>(row) * block_edge;
        block.first_column = static_cast<int>(column) * block_edge;
        block.width = static_cast<int>(thirstline_block_side(edge, column));
        block.height = static_cast<int>(thirstline_block_side(edge, row));
        int points = 0;
        for (int slot = 0; slot < kBlockSlots; ++slot) {
            if (!block.holds(slot) || tile_.present[block.tile_slot(slot, layout_.edge)] == 0)
                continue;
            block.present[static_cast<std::size_t>(slot / kStride)] |=
                static_cast<std::uint8_t>(1U << (slot % kStride));
            ++points;
        }
        const bool all = points == block.width * block.height;
        head_.add(all ? 1 : 0, 1);
        if (!all) head_.add(points == 0 ? 1 : 0, 1);
        if (points == 0) return;
        for (int r = 0; r < block.height && !all; ++r)
            head_.add(block.present[static_cast<std::size_t>(r)], block.width);
        blocks_.push_back(std::move(block));
    }

    [[nodiscard]] std::int32_t value(const Layer& layer, const Block& block, int slot,
                                     int month) const {
        const std::size_t at = block.tile_slot(slot, layout_.edge);
        return tile_.of(layer.id)[layer.shape == LayerShape::point
                                      ? at
                                      : at * kMonths + static_cast<std::size_t>(month)];
    }

    void write_tile_months(const Layer& layer) {
        const auto& values = tile_.of(layer.id);
        std::uint32_t missing = 0;
        std::int32_t before = 0;
        std::vector<std::uint32_t> numbers;
        for (std::size_t month = 0; month < kMonths; ++month) {
            if (values[month] == kMissingValue) {
                missing |= 1U << month;
                continue;
            }
            numbers.push_back(folded(static_cast<std::uint32_t>(values[month] - before)));
            before = values[month];
        }
        head_.add(missing != 0 ? 1 : 0, 1);
        if (missing != 0) head_.add(missing, 12);
        const int parameter = best_golomb_parameter(numbers);
        head_.add(static_cast<std::uint32_t>(parameter), 4);
        for (const std::uint32_t number : numbers) head_.add_golomb(number, parameter);
    }

    void write_layer(const Layer& layer) {
        const int months = layer.shape == LayerShape::point ? 1 : kMonths;
        bool any = false, all = true, steady = true;
        for (Block& block : blocks_) {
            block.has_value = block.present;
            for (int slot = 0; slot < kBlockSlots; ++slot) {
                if (!has(block.present, slot)) continue;
                for (int month = 0; month < months; ++month) {
                    const std::int32_t at = value(layer, block, slot, month);
                    any = any || at != kMissingValue;
                    all = all && at != kMissingValue;
                    steady = steady && at == value(layer, block, slot, 0);
                }
            }
        }
        const auto form = !any     ? THIRSTLINE_LAYER_ABSENT
                          : !all   ? THIRSTLINE_LAYER_PERFORATED
                          : steady ? THIRSTLINE_LAYER_STEADY
                                   : THIRSTLINE_LAYER_WHOLE;
        head_.add_golomb(form, 0);
        if (form == THIRSTLINE_LAYER_ABSENT) return;
        const int steps = form == THIRSTLINE_LAYER_STEADY ? 1 : months;
        fill_corners(layer, steps);
        const int parameter = corner_parameter(layer, steps);
        head_.add(static_cast<std::uint32_t>(parameter), 4);
        for (int step = 0; step < steps; ++step) {
            const int month = month_of(step);
            if (form == THIRSTLINE_LAYER_PERFORATED) write_gaps(layer, month);
            write_plane(layer, month, parameter);
        }
    }

    static int month_of(int step) {
        return static_cast<int>(thirstline_month_of_step(static_cast<std::uint32_t>(step)));
    }
    static Plane& plane_of(Block& block, int month) {
        return block.planes[thirstline_plane_of_month(static_cast<std::uint32_t>(month))];
    }

    /// The stored form of a value, modulo 2^16.
    static std::uint16_t stored(const Layer& layer, std::int32_t value) {
        return static_cast<std::uint16_t>(value + (layer.is_signed ? kSignedBias : 0));
    }

    /// The corner's own value, or in its place that of the nearest point that has one.
    [[nodiscard]] std::uint16_t corner_value(const Layer& layer, const Block& block,
                                             int month) const {
        int best = kBlockSlots * 2;
        std::uint16_t corner = layer.is_signed ? kSignedBias : 0;
        for (int slot = 0; slot < kBlockSlots; ++slot) {
            const int distance = slot / kStride + slot % kStride;
            if (distance >= best || !has(block.present, slot)) continue;
            const std::int32_t at = value(layer, block, slot, month);
            if (at == kMissingValue) continue;
            best = distance;
            corner = stored(layer, at);
        }
        return corner;
    }

    void fill_corners(const Layer& layer, int steps) {
        corners_.assign(blocks_.size(), {});
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            for (int step = 0; step < steps; ++step) {
                corners_[b][static_cast<std::size_t>(step)] =
                    corner_value(layer, blocks_[b], month_of(step));
            }
        }
    }

    /// The numbers of a plane's corners as they are written, folded.
    std::vector<std::uint32_t> corner_numbers(const Layer& layer, int step) {
        const auto month = static_cast<std::uint32_t>(month_of(step));
        std::vector<std::uint32_t> numbers;
        std::uint32_t first = 0;
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            Block& block = blocks_[b];
            // The quarters' first months are steps 0, 2, 1 and 3.
            const auto& of_step = corners_[b];
            const std::array<std::uint16_t, 4> quarters{of_step[0], of_step[2], of_step[1],
                                                        of_step[3]};
            const std::uint32_t due =
                month != 0        ? thirstline_due_corner(quarters.data(), month, block.surprise)
                : layer.is_signed ? static_cast<std::uint32_t>(kSignedBias)
                                  : 0U;
            const std::uint16_t corner = corners_[b][static_cast<std::size_t>(step)];
            // As the decoder has it: the sum of two differences modulo 2^16.
            const std::uint32_t own = (corner - due) & 0xFFFF;
            if (b == 0) {
                const bool plain = month == 0 && !layer.is_signed;
                numbers.push_back(plain ? own : folded(own));
                first = thirstline_signed(numbers.back());
                if (plain) first = own;
                block.surprise = first;
            } else {
                numbers.push_back(folded(own - first));
                block.surprise = first + thirstline_signed(numbers.back());
            }
        }
        return numbers;
    }

    /// The layer's Golomb parameter with which its corners take the fewest bits.
    int corner_parameter(const Layer& layer, int steps) {
        std::vector<std::vector<std::uint32_t>> numbers;
        for (int step = 0; step < steps; ++step) numbers.push_back(corner_numbers(layer, step));
        numbers.front().erase(numbers.front().begin());
        int best = 0;
        std::uint64_t least = ~std::uint64_t{0};
        for (int parameter = 0; parameter < 12; ++parameter) {
            std::uint64_t bits = 0;
            for (int step = 0; step < steps; ++step) {
                const auto of_month = static_cast<int>(
                    thirstline_corner_parameter(static_cast<std::uint32_t>(parameter),
                                                static_cast<std::uint32_t>(month_of(step))));
                for (const std::uint32_t number : numbers[static_cast<std::size_t>(step)])
                    bits += golomb_bits(number, of_month);
            }
            if (bits < least) {
                least = bits;
                best = parameter;
            }
        }
        return best;
    }

    void write_gaps(const Layer& layer, int month) {
        std::vector<Rows> gaps;
        bool as_before = true;
        for (Block& block : blocks_) {
            Rows rows = block.present;
            for (int slot = 0; slot < kBlockSlots; ++slot) {
                if (has(block.present, slot) && value(layer, block, slot, month) == kMissingValue)
                    rows[static_cast<std::size_t>(slot / kStride)] &=
                        static_cast<std::uint8_t>(~(1U << (slot % kStride)));
            }
            as_before = as_before && rows == block.has_value;
            gaps.push_back(rows);
        }
        head_.add(as_before ? 0 : 1, 1);
        if (as_before) return;
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            blocks_[b].has_value = gaps[b];
            for (int slot = 0; slot < kBlockSlots; ++slot) {
                if (has(blocks_[b].present, slot)) head_.add(has(gaps[b], slot) ? 0 : 1, 1);
            }
        }
    }

    void write_plane(const Layer& layer, int month, int parameter) {
        int step = 0;
        while (month_of(step) != month) ++step;
        const auto corners = corner_numbers(layer, step);
        fill_plane(layer, step);
        const Candidate best = best_candidate(month);
        write_form(best.form, month);
        for (std::size_t i = 0; i < corners.size(); ++i) {
            const bool first = i == 0 && month == 0;
            const auto of_month = static_cast<int>(thirstline_corner_parameter(
                static_cast<std::uint32_t>(parameter), static_cast<std::uint32_t>(month)));
            head_.add_golomb(corners[i], first ? THIRSTLINE_FIRST_CORNER_PARAMETER : of_month);
        }
        settle(best, month);
        if (month == 0) keep_first_of_all();
    }

    void keep_first_of_all() {
        if (layers_before_++ != 0) return;
        for (Block& block : blocks_) block.planes[THIRSTLINE_FIRST_OF_ALL] = block.planes[0];
    }

    /// The plane's values where there are any; the others follow from the form, in `settle`.
    void fill_plane(const Layer& layer, int step) {
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            Block& block = blocks_[b];
            block.own[0] = corners_[b][static_cast<std::size_t>(step)];
            for (int slot = 1; slot < kBlockSlots; ++slot) {
                if (has(block.has_value, slot))
                    block.own[static_cast<std::size_t>(slot)] =
                        stored(layer, value(layer, block, slot, month_of(step)));
            }
        }
    }

    void write_form(const thirstline_plane_form& form, int month) {
        const std::uint32_t usual_weight =
            thirstline_usual_weight(static_cast<std::uint32_t>(month));
        head_.add_golomb(folded(form.residual_class - previous_class_), THIRSTLINE_CLASS_PARAMETER);
        const bool same = form.predictor == previous_predictor_;
        head_.add(same ? 0 : 1, 1);
        if (!same) {
            head_.add(form.predictor > previous_predictor_ ? form.predictor - 1 : form.predictor,
                      2);
        }
        for (std::uint32_t i = 0; i < form.kin_count; ++i) {
            head_.add_golomb(folded(form.weight[i] - usual_weight), THIRSTLINE_WEIGHT_PARAMETER);
        }
        previous_class_ = form.residual_class;
        previous_predictor_ = form.predictor;
    }

    // --- the search for the cheapest form of a plane

    [[nodiscard]] Candidate best_candidate(int month) {
        Candidate best;
        best.cost = ~std::uint64_t{0};
        for (std::uint32_t predictor = 0; predictor < kPredictors; ++predictor) {
            thirstline_plane_form form{};
            form.predictor = predictor;
            form.kin_count = thirstline_kin_of_month(static_cast<std::uint32_t>(month),
                                                     layers_before_, form.kin);
            const auto usual_weight = static_cast<std::int32_t>(
                thirstline_usual_weight(static_cast<std::uint32_t>(month)));
            const std::array<std::int32_t, 2> usual{usual_weight, usual_weight};
            const auto fitted = fitted_weights(form, usual);
            try_form(form, fitted, month, best);
            if (form.kin_count > 0 && fitted != usual) try_form(form, usual, month, best);
        }
        refine_weights(month, best);
        return best;
    }

    /// Least squares are not least bits: walks to the cheapest weights nearby.
    void refine_weights(int month, Candidate& best) {
        for (int round = 0; round < kRefinements; ++round) {
            const Candidate centre = best;
            for (std::uint32_t i = 0; i < centre.form.kin_count; ++i) {
                for (const std::int32_t aside : {-1, 1}) {
                    std::array<std::int32_t, 2> weights{
                        static_cast<std::int32_t>(centre.form.weight[0]),
                        static_cast<std::int32_t>(centre.form.weight[1])};
                    weights[i] += aside;
                    try_form(centre.form, weights, month, best);
                }
            }
            if (best.cost == centre.cost) return;
        }
    }

    void try_form(thirstline_plane_form form, const std::array<std::int32_t, 2>& weights, int month,
                  Candidate& best) {
        std::uint64_t head_bits = form.predictor == previous_predictor_ ? 1 : 3;
        for (std::uint32_t i = 0; i < form.kin_count; ++i) {
            form.weight[i] = static_cast<std::uint32_t>(weights[i]);
            const auto usual = static_cast<std::int32_t>(
                thirstline_usual_weight(static_cast<std::uint32_t>(month)));
            head_bits +=
                golomb_bits(folded_integer(weights[i] - usual), THIRSTLINE_WEIGHT_PARAMETER);
        }
        Candidate candidate;
        candidate.form = form;
        ResidualStatistics statistics;
        for (Block& block : blocks_) {
            Plane plane = block.own;
            std::array<std::uint16_t, kBlockSlots> residuals{};
            run_block(block, form, plane, residuals);
            for (int slot = 1; slot < kBlockSlots; ++slot) {
                if (!has(block.has_value, slot)) continue;
                statistics.add(residuals[static_cast<std::size_t>(slot)], at_edge(slot));
            }
        }
        const auto [residual_class, residual_cost] = statistics.best_class(previous_class_);
        candidate.form.residual_class = residual_class;
        candidate.cost = head_bits * kCostOfABit + residual_cost;
        if (candidate.cost < best.cost) best = candidate;
    }

    /// What a slot is due to hold from its neighbours in the plane.
    static std::uint16_t due_value(const Plane& plane, std::uint32_t predictor, int slot,
                                   int width) {
        const auto at = static_cast<std::size_t>(slot);
        if (slot < kStride) return plane[at - 1];
        const std::size_t north = at - kStride;
        if (slot % kStride == 0) return plane[north];
        const std::size_t north_east = slot % kStride + 1 < width ? north + 1 : north;
        return thirstline_predicted(predictor, plane[at - 1], plane[north], plane[north - 1],
                                    plane[north_east]);
    }

    static std::int32_t detail(const Plane& plane, std::uint32_t predictor, int slot, int width) {
        return static_cast<std::int16_t>(plane[static_cast<std::size_t>(slot)] -
                                         due_value(plane, predictor, slot, width));
    }

    /// Least squares, in quarters. Points without a value stand as the kin alone would have them.
    [[nodiscard]] std::array<std::int32_t, 2> fitted_weights(
        const thirstline_plane_form& form, const std::array<std::int32_t, 2>& usual) {
        if (form.kin_count == 0) return usual;
        std::int64_t aa = 2, ab = 0, bb = 2, ay = 0, by = 0;
        for (Block& block : blocks_) {
            const Plane& own = block.own;
            const Plane& a = block.planes[form.kin[0]];
            const Plane& b = block.planes[form.kin[1]];
            for (int slot = 1; slot < kBlockSlots; ++slot) {
                if (!knows_neighbours(block, slot)) continue;
                const std::int64_t y = detail(own, form.predictor, slot, block.width);
                const std::int64_t fa = detail(a, form.predictor, slot, block.width);
                const std::int64_t fb =
                    form.kin_count == 2 ? detail(b, form.predictor, slot, block.width) : 0;
                aa += fa * fa;
                ab += fa * fb;
                bb += fb * fb;
                ay += fa * y;
                by += fb * y;
            }
        }
        // Doubles of integers below 2^53 and one division: the same on every machine.
        const auto quarters = [](double dividend, double divisor) {
            const double weight = divisor == 0 ? 0 : std::floor(4 * dividend / divisor + 0.5);
            return static_cast<std::int32_t>(std::clamp(weight, -kGreatestWeight, kGreatestWeight));
        };
        if (form.kin_count == 1)
            return {quarters(static_cast<double>(ay), static_cast<double>(aa)), 0};
        const double determinant = static_cast<double>(aa) * static_cast<double>(bb) -
                                   static_cast<double>(ab) * static_cast<double>(ab);
        return {quarters(static_cast<double>(ay) * static_cast<double>(bb) -
                             static_cast<double>(by) * static_cast<double>(ab),
                         determinant),
                quarters(static_cast<double>(by) * static_cast<double>(aa) -
                             static_cast<double>(ay) * static_cast<double>(ab),
                         determinant)};
    }

    static bool knows_neighbours(const Block& block, int slot) {
        if (!has(block.has_value, slot)) return false;
        const bool west = slot % kStride == 0 || has(block.has_value, slot - 1);
        const bool north = slot < kStride || has(block.has_value, slot - kStride);
        return west && north &&
               (slot < kStride || slot % kStride == 0 || has(block.has_value, slot - kStride - 1));
    }

    /// Folded residuals of a block's plane under a form; fills in the points without a value, as
    /// the reader will.
    void run_block(const Block& block, const thirstline_plane_form& form, Plane& plane,
                   std::array<std::uint16_t, kBlockSlots>& residuals) const {
        Plane sums{};
        for (std::uint32_t i = 0; i < form.kin_count; ++i) {
            thirstline_add_detail(sums.data(), block.planes[form.kin[i]].data(), form.predictor,
                                  static_cast<std::uint16_t>(form.weight[i]),
                                  static_cast<std::uint32_t>(block.width));
        }
        thirstline_whole_quarters(sums.data());
        for (int slot = 1; slot < kBlockSlots; ++slot) {
            if (!block.holds(slot)) continue;
            const auto s = static_cast<std::size_t>(slot);
            const auto due = static_cast<std::uint16_t>(
                due_value(plane, form.predictor, slot, block.width) + sums[s]);
            if (has(block.has_value, slot))
                residuals[s] =
                    static_cast<std::uint16_t>(folded(static_cast<std::uint32_t>(plane[s] - due)));
            else
                plane[s] = due;
        }
    }

    /// Writes the residuals, and leaves the plane as the reader has it.
    void settle(const Candidate& chosen, int month) {
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            Block& block = blocks_[b];
            std::array<std::uint16_t, kBlockSlots> residuals{};
            run_block(block, chosen.form, block.own, residuals);
            plane_of(block, month) = block.own;
            if (chosen.form.residual_class == 0) continue;
            for (const bool edge : {true, false}) {
                const std::uint32_t residual_class =
                    edge ? thirstline_edge_class(chosen.form.residual_class)
                         : chosen.form.residual_class;
                for (int slot = 1; slot < kBlockSlots; ++slot) {
                    if (has(block.has_value, slot) && at_edge(slot) == edge)
                        block.coder.add(residual_class, residuals[static_cast<std::size_t>(slot)]);
                }
            }
        }
    }

    /// Presence, lengths and states, the rest of the head, and the blocks' streams.
    std::vector<std::uint8_t> assembled(BitWriter presence) {
        std::vector<ResidualStream> streams;
        for (Block& block : blocks_) streams.push_back(block.coder.stream());
        // The head tells its own length, which grows with what it takes to tell it.
        std::vector<std::uint8_t> bytes;
        std::size_t head_bytes = 0;
        do {
            head_bytes = bytes.size();
            bytes = head_with(presence, head_bytes, streams).bytes();
        } while (bytes.size() > head_bytes);
        bytes.resize(head_bytes);
        for (const ResidualStream& stream : streams)
            bytes.insert(bytes.end(), stream.bytes.begin(), stream.bytes.end());
        return bytes;
    }

    [[nodiscard]] BitWriter head_with(BitWriter head, std::size_t head_bytes,
                                      const std::vector<ResidualStream>& streams) const {
        head.add_golomb(static_cast<std::uint32_t>(head_bytes), THIRSTLINE_HEAD_LENGTH_PARAMETER);
        for (std::size_t b = 0; b < streams.size(); ++b) {
            if (b + 1 < streams.size()) {
                head.add_golomb(static_cast<std::uint32_t>(streams[b].bytes.size()),
                                THIRSTLINE_STREAM_LENGTH_PARAMETER);
            }
            for (const std::uint32_t state : streams[b].states) {
                head.add(state & 2047U, 11);
                head.add(state >> 11, 11);
            }
        }
        head.append(head_);
        return head;
    }

    const TileLayout& layout_;
    const Tile& tile_;
    std::vector<Block> blocks_;  ///< those that hold points
    BitWriter head_;
    std::vector<std::array<std::uint16_t, kMonths>> corners_;  ///< by block and step
    std::uint32_t previous_class_ = THIRSTLINE_FIRST_CLASS;
    std::uint32_t previous_predictor_ = 0;
    std::uint32_t layers_before_ = 0;
};

}  // namespace

std::vector<std::uint8_t> predictively_coded(const TileLayout& layout, const Tile& tile) {
    return TileEncoder(layout, tile).coded();
}

}  // namespace thirstline
