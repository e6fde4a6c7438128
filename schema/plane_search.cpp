#include "schema/plane_search.hpp"

#include <algorithm>
#include <span>

#include "schema/bit_writer.hpp"
#include "schema/residual_costs.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kSlots = THIRSTLINE_BLOCK_SLOTS;
constexpr std::size_t kStride = THIRSTLINE_BLOCK_EDGE;
constexpr std::int32_t kGreatestWeight = 20;  // in quarters: more has never paid
constexpr int kRefinements = 2;
constexpr std::size_t kTried = 6;        // of the candidates that least squares leave
constexpr std::size_t kTriedFilled = 3;  // of blocks with gaps: with the gaps as each fills them

using Weights = std::array<std::int32_t, 2>;

std::int32_t quarters_of(double dividend, double divisor) {
    // Doubles of integers below 2^53 and one division: the same on every machine.
    const double weight = divisor == 0 ? 0 : 4 * dividend / divisor;
    const double within = std::clamp<double>(weight, -kGreatestWeight, kGreatestWeight);
    return static_cast<std::int32_t>(within + kGreatestWeight + 0.5) - kGreatestWeight;
}

/// Sums of products of the details of a plane (y) and its two kin (a, b).
struct Moments {
    std::int64_t yy = 0, aa = 0, ab = 0, bb = 0, ay = 0, by = 0;

    /// Weights of least squares, in quarters.
    [[nodiscard]] Weights fitted_weights(std::uint32_t kin_count) const {
        const auto aa_d = static_cast<double>(aa + 2), ab_d = static_cast<double>(ab),
                   bb_d = static_cast<double>(bb + 2), ay_d = static_cast<double>(ay),
                   by_d = static_cast<double>(by);
        if (kin_count == 1) return {quarters_of(ay_d, aa_d), 0};
        const double determinant = aa_d * bb_d - ab_d * ab_d;
        return {quarters_of(ay_d * bb_d - by_d * ab_d, determinant),
                quarters_of(by_d * aa_d - ay_d * ab_d, determinant)};
    }

    /// The sum of squares that these weights leave, in 1/16.
    [[nodiscard]] std::int64_t left_by(const Weights& weights) const {
        const std::int64_t a = weights[0], b = weights[1];
        return 16 * yy - 8 * (a * ay + b * by) + a * a * aa + 2 * a * b * ab + b * b * bb;
    }
};

/// So small that the sum of a block's products fits 32 bits.
std::int16_t small(std::uint16_t number) {
    constexpr std::int16_t kGreatest = 4095;
    return std::min<std::int16_t>(
        std::max<std::int16_t>(static_cast<std::int16_t>(number), -kGreatest), kGreatest);
}

void add_moments(const Plane& own, const Plane& first, const Plane& second, const Plane& counts,
                 Moments& moments) {
    std::int32_t yy = 0, aa = 0, ab = 0, bb = 0, ay = 0, by = 0;
    for (std::size_t slot = 0; slot < kSlots; ++slot) {
        const std::int16_t y = small(own[slot] & counts[slot]);
        const std::int16_t a = small(first[slot] & counts[slot]);
        const std::int16_t b = small(second[slot] & counts[slot]);
        yy += y * y;
        aa += a * a;
        ab += a * b;
        bb += b * b;
        ay += a * y;
        by += b * y;
    }
    moments.yy += yy;
    moments.aa += aa;
    moments.ab += ab;
    moments.bb += bb;
    moments.ay += ay;
    moments.by += by;
}

/// The kin's changes to the predictions of a plane.
void find_changes(const CodedBlock& block, const thirstline_plane_form& form, Plane& changes) {
    const Plane& first = block.details[form.kin[0]][form.predictor];
    const Plane& second = block.details[form.kin[1]][form.predictor];
    for (std::size_t slot = 0; slot < kSlots; ++slot)
        changes[slot] = weighted_change(first[slot], form.weight[0], second[slot], form.weight[1]);
}

