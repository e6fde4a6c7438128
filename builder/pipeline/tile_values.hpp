// Converts a point's record to the integers of a tile, and computes the gradients of a square.
//
// Thread safety: pure functions; a GradientMean belongs to one thread.
#pragma once

#include <cstdint>

#include "builder/pipeline/point_record.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// Mean over points of their known gradients, by month.
class GradientMean {
  public:
    void add(const RecordGradients& gradients);
    [[nodiscard]] bool is_empty() const { return is_empty_; }
    /// Writes the gradient layers that the tile has.
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
    bool is_empty_ = true;
};

/// Marks the slot as present and sets those of its layers that the tile has. Temperatures only if
/// they are known in every month.
void store_record(Tile& tile, const TileLayout& layout, int slot, const PointRecord& record,
                  std::uint8_t period_set);

}  // namespace thirstline
