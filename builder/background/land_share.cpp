#include "builder/background/land_share.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include "schema/geo/sphere.hpp"

namespace thirstline {

namespace {

constexpr double kNodesPerDegree = 20.0;
constexpr int kPoleRow = 1800;
constexpr double kDeviationKm = 9.0;
constexpr double kReachKm = 2.5 * kDeviationKm;
constexpr double kKmPerDegree = kEarthRadiusKm * std::numbers::pi / 180.0;
// Towards the poles a degree of longitude is counted as no shorter than at 80 degrees.
constexpr double kMinCosine = 0.17;

double km_per_degree_of_longitude(double lat_deg) {
    return kKmPerDegree * std::max(std::cos(lat_deg * std::numbers::pi / 180.0), kMinCosine);
}

/// Rows or columns of the mesh, both included.
struct Nodes {
    int first = 0;
    int last = 0;
};

Nodes nodes_within(double from_deg, double to_deg) {
    return {static_cast<int>(std::ceil(from_deg * kNodesPerDegree)),
            static_cast<int>(std::floor(to_deg * kNodesPerDegree))};
}

Nodes rows_around(double south_deg, double north_deg) {
    const Nodes rows =
        nodes_within(south_deg - kReachKm / kKmPerDegree, north_deg + kReachKm / kKmPerDegree);
    return {std::max(rows.first, -kPoleRow), std::min(rows.last, kPoleRow)};
}

Nodes columns_around(double west_deg, double east_deg, double lat_deg) {
    const double reach_deg = kReachKm / km_per_degree_of_longitude(lat_deg);
    return nodes_within(west_deg - reach_deg, east_deg + reach_deg);
}

double weight_at(double km) {
    return std::exp(-km * km / (2.0 * kDeviationKm * kDeviationKm));
}

LatLon position_of_node(int row, int column) {
    return {row / kNodesPerDegree, normalised_lon_deg(column / kNodesPerDegree)};
}

/// `land(row, column)` is NaN for unknown nodes.
template <class Land>
double weighted_share(LatLon place, const Land& land) {
    const Nodes rows = rows_around(place.lat_deg, place.lat_deg);
    const Nodes columns = columns_around(place.lon_deg, place.lon_deg, place.lat_deg);
    const double km_per_lon_degree = km_per_degree_of_longitude(place.lat_deg);
    std::vector<double> of_columns;
    for (int column = columns.first; column <= columns.last; ++column) {
        of_columns.push_back(
            weight_at((column / kNodesPerDegree - place.lon_deg) * km_per_lon_degree));
    }
    double sum = 0.0;
    double weight = 0.0;
    for (int row = rows.first; row <= rows.last; ++row) {
        const double of_row = weight_at((row / kNodesPerDegree - place.lat_deg) * kKmPerDegree);
        for (int column = columns.first; column <= columns.last; ++column) {
            const double share = land(row, column);
            if (std::isnan(share)) continue;
            const double of_node =
                of_row * of_columns[static_cast<std::size_t>(column - columns.first)];
            sum += of_node * share;
            weight += of_node;
        }
    }
    return weight > 0.0 ? sum / weight : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

Result<LandMesh> LandMesh::read(Grid& elevation, LatLon south_west, LatLon north_east) {
    const Nodes rows = rows_around(south_west.lat_deg, north_east.lat_deg);
    const double farthest_lat_deg =
        std::max(std::abs(south_west.lat_deg), std::abs(north_east.lat_deg));
    const Nodes columns = columns_around(south_west.lon_deg, north_east.lon_deg, farthest_lat_deg);
    PointBlock block;
    for (int row = rows.first; row <= rows.last; ++row)
        block.lats_deg.push_back(position_of_node(row, 0).lat_deg);
    for (int column = columns.first; column <= columns.last; ++column)
        block.lons_deg.push_back(position_of_node(0, column).lon_deg);
    const Placement placement = elevation.place(block);
    const GridWindow window = TRY(elevation.read(placement));
    LandMesh mesh;
    mesh.first_row_ = rows.first;
    mesh.first_column_ = columns.first;
    mesh.rows_ = static_cast<int>(block.lats_deg.size());
    mesh.columns_ = static_cast<int>(block.lons_deg.size());
    mesh.land_.reserve(block.lats_deg.size() * block.lons_deg.size());
    for (int row = 0; row < mesh.rows_; ++row) {
        for (int column = 0; column < mesh.columns_; ++column)
            mesh.land_.push_back(
                static_cast<float>(window.point_land_share(placement, row, column)));
    }
    return mesh;
}

double LandMesh::share_at(LatLon place) const {
    return weighted_share(place, [this](int row, int column) -> double {
        const int i = row - first_row_;
        const int j = column - first_column_;
        if (i < 0 || i >= rows_ || j < 0 || j >= columns_)
            return std::numeric_limits<double>::quiet_NaN();
        return static_cast<double>(
            land_[static_cast<std::size_t>(i) * static_cast<std::size_t>(columns_) +
                  static_cast<std::size_t>(j)]);
    });
}

Result<std::vector<double>> land_shares_at(Grid& elevation, const std::vector<LatLon>& places) {
    std::vector<std::pair<int, int>> nodes;
    for (const LatLon place : places) {
        const Nodes rows = rows_around(place.lat_deg, place.lat_deg);
        const Nodes columns = columns_around(place.lon_deg, place.lon_deg, place.lat_deg);
        for (int row = rows.first; row <= rows.last; ++row)
            for (int column = columns.first; column <= columns.last; ++column)
                nodes.emplace_back(row, column);
    }
    std::sort(nodes.begin(), nodes.end());
    nodes.erase(std::unique(nodes.begin(), nodes.end()), nodes.end());
    std::vector<LatLon> positions;
    positions.reserve(nodes.size());
    for (const auto& [row, column] : nodes) positions.push_back(position_of_node(row, column));
    const std::vector<double> land = TRY(land_at(elevation, positions));
    std::vector<double> shares;
    shares.reserve(places.size());
    for (const LatLon place : places) {
        shares.push_back(weighted_share(place, [&](int row, int column) {
            const auto node = std::lower_bound(nodes.begin(), nodes.end(), std::pair{row, column});
            return land[static_cast<std::size_t>(node - nodes.begin())];
        }));
    }
    return shares;
}

}  // namespace thirstline