/// Folded residuals of a block's plane.
void find_residuals(const CodedBlock& block, const thirstline_plane_form& form, Plane& residuals) {
    Plane changes;
    find_changes(block, form, changes);
    const Plane& own = block.own_details[form.predictor];
    for (std::size_t slot = 0; slot < kSlots; ++slot)
        residuals[slot] = folded(static_cast<std::uint32_t>(own[slot] - changes[slot]));
}

/// Adds what a block's plane costs under a form. Returns 0 if all of its residuals are.
std::uint32_t add_form_costs(const CodedBlock& block, const thirstline_plane_form& form,
                             const ClassWindow& window, ClassCosts& costs) {
    const Plane& own = block.own_details[form.predictor];
    const Plane& first = block.details[form.kin[0]][form.predictor];
    const Plane& second = block.details[form.kin[1]][form.predictor];
    Plane rows;
    std::uint16_t any = 0;
    for (std::size_t slot = 0; slot < kSlots; ++slot) {
        const std::uint16_t residual = folded(
            static_cast<std::uint32_t>(own[slot] - weighted_change(first[slot], form.weight[0],
                                                                   second[slot], form.weight[1])));
        any = static_cast<std::uint16_t>(any | (residual & block.has_residual[slot]));
        rows[slot] = residual;
    }
    if (window.low_bits != 0) {
        // A shift, as the product that is made of a vector instruction.
        const std::uint32_t factor = 0x10000U >> window.low_bits;
        for (std::uint16_t& row : rows) row = static_cast<std::uint16_t>((row * factor) >> 16);
    }
    for (std::size_t slot = 0; slot < kSlots; ++slot) {
        const auto free = static_cast<std::uint16_t>(~block.has_residual[slot] & kFreeCostRow);
        const std::uint16_t row = std::min(rows[slot], kGreatestCostRow);
        rows[slot] = static_cast<std::uint16_t>(row | free);
    }
    add_costs(window, rows, costs);
    return any;
}

/// What a slot is due to hold from its neighbours in the plane.
template <std::uint32_t predictor>
std::uint16_t due_value(const Plane& plane, std::size_t slot, std::size_t width) {
    if (slot < kStride) return plane[slot - 1];
    const std::size_t north = slot - kStride;
    const std::size_t column = slot % kStride;
    if (column == 0) return plane[north];
    return thirstline_predicted(predictor, plane[slot - 1], plane[north], plane[north - 1],
                                plane[column + 1 < width ? north + 1 : north]);
}

template <std::uint32_t predictor>
void fill_gaps_by(const Plane& changes, CodedBlock& block) {
    const auto width = static_cast<std::size_t>(block.width);
    for (std::size_t at = 0; at < block.gap_count; ++at) {
        const std::size_t slot = block.gaps[at];
        block.own[slot] = static_cast<std::uint16_t>(due_value<predictor>(block.own, slot, width) +
                                                     changes[slot]);
    }
}

/// Gives the points without a value what a reader of this form will give them.
void fill_gaps(CodedBlock& block, const thirstline_plane_form& form) {
    Plane changes;
    find_changes(block, form, changes);
    switch (form.predictor) {
        case 0:
            return fill_gaps_by<0>(changes, block);
        case 1:
            return fill_gaps_by<1>(changes, block);
        case 2:
            return fill_gaps_by<2>(changes, block);
        case 3:
            return fill_gaps_by<3>(changes, block);
        default:
            return fill_gaps_by<4>(changes, block);
    }
}

/// A way to code a plane, and how good it seemed: the less, the better.
struct Candidate {
    std::int64_t rank = 0;
    thirstline_plane_form form{};
};

/// The best of those added, in order, without an allocation.
template <std::size_t kept>
class BestCandidates {
  public:
    void add(const Candidate& candidate) {
        if (count_ == kept && candidate.rank >= best_[count_ - 1].rank) return;
        std::size_t at = count_ < kept ? count_++ : count_ - 1;
        for (; at > 0 && candidate.rank < best_[at - 1].rank; --at) best_[at] = best_[at - 1];
        best_[at] = candidate;
    }
    [[nodiscard]] std::span<const Candidate> in_order() const { return {best_.data(), count_}; }

