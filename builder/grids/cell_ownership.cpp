#include "builder/grids/cell_ownership.hpp"

#include <algorithm>
#include <cmath>

#include "builder/grids/raster_geometry.hpp"

namespace thirstline {
namespace {

using CellsAround = RasterGeometry::CellsAround;

/// For each cell of an axis the first point that needs it, −1 for none.
std::vector<std::int32_t> first_needs(const std::vector<CellsAround>& around, int cells) {
    std::vector<std::int32_t> first(static_cast<std::size_t>(cells), -1);
    for (std::size_t point = 0; point < around.size(); ++point) {
        const CellsAround& each = around[point];
        if (!each.inside) continue;
        for (const std::int32_t cell : {each.before_low, each.low, each.high, each.after_high}) {
            std::int32_t& entry = first[static_cast<std::size_t>(cell)];
            if (entry < 0) entry = static_cast<std::int32_t>(point);
        }
    }
    return first;
}

bool needs(const CellsAround& around, std::int32_t cell) {
    return around.inside && (cell == around.before_low || cell == around.low ||
                             cell == around.high || cell == around.after_high);
}

/// The lattice column nearest in longitude: around the circle, and clamped to the lattice's ends.
std::int32_t nearest_column(const Lattice& lattice, double lon_deg) {
    const double spacing = static_cast<double>(lattice.spacing_arcsec) / kArcsecPerDegree;
    const double west = static_cast<double>(lattice.west_arcsec) / kArcsecPerDegree;
    const double eastwards = lon_deg - west - 360.0 * std::floor((lon_deg - west) / 360.0);
    const double last = lattice.columns - 1;
    const double beyond_last = eastwards / spacing - last;
    if (beyond_last > 0.0 && 360.0 / spacing - eastwards / spacing < beyond_last) return 0;
    return static_cast<std::int32_t>(std::clamp(std::round(eastwards / spacing), 0.0, last));
}

std::int32_t nearest_row(const Lattice& lattice, double lat_deg) {
    const double south = static_cast<double>(lattice.south_arcsec) / kArcsecPerDegree;
    const double spacing = static_cast<double>(lattice.spacing_arcsec) / kArcsecPerDegree;
    return static_cast<std::int32_t>(std::clamp(std::round((lat_deg - south) / spacing), 0.0,
                                                static_cast<double>(lattice.rows - 1)));
}

}  // namespace

CellOwnership::CellOwnership(std::shared_ptr<const RasterGeometry> geometry, const Lattice& lattice)
    : geometry_(std::move(geometry)), lattice_(lattice) {
    if (!geometry_->is_separable()) return;
    const PointBlock whole = block_of_lattice(lattice_, {0, lattice.rows, 0, lattice.columns});
    std::vector<CellsAround> rows;
    std::vector<CellsAround> columns;
    for (const double lat : whole.lats_deg)
        rows.push_back(geometry_->rows_around(geometry_->row_of_latitude(lat)));
    for (const double lon : whole.lons_deg) {
        columns.push_back(geometry_->columns_around(geometry_->column_of_longitude(lon)));
    }
    first_lattice_row_ = first_needs(rows, geometry_->rows());
    first_lattice_column_ = first_needs(columns, geometry_->columns());
}

std::optional<LatticePoint> CellOwnership::owner_of(std::int32_t raster_row,
                                                    std::int32_t raster_column) const {
    if (geometry_->is_separable()) {
        const LatticePoint owner{first_lattice_row_[static_cast<std::size_t>(raster_row)],
                                 first_lattice_column_[static_cast<std::size_t>(raster_column)]};
        if (owner.row < 0 || owner.column < 0) return std::nullopt;
        return owner;
    }
    const RasterPoint centre{static_cast<double>(raster_column), static_cast<double>(raster_row)};
    const LatLon at = geometry_->positions_of({centre}).front();
    if (!std::isfinite(at.lat_deg) || !std::isfinite(at.lon_deg)) return std::nullopt;
    const LatticePoint owner{nearest_row(lattice_, at.lat_deg),
                             nearest_column(lattice_, at.lon_deg)};
    const PointBlock point =
        block_of_lattice(lattice_, {owner.row, owner.row + 1, owner.column, owner.column + 1});
    const RasterPoint on_raster =
        geometry_->raster_points_of({{point.lats_deg[0], point.lons_deg[0]}}).front();
    const CellsAround rows = geometry_->rows_around(on_raster.row);
    const CellsAround columns = geometry_->columns_around(on_raster.column);
    if (!needs(rows, raster_row) || !needs(columns, raster_column)) return std::nullopt;
    return owner;
}

bool CellOwnership::owns(const BlockBounds& block, std::int32_t raster_row,
                         std::int32_t raster_column) const {
    const std::optional<LatticePoint> owner = owner_of(raster_row, raster_column);
    return owner && owner->row >= block.first_row && owner->row < block.end_row &&
           owner->column >= block.first_column && owner->column < block.end_column;
}

}  // namespace thirstline
