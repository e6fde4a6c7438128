#include "builder/grids/raster_geometry.hpp"

#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <cmath>
#include <mutex>
#include <numbers>
#include <string_view>

#include "builder/grids/gdal_messages.hpp"
#include "schema/geo/sphere.hpp"

namespace thirstline {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;
constexpr double kSnap = 1048576.0;  // 2^20

double dot(const Vector3& a, const Vector3& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

bool is_finite(LatLon point) {
    return std::isfinite(point.lat_deg) && std::isfinite(point.lon_deg);
}

double longitude_within_half_circle(double lon_deg) {
    return lon_deg - 360.0 * std::floor((lon_deg + 180.0) / 360.0);
}

/// CF netCDF files give their axes' units instead of a coordinate system.
bool has_latitude_axis(GDALDataset& dataset) {
    for (char** item = dataset.GetMetadata(); item != nullptr && *item != nullptr; ++item) {
        const std::string_view text(*item);
        const auto equals = text.find('=');
        if (equals == std::string_view::npos) continue;
        if (!text.substr(0, equals).ends_with("#units")) continue;
        const std::string_view unit = text.substr(equals + 1);
        if (unit.starts_with("degree") && unit.ends_with("north")) return true;
        if (unit == "degrees_N" || unit == "degreesN" || unit == "degree_N") return true;
    }
    return false;
}

bool is_within_degrees(const std::array<double, 6>& gt, int columns, int rows) {
    if (gt[2] != 0.0 || gt[4] != 0.0) return false;
    const double half_column = std::abs(gt[1]) / 2.0;
    const double half_row = std::abs(gt[5]) / 2.0;
    const double x0 = std::min(gt[0], gt[0] + gt[1] * columns);
    const double x1 = std::max(gt[0], gt[0] + gt[1] * columns);
    const double y0 = std::min(gt[3], gt[3] + gt[5] * rows);
    const double y1 = std::max(gt[3], gt[3] + gt[5] * rows);
    return x0 >= -180.0 - half_column && x1 <= 360.0 + half_column && y0 >= -90.0 - half_row &&
           y1 <= 90.0 + half_row;
}

/// Degrees from Greenwich, latitude and longitude themselves: no transformation is needed. (Datums
/// differ by metres; a climate grid's cells are kilometres wide.)
bool is_plain_degrees(const OGRSpatialReference& system) {
    if (!system.IsGeographic() || system.IsDerivedGeographic()) return false;
    return std::abs(system.GetAngularUnits() - kRadiansPerDegree) < 1e-9 &&
           std::abs(system.GetPrimeMeridian()) < 1e-9;
}

}  // namespace

struct RasterGeometry::Transformations {
    std::mutex lock;
    std::unique_ptr<OGRCoordinateTransformation> to_raster;
    std::unique_ptr<OGRCoordinateTransformation> to_degrees;
};

RasterGeometry::RasterGeometry() = default;
RasterGeometry::~RasterGeometry() = default;

Result<std::shared_ptr<const RasterGeometry>> RasterGeometry::of(
    GDALDataset& dataset, const std::string& subject, std::vector<std::string>& warnings) {
    const GdalMessages messages;
    const std::shared_ptr<RasterGeometry> geometry(new RasterGeometry);
    geometry->rows_ = dataset.GetRasterYSize();
    geometry->columns_ = dataset.GetRasterXSize();
    std::array<double, 6>& gt = geometry->geotransform_;
    if (dataset.GetGeoTransform(gt.data()) != CE_None ||
        !GDALInvGeoTransform(gt.data(), geometry->inverse_.data())) {
        return fail(ErrorCode::bad_input,
                    subject + " has no geotransform, so the position of its cells is unknown",
                    "gdal_translate -a_ullr WEST NORTH EAST SOUTH -a_srs EPSG:4326 gives it one");
    }
    const bool rotated = gt[2] != 0.0 || gt[4] != 0.0;

    const OGRSpatialReference* system = dataset.GetSpatialRef();
    bool plain_degrees = false;
    if (system == nullptr || system->IsEmpty()) {
        const std::string driver = dataset.GetDriverName();
        const bool cannot_say =
            driver == "AAIGrid" || driver == "EHdr" || driver == "GRASSASCIIGrid";
        const bool states_degrees = has_latitude_axis(dataset);
        if (!(cannot_say || states_degrees) ||
            !is_within_degrees(gt, geometry->columns_, geometry->rows_)) {
            return fail(ErrorCode::bad_input, subject + " has no coordinate system",
                        "give it one with gdal_translate -a_srs, or with a .prj file beside it");
        }
        if (!states_degrees) {
            warnings.push_back(subject +
                               " has no coordinate system: its numbers are taken as "
                               "degrees of longitude and latitude (WGS 84)");
        }
        plain_degrees = true;
    } else {
        plain_degrees = is_plain_degrees(*system);
        geometry->geographic_ = system->IsGeographic();
        char* wkt = nullptr;
        if (system->exportToWkt(&wkt) == OGRERR_NONE) geometry->coordinate_system_ = wkt;
        CPLFree(wkt);
    }

    geometry->separable_ = plain_degrees && !rotated;
    if (!plain_degrees) {
        OGRSpatialReference degrees;
        OGRSpatialReference own(*system);
        degrees.SetFromUserInput("EPSG:4326");
        degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        own.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        geometry->transformations_ = std::make_unique<Transformations>();
        geometry->transformations_->to_raster.reset(
            OGRCreateCoordinateTransformation(&degrees, &own));
        geometry->transformations_->to_degrees.reset(
            OGRCreateCoordinateTransformation(&own, &degrees));
        if (!geometry->transformations_->to_raster || !geometry->transformations_->to_degrees) {
            return fail(ErrorCode::bad_input, subject +
                                                  " has a coordinate system that cannot be "
                                                  "converted to latitude and longitude" +
                                                  messages.after_colon());
        }
    }
    if (geometry->separable_) {
        geometry->find_period();
    } else {
        geometry->find_cap();
    }
    return geometry;
}

void RasterGeometry::find_period() {
    const double step = std::abs(geotransform_[1]);
    const double span = step * columns_;
    if (std::abs(span - 360.0) < 0.5 * step) {
        period_columns_ = columns_;
    } else if (span > 360.0) {
        period_columns_ = static_cast<int>(std::lround(360.0 / step));
    }
}

void RasterGeometry::find_cap() {
    constexpr int kSteps = 32;
    std::vector<RasterPoint> grid;
    for (int i = 0; i <= kSteps; ++i) {
        for (int j = 0; j <= kSteps; ++j) {
            grid.push_back({-0.5 + columns_ * static_cast<double>(j) / kSteps,
                            -0.5 + rows_ * static_cast<double>(i) / kSteps});
        }
    }
    std::vector<std::array<double, 3>> vectors;
    std::array<double, 3> sum{};
    for (const LatLon& point : positions_of(grid)) {
        if (!is_finite(point)) continue;
        vectors.push_back(unit_vector(point));
        for (std::size_t axis = 0; axis < 3; ++axis) sum[axis] += vectors.back()[axis];
    }
    const double length = std::sqrt(dot(sum, sum));
    if (vectors.empty() || length < 0.1 * static_cast<double>(vectors.size())) return;
    for (std::size_t axis = 0; axis < 3; ++axis) cap_centre_[axis] = sum[axis] / length;
    double radius = 0.0;
    for (const std::array<double, 3>& each : vectors)
        radius = std::max(radius, std::acos(std::clamp(dot(each, cap_centre_), -1.0, 1.0)));
    // The edge may extend slightly further between the sampled places.
    radius = radius * 1.05 + 0.1 * kRadiansPerDegree;
    if (radius < std::numbers::pi) cap_cosine_ = std::cos(radius);
}

bool RasterGeometry::may_lie_near(LatLon point) const {
    return cap_cosine_ < -1.0 || dot(unit_vector(point), cap_centre_) >= cap_cosine_;
}

bool RasterGeometry::same_as(const RasterGeometry& other) const {
    if (rows_ != other.rows_ || columns_ != other.columns_) return false;
    if (separable_ != other.separable_) return false;
    if (!separable_ && coordinate_system_ != other.coordinate_system_) return false;
    // The error is within a thousandth of a cell at the far corner.
    const auto& a = geotransform_;
    const auto& b = other.geotransform_;
    const double x_tolerance = 1e-3 * (std::abs(a[1]) + std::abs(a[2]));
    const double y_tolerance = 1e-3 * (std::abs(a[4]) + std::abs(a[5]));
    for (const int row : {0, rows_}) {
        for (const int column : {0, columns_}) {
            const double dx = (a[0] - b[0]) + column * (a[1] - b[1]) + row * (a[2] - b[2]);
            const double dy = (a[3] - b[3]) + column * (a[4] - b[4]) + row * (a[5] - b[5]);
            if (std::abs(dx) > x_tolerance || std::abs(dy) > y_tolerance) return false;
        }
    }
    return true;
}

double RasterGeometry::row_of_latitude(double lat_deg) const {
    return snapped((lat_deg - geotransform_[3]) / geotransform_[5]) - 0.5;
}

double RasterGeometry::column_of_longitude(double lon_deg) const {
    const double step = geotransform_[1];
    const double west = step > 0.0 ? geotransform_[0] : geotransform_[0] + step * columns_;
    const double circle = 360.0 / std::abs(step);
    double cells_east = (lon_deg - west) / std::abs(step);
    cells_east = snapped(cells_east - circle * std::floor(cells_east / circle));
    if (cells_east >= snapped(circle)) cells_east = 0.0;
    if (!(cells_east >= 0.0)) return kNaN;  // a nonsensical longitude
    return step > 0.0 ? cells_east - 0.5 : columns_ - cells_east - 0.5;
}

std::vector<RasterPoint> RasterGeometry::raster_points_of(const std::vector<LatLon>& points) const {
    std::vector<RasterPoint> result(points.size());
    if (separable_) {
        for (std::size_t i = 0; i < points.size(); ++i) {
            result[i] = {column_of_longitude(points[i].lon_deg),
                         row_of_latitude(points[i].lat_deg)};
        }
        return result;
    }

    std::vector<std::size_t> candidates;
    std::vector<double> xs;
    std::vector<double> ys;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (!may_lie_near(points[i])) continue;
        candidates.push_back(i);
        xs.push_back(longitude_within_half_circle(points[i].lon_deg));
        ys.push_back(points[i].lat_deg);
    }
    std::vector<int> succeeded(candidates.size(), TRUE);
    if (transformations_ && !candidates.empty()) {
        const GdalMessages messages;
        const std::lock_guard guard(transformations_->lock);
        transformations_->to_raster->Transform(static_cast<int>(candidates.size()), xs.data(),
                                               ys.data(), nullptr, succeeded.data());
    }
    const auto& inverse = inverse_;
    for (std::size_t k = 0; k < candidates.size(); ++k) {
        if (succeeded[k] == FALSE || !std::isfinite(xs[k]) || !std::isfinite(ys[k])) continue;
        for (const double turn : {0.0, 360.0, -360.0}) {
            if (turn != 0.0 && !geographic_) break;
            const double x = xs[k] + turn;
            const RasterPoint here{snapped(inverse[0] + inverse[1] * x + inverse[2] * ys[k]) - 0.5,
                                   snapped(inverse[3] + inverse[4] * x + inverse[5] * ys[k]) - 0.5};
            const bool inside = here.column >= -0.5 && here.column <= columns_ - 0.5 &&
                                here.row >= -0.5 && here.row <= rows_ - 0.5;
            if (turn == 0.0 || inside) result[candidates[k]] = here;
            if (inside) break;
        }
    }
    return result;
}