  private:
    std::array<Candidate, kept> best_;
    std::size_t count_ = 0;
};

class PlaneSearch {
  public:
    PlaneSearch(std::vector<CodedBlock>& blocks, const PlaneContext& context)
        : blocks_(blocks),
          context_(context),
          usual_weight_(static_cast<std::int32_t>(thirstline_usual_weight(context.month))) {
        best_.predictor = context.previous_predictor;
        best_.kin_count = thirstline_kin_of_month(context.month, context.layers_before, best_.kin);
        set_weights(best_, usual_weights());
        for (const CodedBlock& block : blocks_) has_gaps_ = has_gaps_ || block.gap_count != 0;
    }

    thirstline_plane_form cheapest() {
        fill_all_gaps(best_);
        for (CodedBlock& block : blocks_) find_details(block.own, block.width, block.own_details);
        find_window(best_);
        find_candidates();
        for (const Candidate& candidate : candidates_.in_order()) try_form(candidate.form);
        refine_weights();
        if (has_gaps_) try_filled();
        settle();
        return best_;
    }

  private:
    [[nodiscard]] Weights usual_weights() const {
        return {best_.kin_count > 0 ? usual_weight_ : 0, best_.kin_count > 1 ? usual_weight_ : 0};
    }
    static void set_weights(thirstline_plane_form& form, const Weights& weights) {
        form.weight[0] = static_cast<std::uint32_t>(weights[0]);
        form.weight[1] = static_cast<std::uint32_t>(weights[1]);
    }

    void find_window(const thirstline_plane_form& form) {
        std::uint64_t sum = 0, count = 0;
        for (CodedBlock& block : blocks_) {
            find_residuals(block, form, block.residuals);
            std::uint32_t of_block = 0;
            for (std::size_t slot = 0; slot < kSlots; ++slot)
                of_block += block.residuals[slot] & block.has_residual[slot];
            sum += of_block;
            count += block.residual_count;
        }
        window_ = window_around(sum, count);
        costs_of_saying_ = costs_of_saying(window_, context_.previous_class);
    }

    void find_candidates() {
        thirstline_plane_form form = best_;
        for (form.predictor = 0; form.predictor < kPredictors; ++form.predictor) {
            Moments moments;
            for (const CodedBlock& block : blocks_) {
                add_moments(
                    block.own_details[form.predictor], block.details[form.kin[0]][form.predictor],
                    block.details[form.kin[1]][form.predictor], block.knows_neighbours, moments);
            }
            const Weights usual = usual_weights();
            const Weights fitted =
                form.kin_count == 0 ? usual : moments.fitted_weights(form.kin_count);
            set_weights(form, fitted);
            candidates_.add({moments.left_by(fitted), form});
            if (fitted == usual) continue;
            set_weights(form, usual);
            candidates_.add({moments.left_by(usual), form});
        }
    }

    [[nodiscard]] std::uint32_t cost_of_saying_form(const thirstline_plane_form& form) const {
        std::uint64_t bits = form.predictor == context_.previous_predictor ? 1 : 3;
        for (std::uint32_t i = 0; i < form.kin_count; ++i) {
            bits += golomb_bits(folded(form.weight[i] - static_cast<std::uint32_t>(usual_weight_)),
                                THIRSTLINE_WEIGHT_PARAMETER);
        }
        return static_cast<std::uint32_t>(bits) * kCostOfABit;
    }

    [[nodiscard]] std::uint32_t cost_of(const thirstline_plane_form& form) const {
        ClassCosts costs = costs_of_saying_;
        std::uint32_t any = 0;
        for (const CodedBlock& block : blocks_) any |= add_form_costs(block, form, window_, costs);
        return cost_of_saying_form(form) + (any == 0
                                                ? cost_of_saying(0, context_.previous_class)
                                                : *std::min_element(costs.begin(), costs.end()));
    }

