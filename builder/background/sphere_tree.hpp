// The nearest of many places, by a tree of points in space: poles and the antimeridian are places
// like others, and chords are in the order of great circles.
//
// Not movable: the tree looks at its own points.
#pragma once

#include <cstddef>
#include <nanoflann.hpp>
#include <utility>
#include <vector>

#include "schema/geo/sphere.hpp"

namespace thirstline {

class SphereTree {
  public:
    /// Points of one sphere, in any unit.
    explicit SphereTree(std::vector<Vector3> points)
        : cloud_{std::move(points)}, tree_(3, cloud_, {}) {}
    SphereTree(const SphereTree&) = delete;
    SphereTree& operator=(const SphereTree&) = delete;

    /// Writes the numbers of the `count` nearest points and the squares of their chords, the
    /// nearest first; how many that are, which is fewer if there are not so many points.
    std::size_t nearest(const Vector3& at, std::size_t count, std::size_t* numbers,
                        double* squared_chords) const {
        if (cloud_.points.empty()) return 0;
        return tree_.knnSearch(at.data(), count, numbers, squared_chords);
    }

    [[nodiscard]] const std::vector<Vector3>& points() const { return cloud_.points; }

  private:
    /// What nanoflann asks of a cloud of points.
    struct Cloud {
        std::vector<Vector3> points;
        [[nodiscard]] std::size_t kdtree_get_point_count() const { return points.size(); }
        [[nodiscard]] double kdtree_get_pt(std::size_t index, std::size_t axis) const {
            return points[index][axis];
        }
        template <class Box>
        bool kdtree_get_bbox(Box&) const {
            return false;
        }
    };

    Cloud cloud_;
    nanoflann::KDTreeSingleIndexAdaptor<nanoflann::L2_Simple_Adaptor<double, Cloud>, Cloud, 3,
                                        std::size_t>
        tree_;
};

}  // namespace thirstline