std::vector<LatLon> RasterGeometry::positions_of(const std::vector<RasterPoint>& points) const {
    const auto& gt = geotransform_;
    std::vector<double> xs(points.size());
    std::vector<double> ys(points.size());
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double column = points[i].column + 0.5;
        const double row = points[i].row + 0.5;
        xs[i] = gt[0] + column * gt[1] + row * gt[2];
        ys[i] = gt[3] + column * gt[4] + row * gt[5];
    }
    std::vector<int> succeeded(points.size(), TRUE);
    if (transformations_ && !points.empty()) {
        const GdalMessages messages;
        const std::lock_guard guard(transformations_->lock);
        transformations_->to_degrees->Transform(static_cast<int>(points.size()), xs.data(),
                                                ys.data(), nullptr, succeeded.data());
    }
    std::vector<LatLon> result(points.size(), LatLon{kNaN, kNaN});
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (succeeded[i] != FALSE && std::isfinite(xs[i]) && std::isfinite(ys[i])) {
            result[i] = {ys[i], xs[i]};
        }
    }
    return result;
}

RasterGeometry::CellSize RasterGeometry::middle_cell_size() const {
    if (separable_) return {std::abs(geotransform_[5]), std::abs(geotransform_[1])};
    const double column = columns_ / 2.0;
    const double row = rows_ / 2.0;
    const std::vector<LatLon> p =
        positions_of({{column, row}, {column + 1.0, row}, {column, row + 1.0}});
    const double shrink = std::cos(p[0].lat_deg * kRadiansPerDegree);
    const auto east = [&](std::size_t i) {
        return longitude_within_half_circle(p[i].lon_deg - p[0].lon_deg) * shrink;
    };
    const auto north = [&](std::size_t i) { return p[i].lat_deg - p[0].lat_deg; };
    const double side = std::sqrt(std::abs(east(1) * north(2) - east(2) * north(1)));
    if (!(side > 0.0)) return {1.0, 1.0};
    return {side, side / std::max(shrink, 0.05)};
}

