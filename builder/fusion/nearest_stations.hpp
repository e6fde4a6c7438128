// The nearest stations of each station, found with a tree: all pairs would be too many.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "builder/background/sphere_tree.hpp"

namespace thirstline {

/// By station, the numbers of the `count` nearest others (all of them if there are fewer), the
/// nearest first.
[[nodiscard]] inline std::vector<std::vector<std::size_t>> nearest_stations(
    const std::vector<LatLon>& positions, std::size_t count) {
    std::vector<std::vector<std::size_t>> nearest(positions.size());
    if (positions.size() < 2) return nearest;
    std::vector<Vector3> points;
    for (const LatLon position : positions) points.push_back(unit_vector(position));
    const SphereTree tree(std::move(points));
    // One more than required: the station itself is among them, or others at the same position.
    const std::size_t wanted = std::min(count + 1, positions.size());
    std::vector<std::size_t> found(wanted);
    std::vector<double> squared(wanted);
    for (std::size_t i = 0; i < positions.size(); ++i) {
        tree.nearest(tree.points()[i], wanted, found.data(), squared.data());
        for (const std::size_t other : found)
            if (other != i && nearest[i].size() < wanted - 1) nearest[i].push_back(other);
    }
    return nearest;
}

}  // namespace thirstline
