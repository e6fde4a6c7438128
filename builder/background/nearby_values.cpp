#include "builder/background/nearby_values.hpp"

#include <array>
#include <cmath>
#include <limits>
#include <nanoflann.hpp>
#include <numbers>

namespace thirstline {

namespace {

constexpr std::size_t kNeighbours = 8;
constexpr double kEarthRadiusKm = 6371.0088;
// Places closer than this count as if they were this far: no single one takes all the weight.
constexpr double kLeastDistanceKm = 20.0;

using UnitVector = std::array<double, 3>;

UnitVector unit_vector(LatLon position) {
    const double lat = position.lat_deg * std::numbers::pi / 180.0;
    const double lon = position.lon_deg * std::numbers::pi / 180.0;
    return {std::cos(lat) * std::cos(lon), std::cos(lat) * std::sin(lon), std::sin(lat)};
}

/// What nanoflann asks of a cloud of points.
struct Cloud {
    std::vector<UnitVector> points;
    [[nodiscard]] std::size_t kdtree_get_point_count() const { return points.size(); }
    [[nodiscard]] double kdtree_get_pt(std::size_t index, std::size_t axis) const {
        return points[index][axis];
    }
    template <class Box>
    bool kdtree_get_bbox(Box&) const {
        return false;
    }
};

using Tree = nanoflann::KDTreeSingleIndexAdaptor<nanoflann::L2_Simple_Adaptor<double, Cloud>, Cloud,
                                                 3, std::size_t>;

}  // namespace

struct NearbyValues::Index {
    Index(std::vector<ValuesAtPlace> known, double reach_km)
        : places(std::move(known)), reach_chord(reach_km / kEarthRadiusKm), tree(3, cloud, {}) {
        for (const ValuesAtPlace& place : places)
            cloud.points.push_back(unit_vector(place.position));
        tree.buildIndex();
    }

    std::vector<ValuesAtPlace> places;
    double reach_chord;
    Cloud cloud;
    Tree tree;
};

NearbyValues::NearbyValues(std::vector<ValuesAtPlace> places, double reach_km)
    : index_(std::make_unique<Index>(std::move(places), reach_km)) {}
NearbyValues::~NearbyValues() = default;
NearbyValues::NearbyValues(NearbyValues&&) noexcept = default;
NearbyValues& NearbyValues::operator=(NearbyValues&&) noexcept = default;

Monthly<double> NearbyValues::at(LatLon position) const {
    Monthly<double> mean{};
    std::array<std::size_t, kNeighbours> neighbours{};
    std::array<double, kNeighbours> squared_chords{};
    const std::size_t found =
        index_->places.empty() ? 0
                               : index_->tree.knnSearch(unit_vector(position).data(), kNeighbours,
                                                        neighbours.data(), squared_chords.data());
    double total_weight = 0.0;
    for (std::size_t i = 0; i < found; ++i) {
        if (squared_chords[i] > index_->reach_chord * index_->reach_chord) continue;
        const double km = std::sqrt(squared_chords[i]) * kEarthRadiusKm;
        const double weight = 1.0 / std::max(km * km, kLeastDistanceKm * kLeastDistanceKm);
        total_weight += weight;
        for (std::size_t month = 0; month < kMonths; ++month)
            mean[month] += weight * index_->places[neighbours[i]].values[month];
    }
    for (double& value : mean) {
        value =
            total_weight > 0.0 ? value / total_weight : std::numeric_limits<double>::quiet_NaN();
    }
    return mean;
}

}  // namespace thirstline
