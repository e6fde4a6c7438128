#include "schema/tile_code/plane_search.hpp"

#include <algorithm>
#include <span>

#include "schema/tile_code/bit_writer.hpp"
#include "schema/tile_code/residual_costs.hpp"
#include "schema/tile_code/weight_grid.hpp"

namespace thirstline {

namespace {

constexpr int kRefinements = 2;
constexpr std::size_t kTried = 8;        // number of weights with the smallest distances
constexpr std::size_t kTriedFilled = 3;  // for blocks with gaps: each with the gaps filled for it
constexpr std::size_t kGridForms = kPredictors * kGridSide * kGridSide;

/// The changes of a plane's predictions due to its references.
void find_changes(const CodedBlock& block, const thirstline_plane_form& form, Plane& changes) {
    const Plane& first = block.details[form.references[0]][form.predictor];
    const Plane& second = block.details[form.references[1]][form.predictor];
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

/// Adds the cost of a block's plane under a form. Returns 0 if all residuals are 0.
std::uint32_t add_form_costs(const CodedBlock& block, const thirstline_plane_form& form,
                             const ClassWindow& window, ClassCosts& costs) {
    const Plane& own = block.own_details[form.predictor];
    const Plane& first = block.details[form.references[0]][form.predictor];
    const Plane& second = block.details[form.references[1]][form.predictor];
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
        // A shift, written as a product because that vectorises.
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

/// The prediction for a slot from its neighbours in the plane.
template <std::uint32_t predictor>
std::uint16_t expected_value(const Plane& plane, std::size_t slot, std::size_t width) {
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
        block.own[slot] = static_cast<std::uint16_t>(
            expected_value<predictor>(block.own, slot, width) + changes[slot]);
    }
}

/// Gives points without a value the values that a reader of this form will give them.
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

/// A way to code a plane, and its estimated cost: lower is better.
struct Candidate {
    std::int64_t rank = 0;
    thirstline_plane_form form{};
};

/// The best of the candidates added, in order, without an allocation.
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

/// Distances for the weights around the least-squares weights, under one predictor.
struct Grid {
    Weights centre{};
    GridDistances distances{};
};

class PlaneSearch {
  public:
    PlaneSearch(std::vector<CodedBlock>& blocks, const PlaneContext& context)
        : blocks_(blocks),
          context_(context),
          default_weight_(static_cast<std::int32_t>(thirstline_default_weight(context.month))) {
        best_.predictor = context.previous_predictor;
        best_.reference_count =
            thirstline_references_of_month(context.month, context.layers_before, best_.references);
        set_weights(best_, default_weights());
        for (const CodedBlock& block : blocks_) {
            has_gaps_ = has_gaps_ || block.gap_count != 0;
            count_ += block.residual_count;
        }
    }

    thirstline_plane_form cheapest() {
        fill_all_gaps(best_);
        for (CodedBlock& block : blocks_) find_details(block.own, block.width, block.own_details);
        find_grids();
        window_ = window_around(least_distance_, count_);
        class_costs_ = costs_of_classes(window_, context_.previous_class);
        try_nearest();
        try_default_weights();
        refine_weights();
        if (has_gaps_) try_filled();
        settle();
        return best_;
    }

  private:
    static constexpr std::size_t kCentre = kGridSide / 2;
    static constexpr std::uint64_t kNoRank = ~std::uint64_t{0};
    /// The predictor whose details are usually the largest.
    static constexpr std::uint32_t kSteepest = 2;

    [[nodiscard]] Weights default_weights() const {
        return {best_.reference_count > 0 ? default_weight_ : 0,
                best_.reference_count > 1 ? default_weight_ : 0};
    }
    static void set_weights(thirstline_plane_form& form, const Weights& weights) {
        form.weight[0] = static_cast<std::uint32_t>(weights[0]);
        form.weight[1] = static_cast<std::uint32_t>(weights[1]);
    }

    void find_grids() {
        int spared_bits = 0;
        for (const CodedBlock& block : blocks_)
            spared_bits = std::max(spared_bits, bits_to_spare(planes_of(block, kSteepest)));
        for (std::uint32_t predictor = 0; predictor < kPredictors; ++predictor) {
            Moments moments;
            for (const CodedBlock& block : blocks_)
                add_moments(planes_of(block, predictor), block.knows_neighbours, moments);
            const Weights usual = default_weights();
            Grid& grid = grids_[predictor];
            grid = grid_around(
                best_.reference_count == 0 ? usual : moments.fitted_weights(best_.reference_count),
                predictor, spared_bits);
            if (has_gaps_) {
                // If few points have neighbours, the weights fitted to them can be poor.
                const Grid other = grid_around(usual, predictor, spared_bits);
                if (least_distance_of(other) <= least_distance_of(grid)) grid = other;
            }
            least_distance_ = std::min(least_distance_, least_distance_of(grid));
        }
    }

    [[nodiscard]] Grid grid_around(const Weights& centre, std::uint32_t predictor,
                                   int spared_bits) const {
        Grid grid{centre, {}};
        for (const CodedBlock& block : blocks_) {
            add_distances(planes_of(block, predictor), block.has_residual, centre, spared_bits,
                          grid.distances);
        }
        return grid;
    }

    [[nodiscard]] std::uint64_t least_distance_of(const Grid& grid) const {
        std::uint64_t least = ~std::uint64_t{0};
        for_each_place(
            [&](std::size_t i, std::size_t j) { least = std::min(least, grid.distances[i][j]); });
        return least;
    }

    [[nodiscard]] FamilyDetails planes_of(const CodedBlock& block, std::uint32_t predictor) const {
        return {block.own_details[predictor], block.details[best_.references[0]][predictor],
                block.details[best_.references[1]][predictor]};
    }

    /// Visits the entries of grids whose weights are valid for this plane.
    template <class Visit>
    void for_each_place(const Visit& visit) const {
        const std::size_t first = best_.reference_count > 0 ? 1 : 0;
        const std::size_t second = best_.reference_count > 1 ? 1 : 0;
        for (std::size_t i = kCentre - first; i <= kCentre + first; ++i) {
            for (std::size_t j = kCentre - second; j <= kCentre + second; ++j) visit(i, j);
        }
    }

    static std::uint32_t weight_at(std::int32_t centre, std::size_t place) {
        return static_cast<std::uint32_t>(centre) + static_cast<std::uint32_t>(place) -
               static_cast<std::uint32_t>(kCentre);
    }

    /// Tries the best weights of the grids. A plane takes about count · log2(distance) bits. The
    /// slope of this function at the smallest distance, plus 1 for each residual, gives how much
    /// distance one bit of the head is worth.
    void try_nearest() {
        constexpr std::uint64_t kParts = 16, kPartsLn2 = 11;
        const std::uint64_t worth = kPartsLn2 * (least_distance_ + count_);
        const std::uint64_t scale = kParts * count_;
        // Estimated costs, with the index of the form in their lowest bits.
        constexpr int kPlaceBits = 6;
        static_assert(kGridForms <= 1U << kPlaceBits);
        std::array<std::uint64_t, kTried> nearest;
        nearest.fill(kNoRank);
        for (std::uint32_t predictor = 0; predictor < kPredictors; ++predictor) {
            const Grid& grid = grids_[predictor];
            std::array<std::array<std::uint64_t, kGridSide>, 2> bits;
            for (std::size_t reference = 0; reference < 2; ++reference) {
                for (std::size_t place = 0; place < kGridSide; ++place)
                    bits[reference][place] =
                        bits_of_weight(weight_at(grid.centre[reference], place));
            }
            for_each_place([&](std::size_t i, std::size_t j) {
                const std::uint64_t of_head =
                    bits_of_predictor(predictor) + bits[0][i] + bits[1][j];
                std::uint64_t rank = scale * grid.distances[i][j] + worth * of_head;
                rank = rank << kPlaceBits | ((predictor * kGridSide + i) * kGridSide + j);
                for (std::uint64_t& other : nearest) {
                    const std::uint64_t less = std::min(rank, other);
                    rank = std::max(rank, other);
                    other = less;
                }
            });
        }
        thirstline_plane_form form = best_;
        for (const std::uint64_t rank : nearest) {
            if (rank == kNoRank) break;
            const std::size_t place = rank % (1U << kPlaceBits);
            form.predictor = static_cast<std::uint32_t>(place / (kGridSide * kGridSide));
            const Weights& centre = grids_[form.predictor].centre;
            form.weight[0] = weight_at(centre[0], place / kGridSide % kGridSide);
            form.weight[1] = weight_at(centre[1], place % kGridSide);
            try_form(form);
        }
    }

    [[nodiscard]] std::uint64_t bits_of_predictor(std::uint32_t predictor) const {
        return predictor == context_.previous_predictor ? 1 : 3;
    }

    [[nodiscard]] std::uint64_t bits_of_weight(std::uint32_t weight) const {
        return golomb_bits(folded(weight - static_cast<std::uint32_t>(default_weight_)),
                           THIRSTLINE_WEIGHT_PARAMETER);
    }

    /// Cost of coding a form, except for its class.
    [[nodiscard]] std::uint32_t cost_of_form(const thirstline_plane_form& form) const {
        std::uint64_t bits = bits_of_predictor(form.predictor);
        for (std::uint32_t i = 0; i < form.reference_count; ++i)
            bits += bits_of_weight(form.weight[i]);
        return static_cast<std::uint32_t>(bits) * kCostOfABit;
    }

    /// Finds the best class for a form. Returns the resulting cost of the plane.
    std::uint32_t cost_of(thirstline_plane_form& form) const {
        ClassCosts costs = class_costs_;
        std::uint32_t any = 0;
        for (const CodedBlock& block : blocks_) any |= add_form_costs(block, form, window_, costs);
        const auto least = std::min_element(costs.begin(), costs.end());
        form.residual_class =
            any == 0 ? 0 : window_.first + static_cast<std::uint32_t>(least - costs.begin());
        return cost_of_form(form) + (any == 0 ? cost_of_class(0, context_.previous_class) : *least);
    }

    void try_form(thirstline_plane_form form) {
        if (was_known(form)) return;
        const std::uint32_t cost = cost_of(form);
        if (has_gaps_) tried_.add({cost, form});
        if (cost >= least_cost_) return;
        least_cost_ = cost;
        best_ = form;
    }

    /// They are outside the grid if neighbours predict poorly, but take few bits to code.
    void try_default_weights() {
        thirstline_plane_form form = best_;
        set_weights(form, default_weights());
        try_form(form);
    }

    /// Whether this form has been tried before.
    bool was_known(const thirstline_plane_form& form) {
        const std::uint64_t key = form.predictor | std::uint64_t{form.weight[0] & 0xFFFF} << 16 |
                                  std::uint64_t{form.weight[1] & 0xFFFF} << 32;
        const auto end = known_.begin() + static_cast<std::ptrdiff_t>(known_count_);
        if (std::find(known_.begin(), end, key) != end) return true;
        known_[known_count_++] = key;
        return false;
    }

    /// Gaps were filled for the first form: compares the best candidates again, each with the gaps
    /// filled for it.
    void try_filled() {
        least_cost_ = ~0U;
        for (const Candidate& candidate : tried_.in_order()) {
            thirstline_plane_form form = candidate.form;
            fill_all_gaps(form);
            for (CodedBlock& block : blocks_) {
                find_details_by(form.predictor, block.own, block.width,
                                block.own_details[form.predictor]);
            }
            const std::uint32_t cost = cost_of(form);
            if (cost >= least_cost_) continue;
            least_cost_ = cost;
            best_ = form;
        }
    }

    void fill_all_gaps(const thirstline_plane_form& form) {
        for (CodedBlock& block : blocks_)
            if (block.gap_count != 0) fill_gaps(block, form);
    }

    /// The smallest distance is not always the fewest bits: searches nearby weights for the
    /// cheapest.
    void refine_weights() {
        for (int round = 0; round < kRefinements; ++round) {
            const thirstline_plane_form centre = best_;
            const std::uint32_t cost = least_cost_;
            for (std::uint32_t i = 0; i < centre.reference_count; ++i) {
                for (const std::uint32_t offset : {~0U, 1U}) {
                    thirstline_plane_form form = centre;
                    form.weight[i] += offset;
                    try_form(form);
                }
            }
            if (least_cost_ == cost) return;
        }
    }

    /// Leaves planes and residuals as the reader will have them.
    void settle() {
        fill_all_gaps(best_);
        for (CodedBlock& block : blocks_) {
            if (block.gap_count != 0) find_details(block.own, block.width, block.own_details);
            find_residuals(block, best_, block.residuals);
        }
        if (has_large_residual()) best_.residual_class = cheapest_class_of_all();
    }

    /// Whether the tables understate the cost of any residual.
    [[nodiscard]] bool has_large_residual() const {
        if (best_.residual_class == 0) return false;
        const int low_bits = table_of(best_.residual_class).low_bits;
        std::uint32_t greatest = 0;
        for (const CodedBlock& block : blocks_) {
            for (std::size_t slot = 0; slot < kSlots; ++slot)
                greatest = std::max<std::uint32_t>(
                    greatest, block.residuals[slot] & block.has_residual[slot]);
        }
        return greatest >> low_bits > kGreatestCostRow;
    }

    /// Computed from the cost of each residual in each class.
    [[nodiscard]] std::uint32_t cheapest_class_of_all() const {
        constexpr std::uint32_t kWidest = THIRSTLINE_GREATEST_CLASS - THIRSTLINE_EDGE_CLASSES;
        std::uint32_t best = best_.residual_class;
        std::uint64_t least = ~std::uint64_t{0};
        for (std::uint32_t residual_class = 1; residual_class <= kWidest; ++residual_class) {
            std::uint64_t cost = cost_of_class(residual_class, context_.previous_class);
            for (const CodedBlock& block : blocks_) {
                for (std::size_t slot = 0; slot < kSlots; ++slot) {
                    if (block.has_residual[slot] == 0) continue;
                    const bool at_edge = slot < kStride || slot % kStride == 0;
                    cost +=
                        cost_of_residual(residual_class + (at_edge ? THIRSTLINE_EDGE_CLASSES : 0),
                                         block.residuals[slot]);
                }
            }
            if (cost >= least) continue;
            least = cost;
            best = residual_class;
        }
        return best;
    }

    std::vector<CodedBlock>& blocks_;
    const PlaneContext& context_;
    std::int32_t default_weight_;
    thirstline_plane_form best_{};
    std::uint32_t least_cost_ = ~0U;
    bool has_gaps_ = false;
    std::uint64_t count_ = 0;  ///< number of residuals
    std::array<Grid, kPredictors> grids_;
    std::uint64_t least_distance_ = ~std::uint64_t{0};
    std::array<std::uint64_t, kTried + 1 + kRefinements * 4> known_{};  ///< forms already tried
    std::size_t known_count_ = 0;
    BestCandidates<kTriedFilled> tried_;
    ClassWindow window_;
    ClassCosts class_costs_{};
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
