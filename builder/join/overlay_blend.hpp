// Blends a finer baseline into the coarser one around it, so that answers do not jump at its
// border.
//
// A finer lattice has a border where its box or its data end on land that a coarser baseline covers
// as well; a coast, beyond which no baseline has data, is not one. Points of the finer lattice near
// the border become a weighted mean of their own values and the coarser answer at their place. They
// are written so: readers answer as from any other file. The weight of their own values is
//
//     d / min(W, d + c)     or 1, if that is more
//
// where d is the distance to the border, counted from the outermost points, W the width of the
// blend, and c the distance to the edge of the coarser lattice's box, so that the blend fits into a
// narrow overlap. Means are rounded half away from zero. Standard errors are weighted likewise and
// rounded up: that of the mean is never more, however the two errors are correlated. The method is
// the less trusted of both, the period that of the greater weight.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <vector>

#include "builder/background/sphere_tree.hpp"
#include "builder/join/join_plan.hpp"
#include "schema/answer/answer.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Blends the values of a slot with the answer of the lattices below, whose weight is
/// `1 - own_weight / whole_weight`. What the answer lacks stays as it is, but a standard error
/// becomes unknown where the answer has the value and not its error. The gradients belong to tiles,
/// and stay.
/// `own_weight` is 0 to `whole_weight`, which is at most 10 million.
void blend_point(Tile& tile, int slot, const Answer& below, std::int64_t own_weight,
                 std::int64_t whole_weight, const TileLayout& layout);

/// The tiles of a joined file, blended. Belongs to the thread of the joined databases.
class OverlayBlend final : public TileSource {
  public:
    /// Finds the borders: reads all tiles of the finer lattices. `plan` must outlive the result.
    /// Errors: those of reading.
    [[nodiscard]] static Result<std::unique_ptr<OverlayBlend>> over(const JoinPlan& plan,
                                                                    int width_km);

    /// Blends a tile of that lattice of the joined file, given in the joined file's terms; false if
    /// it has no point near a border. Errors: those of reading.
    [[nodiscard]] Result<bool> blend(const Lattice& lattice, TileAddress address, Tile& tile);

    /// Errors: bad_database for a damaged tile, with its file.
    [[nodiscard]] Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                           TileAddress address) override;

  private:
    struct Border {
        explicit Border(std::vector<Vector3> places) : tree(std::move(places)) {}
        SphereTree tree;
    };

    OverlayBlend(const JoinPlan& plan, double width_m) : plan_(plan), width_m_(width_m) {}
    [[nodiscard]] std::size_t number_of(const Lattice& lattice) const;
    [[nodiscard]] Result<std::shared_ptr<const Tile>> blended_tile(std::size_t number,
                                                                   TileAddress address);
    [[nodiscard]] double depth_of_overlap_m(std::size_t number, LatLon place) const;

    const JoinPlan& plan_;
    const double width_m_;
    std::vector<std::unique_ptr<Border>> borders_;  ///< by lattice; null if it has none
    std::vector<std::vector<Lattice>> below_;       ///< by lattice: those of lower rank
    std::map<std::int64_t, std::shared_ptr<const Tile>> recent_;  ///< by key; null if absent
};

}  // namespace thirstline
