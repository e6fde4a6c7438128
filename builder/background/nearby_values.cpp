#include "builder/background/nearby_values.hpp"

#include <array>
#include <cmath>
#include <limits>

#include "builder/background/sphere_tree.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kNearbyPlaces = 8;
// Smaller distances are replaced by this one: no single place takes all the weight.
constexpr double kMinDistanceKm = 20.0;

}  // namespace

struct NearbyValues::Index {
    Index(std::vector<ValuesAtPlace> known, double reach_km)
        : places(std::move(known)),
          reach_chord(reach_km / kEarthRadiusKm),
          tree(points_of(places)) {}

    static std::vector<Vector3> points_of(const std::vector<ValuesAtPlace>& places) {
        std::vector<Vector3> points;
        for (const ValuesAtPlace& place : places) points.push_back(unit_vector(place.position));
        return points;
    }

    std::vector<ValuesAtPlace> places;
    double reach_chord;
    SphereTree tree;
};

NearbyValues::NearbyValues(std::vector<ValuesAtPlace> places, double reach_km)
    : index_(std::make_unique<Index>(std::move(places), reach_km)) {}
NearbyValues::~NearbyValues() = default;
NearbyValues::NearbyValues(NearbyValues&&) noexcept = default;
NearbyValues& NearbyValues::operator=(NearbyValues&&) noexcept = default;

Monthly<double> NearbyValues::at(LatLon position) const {
    Monthly<double> mean{};
    std::array<std::size_t, kNearbyPlaces> neighbours{};
    std::array<double, kNearbyPlaces> squared_chords{};
    const std::size_t found = index_->tree.nearest(unit_vector(position), kNearbyPlaces,
                                                   neighbours.data(), squared_chords.data());
    double total_weight = 0.0;
    for (std::size_t i = 0; i < found; ++i) {
        if (squared_chords[i] > index_->reach_chord * index_->reach_chord) continue;
        const double km = std::sqrt(squared_chords[i]) * kEarthRadiusKm;
        const double weight = 1.0 / std::max(km * km, kMinDistanceKm * kMinDistanceKm);
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
