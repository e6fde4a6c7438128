// A point's record as the integers of a tile, and the gradients that a tile's points share.
//
// Thread safety: pure functions; a GradientMean belongs to one thread.
#pragma once

#include <cstdint>

#include "builder/build/point_record.hpp"
#include "schema/tile.hpp"

namespace thirstline {

/// Gradients are a tile's: of the first of its points, and of every sixteenth from there, where
/// each costs a solution of its own. `points_so_far` counts the tile's points before this one.
[[nodiscard]] bool wants_gradients(int points_so_far, const Fusion& fusion);

/// Mean over points of what is known of their gradients, month by month.
class GradientMean {
  public:
    void add(const RecordGradients& gradients);
    /// Into those gradient layers that the tile has.
    void store(Tile& tile, const TileLayout& layout) const;

  private:
    struct MonthlyMean {
        Monthly<double> sum{};
        Monthly<int> count{};
        void add(const Monthly<double>& values);
        [[nodiscard]] double mean(std::size_t month) const;
    };
    MonthlyMean eto_;
    MonthlyMean rain_;
    MonthlyMean tmax_;
    MonthlyMean tmin_;
};

/// Makes the slot present and fills those of its layers that the tile has. Temperatures only if
/// they are known in every month.
void store_record(Tile& tile, const TileLayout& layout, int slot, const PointRecord& record,
                  std::uint8_t period_set);

}  // namespace thirstline