std::int32_t RasterGeometry::row_at(std::int32_t row) const {
    return std::clamp(row, 0, rows_ - 1);
}

std::int32_t RasterGeometry::column_at(std::int32_t column) const {
    if (period_columns_ == 0) return std::clamp(column, 0, columns_ - 1);
    return ((column % period_columns_) + period_columns_) % period_columns_;
}

RasterGeometry::CellsAround RasterGeometry::rows_around(double row) const {
    CellsAround around;
    if (!(row >= -0.5 && row <= rows_ - 0.5)) return around;
    const double below = std::floor(row);
    const double part = row - below;
    const auto low = static_cast<std::int32_t>(below);
    around.inside = true;
    around.before_low = row_at(low - 1);
    around.low = row_at(low);
    around.high = row_at(low + 1);
    around.after_high = row_at(low + 2);
    around.high_weight = static_cast<float>(part);
    // On an edge, the northern cell: the previous one if rows run southwards.
    around.within_high = geotransform_[5] < 0.0 ? part > 0.5 : part >= 0.5;
    return around;
}

RasterGeometry::CellsAround RasterGeometry::columns_around(double column) const {
    CellsAround around;
    if (!std::isfinite(column)) return around;
    if (period_columns_ == 0 && !(column >= -0.5 && column <= columns_ - 0.5)) return around;
    const double below = std::floor(column);
    const double part = column - below;
    const auto low = static_cast<std::int32_t>(below);
    around.inside = true;
    around.before_low = column_at(low - 1);
    around.low = column_at(low);
    around.high = column_at(low + 1);
    around.after_high = column_at(low + 2);
    around.high_weight = static_cast<float>(part);
    around.within_high = geotransform_[1] > 0.0 ? part >= 0.5 : part > 0.5;
    return around;
}

