#include "schema/tile_code/tile_encoder.hpp"

#include <array>

#include "schema/tile_code/bit_writer.hpp"
#include "schema/tile_code/plane_search.hpp"
#include "schema/tile_code/residual_coder.hpp"
#include "schema/tile_code/tile_code.h"

namespace thirstline {

namespace {

constexpr int kBlockSlots = THIRSTLINE_BLOCK_SLOTS;
constexpr int kBlockEdge = THIRSTLINE_BLOCK_EDGE;
constexpr std::int32_t kSignedBias = 0x8000;
constexpr std::uint16_t kYes = 0xFFFF;

/// A block's values in every month of a layer, as stored, and which points have one.
struct LayerValues {
    std::array<Plane, kMonths> stored;
    std::array<Plane, kMonths> has_value;
};

/// The tile slot of a block's slot.
std::size_t tile_slot(const CodedBlock& block, int slot, int tile_edge) {
    return static_cast<std::size_t>((block.first_row + slot / kBlockEdge) * tile_edge +
                                    block.first_column + slot % kBlockEdge);
}

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
        return assembled(presence);
    }

  private:
    void add_block(std::uint32_t row, std::uint32_t column) {
        const auto edge = static_cast<std::uint32_t>(layout_.edge);
        const auto block_edge = static_cast<int>(thirstline_block_edge(edge));
        CodedBlock block;
        block.first_row = static_cast<int>(row) * block_edge;
        block.first_column = static_cast<int>(column) * block_edge;
        block.width = static_cast<int>(thirstline_block_side(edge, column));
        block.height = static_cast<int>(thirstline_block_side(edge, row));
        int points = 0;
        std::array<std::uint32_t, kBlockEdge> rows{};
        for (int slot = 0; slot < kBlockSlots; ++slot) {
            if (!block.holds(slot) || tile_.present[tile_slot(block, slot, layout_.edge)] == 0)
                continue;
            block.present[static_cast<std::size_t>(slot)] = kYes;
            rows[static_cast<std::size_t>(slot / kBlockEdge)] |= 1U << (slot % kBlockEdge);
            ++points;
        }
        const bool all = points == block.width * block.height;
        head_.add(all ? 1 : 0, 1);
        if (!all) head_.add(points == 0 ? 1 : 0, 1);
        if (points == 0) return;
        for (int r = 0; r < block.height && !all; ++r)
            head_.add(rows[static_cast<std::size_t>(r)], block.width);
        blocks_.push_back(std::move(block));
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
        const auto form = read_layer(layer);
        head_.add_golomb(form, 0);
        if (form == THIRSTLINE_LAYER_ABSENT) return;
        const int steps =
            form == THIRSTLINE_LAYER_STEADY || layer.shape == LayerShape::point ? 1 : kMonths;
        for (int step = 0; step < steps; ++step) find_corner_numbers(layer, step);
        const int parameter = corner_parameter(steps);
        head_.add(static_cast<std::uint32_t>(parameter), 4);
        for (CodedBlock& block : blocks_) {
            block.has_value = block.present;
            note_values(block);
        }
        for (int step = 0; step < steps; ++step) {
            if (form == THIRSTLINE_LAYER_PERFORATED) write_gaps(month_of(step));
            write_plane(step, parameter);
        }
    }

