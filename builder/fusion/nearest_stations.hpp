// The stations nearest to each station, by a tree: every pair would be too many.
//
// Thread safety: pure functions.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <nanoflann.hpp>
#include <numbers>
#include <vector>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// On the unit sphere, where chords are in the order of great circles; as nanoflann takes it.
class SphereOfStations {
  public:
    explicit SphereOfStations(const std::vector<LatLon>& positions) {
        for (const LatLon position : positions) {
            const double lat = position.lat_deg * std::numbers::pi / 180.0;
            const double lon = position.lon_deg * std::numbers::pi / 180.0;
            points_.push_back(
                {std::cos(lat) * std::cos(lon), std::cos(lat) * std::sin(lon), std::sin(lat)});
        }
    }

    [[nodiscard]] const double* point(std::size_t index) const { return points_[index].data(); }
    [[nodiscard]] std::size_t kdtree_get_point_count() const { return points_.size(); }
    [[nodiscard]] double kdtree_get_pt(std::size_t index, std::size_t axis) const {
        return points_[index][axis];
    }
    template <class Box>
    bool kdtree_get_bbox(Box&) const {
        return false;
    }

  private:
    std::vector<std::array<double, 3>> points_;
};

/// By station the numbers of the `count` nearest others (all of them if there are fewer), the
/// nearest first.
[[nodiscard]] inline std::vector<std::vector<std::size_t>> nearest_stations(
    const std::vector<LatLon>& positions, std::size_t count) {
    using Tree =
        nanoflann::KDTreeSingleIndexAdaptor<nanoflann::L2_Simple_Adaptor<double, SphereOfStations>,
                                            SphereOfStations, 3, std::size_t>;
    std::vector<std::vector<std::size_t>> nearest(positions.size());
    if (positions.size() < 2) return nearest;
    const SphereOfStations sphere(positions);
    const Tree tree(3, sphere, {});
    // One more than wanted: the station itself is among them, or others on the same spot.
    const std::size_t wanted = std::min(count + 1, positions.size());
    std::vector<std::size_t> found(wanted);
    std::vector<double> squared(wanted);
    for (std::size_t i = 0; i < positions.size(); ++i) {
        tree.knnSearch(sphere.point(i), wanted, found.data(), squared.data());
        for (const std::size_t other : found)
            if (other != i && nearest[i].size() < wanted - 1) nearest[i].push_back(other);
    }
    return nearest;
}

}  // namespace thirstline