    void try_form(const thirstline_plane_form& form) {
        const std::uint32_t cost = cost_of(form);
        if (has_gaps_) tried_.add({cost, form});
        if (cost >= least_cost_) return;
        least_cost_ = cost;
        best_ = form;
    }

    /// Gaps were filled as the first form would have them: the best are compared once more, each
    /// with the gaps as it fills them.
    void try_filled() {
        least_cost_ = ~0U;
        for (const Candidate& candidate : tried_.in_order()) {
            const thirstline_plane_form& form = candidate.form;
            fill_all_gaps(form);
            for (CodedBlock& block : blocks_)
                find_details_by(form.predictor, block.own, block.width,
                                block.own_details[form.predictor]);
            const std::uint32_t cost = cost_of(form);
            if (cost >= least_cost_) continue;
            least_cost_ = cost;
            best_ = form;
        }
    }

    void fill_all_gaps(const thirstline_plane_form& form) {
        for (CodedBlock& block : blocks_) {
            if (block.gap_count != 0) fill_gaps(block, form);
        }
    }

    /// Least squares are not least bits: walks to the cheapest weights nearby.
    void refine_weights() {
        for (int round = 0; round < kRefinements; ++round) {
            const thirstline_plane_form centre = best_;
            const std::uint32_t cost = least_cost_;
            for (std::uint32_t i = 0; i < centre.kin_count; ++i) {
                for (const std::uint32_t aside : {~0U, 1U}) {
                    thirstline_plane_form form = centre;
                    form.weight[i] += aside;
                    try_form(form);
                }
            }
            if (least_cost_ == cost) return;
        }
    }

    /// Leaves planes and residuals as the reader will have them, and finds the class.
    void settle() {
        fill_all_gaps(best_);
        for (CodedBlock& block : blocks_) {
            if (block.gap_count != 0) find_details(block.own, block.width, block.own_details);
        }
        find_window(best_);
        best_.residual_class = residual_class();
    }

    [[nodiscard]] std::uint32_t residual_class() {
        ClassCosts costs = costs_of_saying_;
        std::uint32_t any = 0;
        for (const CodedBlock& block : blocks_) any |= add_form_costs(block, best_, window_, costs);
        if (any == 0) return 0;
        return window_.first + static_cast<std::uint32_t>(
                                   std::min_element(costs.begin(), costs.end()) - costs.begin());
    }

    std::vector<CodedBlock>& blocks_;
    const PlaneContext& context_;
    std::int32_t usual_weight_;
    thirstline_plane_form best_{};
    std::uint32_t least_cost_ = ~0U;
    bool has_gaps_ = false;
    BestCandidates<kTried> candidates_;
    BestCandidates<kTriedFilled> tried_;
    ClassWindow window_;
    ClassCosts costs_of_saying_{};
};

}  // namespace

void note_values(CodedBlock& block) {
    block.gap_count = 0;
    block.has_residual = block.has_value;
    block.has_residual[0] = 0;
    block.residual_count = 0;
    for (const std::uint16_t has_residual : block.has_residual)
        block.residual_count += has_residual & 1U;
    const Plane& has = block.has_value;
    for (std::size_t slot = 0; slot < kSlots; ++slot) {
        const bool has_row_below = slot >= kStride, has_column_before = slot % kStride != 0;
        std::uint16_t known = slot == 0 ? 0 : has[slot];
        if (has_column_before) known &= has[slot - 1];
        if (has_row_below) known &= has[slot - kStride];
        if (has_row_below && has_column_before) known &= has[slot - kStride - 1];
        block.knows_neighbours[slot] = known;
        if (slot != 0 && has[slot] == 0 && block.holds(static_cast<int>(slot)))
            block.gaps[block.gap_count++] = static_cast<std::uint8_t>(slot);
    }
}

thirstline_plane_form cheapest_form(std::vector<CodedBlock>& blocks, const PlaneContext& context) {
    return PlaneSearch(blocks, context).cheapest();
}

void keep_plane(CodedBlock& block, std::size_t plane) {
    block.details[plane] = block.own_details;
}

}  // namespace thirstline