    /// Fills `values_`. Returns the layer's form.
    std::uint32_t read_layer(const Layer& layer) {
        const std::size_t months = layer.shape == LayerShape::point ? 1 : kMonths;
        const std::vector<std::int32_t>& values = tile_.of(layer.id);
        const std::int32_t bias = layer.is_signed ? kSignedBias : 0;
        bool any = false, all = true, steady = true;
        values_.resize(blocks_.size());
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            for (std::size_t slot = 0; slot < kBlockSlots; ++slot) {
                if (blocks_[b].present[slot] == 0) continue;
                const std::int32_t* of_point =
                    values.data() +
                    tile_slot(blocks_[b], static_cast<int>(slot), layout_.edge) * months;
                std::size_t missing = 0;
                std::int32_t changes = 0;
                for (std::size_t month = 0; month < months; ++month) {
                    missing += of_point[month] == kMissingValue ? 1 : 0;
                    changes |= of_point[month] ^ of_point[0];
                    values_[b].stored[month][slot] = static_cast<std::uint16_t>(of_point[month]);
                }
                any = any || missing != months;
                all = all && missing == 0;
                steady = steady && changes == 0;
            }
            for (std::size_t month = 0; month < months; ++month) {
                values_[b].has_value[month] = blocks_[b].present;
                for (std::uint16_t& stored : values_[b].stored[month])
                    stored = static_cast<std::uint16_t>(stored + bias);
            }
        }
        if (!all) find_gaps(values, months);
        return !any     ? THIRSTLINE_LAYER_ABSENT
               : !all   ? THIRSTLINE_LAYER_PERFORATED
               : steady ? THIRSTLINE_LAYER_STEADY
                        : THIRSTLINE_LAYER_WHOLE;
    }

    /// Removes the points that lack a value from `values_`.
    void find_gaps(const std::vector<std::int32_t>& values, std::size_t months) {
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            for (std::size_t slot = 0; slot < kBlockSlots; ++slot) {
                if (blocks_[b].present[slot] == 0) continue;
                const std::size_t at =
                    tile_slot(blocks_[b], static_cast<int>(slot), layout_.edge) * months;
                for (std::size_t month = 0; month < months; ++month)
                    if (values[at + month] == kMissingValue) values_[b].has_value[month][slot] = 0;
            }
        }
    }

    static int month_of(int step) {
        return static_cast<int>(thirstline_month_of_step(static_cast<std::uint32_t>(step)));
    }

    /// The corner's own value, or else that of the nearest point that has one.
    [[nodiscard]] static std::uint16_t corner_value(const Layer& layer, const Plane& stored,
                                                    const Plane& has_value) {
        if (has_value[0] != 0) return stored[0];
        int best = kBlockSlots * 2;
        std::uint16_t corner = layer.is_signed ? kSignedBias : 0;
        for (int slot = 0; slot < kBlockSlots; ++slot) {
            const int distance = slot / kBlockEdge + slot % kBlockEdge;
            if (distance >= best || has_value[static_cast<std::size_t>(slot)] == 0) continue;
            best = distance;
            corner = stored[static_cast<std::size_t>(slot)];
        }
        return corner;
    }

    /// A plane's corners, and the numbers that encode them; those of earlier steps must be set.
    void find_corner_numbers(const Layer& layer, int step) {
        const auto at = static_cast<std::size_t>(step);
        const auto month = static_cast<std::size_t>(month_of(step));
        corners_.resize(blocks_.size());
        std::vector<std::uint32_t>& numbers = corner_numbers_[at];
        numbers.clear();
        std::uint32_t first = 0;
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            CodedBlock& block = blocks_[b];
            auto& of_step = corners_[b];
            of_step[at] =
                corner_value(layer, values_[b].stored[month], values_[b].has_value[month]);
            // The quarters' first months are steps 0, 2, 1 and 3.
            const std::array<std::uint16_t, 4> quarters{of_step[0], of_step[2], of_step[1],
                                                        of_step[3]};
            const std::uint32_t predicted =
                month != 0
                    ? thirstline_predicted_corner(
                          quarters.data(), static_cast<std::uint32_t>(month), block.corner_error)
                : layer.is_signed ? static_cast<std::uint32_t>(kSignedBias)
                                  : 0U;
            // Modulo 2^16, as in the decoder: the sum of two differences.
            const std::uint32_t own = (of_step[at] - predicted) & 0xFFFF;
            if (b == 0) {
                const bool plain = month == 0 && !layer.is_signed;
                numbers.push_back(plain ? own : folded(own));
                first = plain ? own : thirstline_signed(numbers.back());
                block.corner_error = first;
            } else {
                numbers.push_back(folded(own - first));
                block.corner_error = first + thirstline_signed(numbers.back());
            }
        }
    }

    static int corner_parameter_of(int parameter, int step) {
        return static_cast<int>(thirstline_corner_parameter(
            static_cast<std::uint32_t>(parameter), static_cast<std::uint32_t>(month_of(step))));
    }

    /// The layer's Golomb parameter with which its corners take the fewest bits.
    [[nodiscard]] int corner_parameter(int steps) const {
        int best = 0;
        std::uint64_t least = ~std::uint64_t{0};
        for (int parameter = 0; parameter < 12; ++parameter) {
            std::uint64_t bits = 0;
            for (int step = 0; step < steps; ++step) {
                const auto& numbers = corner_numbers_[static_cast<std::size_t>(step)];
                // The very first corner has its own parameter.
                for (std::size_t i = step == 0 ? 1 : 0; i < numbers.size(); ++i)
                    bits += golomb_bits(numbers[i], corner_parameter_of(parameter, step));
            }
            if (bits < least) {
                least = bits;
                best = parameter;
            }
        }
        return best;
    }

    void write_gaps(int month) {
        const auto at = static_cast<std::size_t>(month);
        bool as_before = true;
        for (std::size_t b = 0; b < blocks_.size(); ++b)
            as_before = as_before && values_[b].has_value[at] == blocks_[b].has_value;
        head_.add(as_before ? 0 : 1, 1);
        if (as_before) return;
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            CodedBlock& block = blocks_[b];
            block.has_value = values_[b].has_value[at];
            note_values(block);
            for (std::size_t slot = 0; slot < kBlockSlots; ++slot)
                if (block.present[slot] != 0) head_.add(block.has_value[slot] == 0 ? 1 : 0, 1);
        }
    }

    void write_plane(int step, int parameter) {
        const auto month = static_cast<std::size_t>(month_of(step));
        for (std::size_t b = 0; b < blocks_.size(); ++b) {
            blocks_[b].own = values_[b].stored[month];
            blocks_[b].own[0] = corners_[b][static_cast<std::size_t>(step)];
        }
        context_.month = static_cast<std::uint32_t>(month);
        const thirstline_plane_form form = cheapest_form(blocks_, context_);
        write_form(form);
        const auto& numbers = corner_numbers_[static_cast<std::size_t>(step)];
        for (std::size_t i = 0; i < numbers.size(); ++i) {
            const bool first = i == 0 && step == 0;
            head_.add_golomb(numbers[i], first ? THIRSTLINE_FIRST_CORNER_PARAMETER
                                               : corner_parameter_of(parameter, step));
        }
        const auto plane = thirstline_plane_of_month(static_cast<std::uint32_t>(month));
        for (CodedBlock& block : blocks_) {
            write_residuals(block, form.residual_class);
            keep_plane(block, plane);
            if (step == 0 && context_.layers_before == 0)
                keep_plane(block, THIRSTLINE_FIRST_OF_ALL);
        }
        if (step == 0) ++context_.layers_before;
    }

    void write_form(const thirstline_plane_form& form) {
        const std::uint32_t default_weight = thirstline_default_weight(context_.month);
        const std::uint32_t previous = context_.previous_predictor;
        head_.add_golomb(folded(form.residual_class - context_.previous_class),
                         THIRSTLINE_CLASS_PARAMETER);
        const bool same = form.predictor == previous;
        head_.add(same ? 0 : 1, 1);
        if (!same) head_.add(form.predictor > previous ? form.predictor - 1 : form.predictor, 2);
        for (std::uint32_t i = 0; i < form.reference_count; ++i)
            head_.add_golomb(folded(form.weight[i] - default_weight), THIRSTLINE_WEIGHT_PARAMETER);
        context_.previous_class = form.residual_class;
        context_.previous_predictor = form.predictor;
    }

    /// First the residuals of the south and west edges, then the others.
    static void write_residuals(CodedBlock& block, std::uint32_t residual_class) {
        if (residual_class == 0) return;
        std::array<std::uint16_t, kBlockSlots> edge, inner;
        std::size_t at_edge = 0, within = 0;
        const auto take = [&block](std::size_t slot, auto& numbers, std::size_t& count) {
            numbers[count] = block.residuals[slot];
            count += block.has_residual[slot] & 1U;
        };
        for (std::size_t slot = 1; slot < kBlockEdge; ++slot) take(slot, edge, at_edge);
        for (std::size_t first = kBlockEdge; first < kBlockSlots; first += kBlockEdge) {
            take(first, edge, at_edge);
            for (std::size_t slot = first + 1; slot < first + kBlockEdge; ++slot)
                take(slot, inner, within);
        }
        block.coder.add(thirstline_edge_class(residual_class), {edge.data(), at_edge});
        block.coder.add(residual_class, {inner.data(), within});
    }

    /// Presence, lengths and states, the rest of the head, and the blocks' streams.
    std::vector<std::uint8_t> assembled(const BitWriter& presence) {
        std::vector<ResidualStream> streams;
        for (const CodedBlock& block : blocks_) streams.push_back(block.coder.stream());
        // The head contains its own length, whose code makes the head longer.
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
    std::vector<CodedBlock> blocks_;  ///< those that have points
    BitWriter head_;
    PlaneContext context_;
    // Of the current layer, by block, and by step:
    std::vector<LayerValues> values_;
    std::vector<std::array<std::uint16_t, kMonths>> corners_;
    std::array<std::vector<std::uint32_t>, kMonths> corner_numbers_;
};

}  // namespace

std::vector<std::uint8_t> predictively_coded(const TileLayout& layout, const Tile& tile) {
    return TileEncoder(layout, tile).coded();
}

}  // namespace thirstline
