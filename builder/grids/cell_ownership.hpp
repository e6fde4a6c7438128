// Determines which block of a lattice reports a raster's cell, so that a rejected value is counted
// once regardless of how the lattice is divided into blocks and builds.
//
// Unrotated geographic rasters: a cell belongs to the first lattice row and the first lattice
// column that need it. Others: a cell belongs to the lattice point nearest to its centre, and is
// counted if that point needs it. In both cases the owner depends only on the lattice and the
// raster.
//
// Thread safety: `owner_of` belongs to the reader thread.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "builder/grids/placement.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

class RasterGeometry;

class CellOwnership {
  public:
    CellOwnership(std::shared_ptr<const RasterGeometry> geometry, const Lattice& lattice);

    /// The lattice point to which the cell belongs, or nothing if no point needs it.
    [[nodiscard]] std::optional<LatticePoint> owner_of(std::int32_t raster_row,
                                                       std::int32_t raster_column) const;
    [[nodiscard]] bool owns(const BlockBounds& block, std::int32_t raster_row,
                            std::int32_t raster_column) const;

  private:
    std::shared_ptr<const RasterGeometry> geometry_;
    Lattice lattice_;
    std::vector<std::int32_t> first_lattice_row_;     ///< by raster row, −1: none
    std::vector<std::int32_t> first_lattice_column_;  ///< by raster column, −1: none
};

}  // namespace thirstline
