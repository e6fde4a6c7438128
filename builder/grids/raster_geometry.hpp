// Converts between latitude/longitude and raster coordinates.
//
// Raster coordinates count cells with centres at whole numbers (placement.hpp). An unrotated raster
// in geographic degrees is computed directly; all other coordinate systems, and rotation, are
// converted by PROJ point by point.
//
// Thread safety: immutable; the transformations are guarded by a lock.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <memory>
#include <string>
#include <vector>

#include "builder/grids/placement.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"

class GDALDataset;

namespace thirstline {

/// NaN if the raster's coordinate system cannot represent the point.
struct RasterPoint {
    double column = std::numeric_limits<double>::quiet_NaN();
    double row = std::numeric_limits<double>::quiet_NaN();
};

class RasterGeometry {
  public:
    /// Errors (bad_input): no geotransform, or no coordinate system and none that can be assumed;
    /// the message begins with `subject`, such as "grid \"x\": tmax.tif". A warning is appended if
    /// WGS 84 is assumed.
    [[nodiscard]] static Result<std::shared_ptr<const RasterGeometry>> of(
        GDALDataset& dataset, const std::string& subject, std::vector<std::string>& warnings);
    ~RasterGeometry();
    RasterGeometry(const RasterGeometry&) = delete;
    RasterGeometry& operator=(const RasterGeometry&) = delete;

    [[nodiscard]] int rows() const { return rows_; }
    [[nodiscard]] int columns() const { return columns_; }
    [[nodiscard]] bool is_separable() const { return separable_; }
    /// Number of columns after which the raster repeats; 0 unless it forms a full circle.
    [[nodiscard]] int period_columns() const { return period_columns_; }
    [[nodiscard]] bool same_as(const RasterGeometry& other) const;

    /// Separable rasters only; within the raster's edges if the point is.
    [[nodiscard]] double row_of_latitude(double lat_deg) const;
    [[nodiscard]] double column_of_longitude(double lon_deg) const;

    [[nodiscard]] std::vector<RasterPoint> raster_points_of(
        const std::vector<LatLon>& points) const;
    /// NaN if the inverse projection has no solution.
    [[nodiscard]] std::vector<LatLon> positions_of(const std::vector<RasterPoint>& points) const;

    /// Size of a cell in the raster's middle, degrees north–south and east–west, both positive; for
    /// a raster that is not separable, both are the side of a square of the same area.
    struct CellSize {
        double lat_deg = 0.0;
        double lon_deg = 0.0;
    };
    [[nodiscard]] CellSize middle_cell_size() const;

    /// The cells around a coordinate along one axis: raster rows or columns, clamped to the edge or
    /// wrapped around.
    struct CellsAround {
        std::int32_t before_low = 0;
        std::int32_t low = 0;
        std::int32_t high = 0;
        std::int32_t after_high = 0;
        float high_weight = 0.0F;
        bool within_high = false;
        bool inside = false;
    };
    [[nodiscard]] CellsAround rows_around(double row) const;
    [[nodiscard]] CellsAround columns_around(double column) const;

    /// Index of a raster row or column: clamped, or wrapped around.
    [[nodiscard]] std::int32_t row_at(std::int32_t row) const;
    [[nodiscard]] std::int32_t column_at(std::int32_t column) const;

    [[nodiscard]] bool touches(double west, double south, double east, double north) const;

  private:
    struct Transformations;
    RasterGeometry();
    void find_period();
    void find_cap();
    [[nodiscard]] bool may_lie_near(LatLon point) const;

    int rows_ = 0;
    int columns_ = 0;
    std::array<double, 6> geotransform_{};
    std::array<double, 6> inverse_{};
    bool separable_ = true;
    bool geographic_ = true;
    int period_columns_ = 0;
    std::string coordinate_system_;                     ///< WKT, for comparison
    std::unique_ptr<Transformations> transformations_;  ///< null for plain geographic degrees
    std::array<double, 3> cap_centre_{};  ///< all ground of the raster is within a cap of the
    double cap_cosine_ = -2.0;            ///< sphere; −2: not known
};

/// Rounded to 2^-20 of a cell.
[[nodiscard]] double snapped(double raster_coordinate);

[[nodiscard]] Placement place_block(const RasterGeometry& geometry, const PointBlock& block);
[[nodiscard]] Placement place_points(const RasterGeometry& geometry,
                                     const std::vector<LatLon>& points, int rows, int columns);

}  // namespace thirstline