bool RasterGeometry::touches(double west, double south, double east, double north) const {
    if (separable_) {
        const double y0 = geotransform_[3];
        const double y1 = y0 + geotransform_[5] * rows_;
        if (std::max(y0, y1) < south || std::min(y0, y1) > north) return false;
        if (period_columns_ > 0) return true;
        const double x0 =
            std::min(geotransform_[0], geotransform_[0] + geotransform_[1] * columns_);
        const double span = std::abs(geotransform_[1]) * columns_;
        // The start of each, measured eastwards from the start of the other.
        const double turn = 360.0;
        const double box_after_raster = west - x0 - turn * std::floor((west - x0) / turn);
        const double raster_after_box = x0 - west - turn * std::floor((x0 - west) / turn);
        return box_after_raster <= span || raster_after_box <= east - west;
    }

    constexpr int kSteps = 64;
    std::vector<LatLon> in_box;
    std::vector<RasterPoint> in_raster;
    for (int i = 0; i <= kSteps; ++i) {
        for (int j = 0; j <= kSteps; ++j) {
            const double a = static_cast<double>(i) / kSteps;
            const double b = static_cast<double>(j) / kSteps;
            in_box.push_back({south + (north - south) * a, west + (east - west) * b});
            in_raster.push_back({-0.5 + columns_ * b, -0.5 + rows_ * a});
        }
    }
    for (const RasterPoint& point : raster_points_of(in_box))
        if (rows_around(point.row).inside && columns_around(point.column).inside) return true;
    for (const LatLon& point : positions_of(in_raster)) {
        if (!is_finite(point) || point.lat_deg < south || point.lat_deg > north) continue;
        const double eastwards = point.lon_deg - west;
        if (eastwards - 360.0 * std::floor(eastwards / 360.0) <= east - west) return true;
    }
    return false;
}

double snapped(double raster_coordinate) {
    return std::nearbyint(raster_coordinate * kSnap) / kSnap;
}

}  // namespace thirstline
