// The nearest of many places, found with a tree of points in space: poles and the antimeridian need
// no special treatment, and chords have the order of great circles. The surroundings of a place can
// be excluded, in a time that does not grow with the number of points in them.
//
// Not movable: the tree refers to its own points.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
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
    /// nearest first; returns their number, which is less if there are not enough points.
    std::size_t nearest(const Vector3& at, std::size_t count, std::size_t* numbers,
                        double* squared_chords) const {
        if (cloud_.points.empty()) return 0;
        return tree_.knnSearch(at.data(), count, numbers, squared_chords);
    }

    /// The same for the points more than `chord` from `centre` for which `is_wanted`, a function of
    /// a point's number, returns true.
    template <class IsWanted>
    std::size_t nearest_beyond(const Vector3& at, std::size_t count, const Vector3& centre,
                               double chord, const IsWanted& is_wanted, std::size_t* numbers,
                               double* squared_chords) const {
        if (cloud_.points.empty() || count == 0) return 0;
        nanoflann::KNNResultSet<double, std::size_t> found(count);
        found.init(numbers, squared_chords);
        const auto offer = [&](std::size_t number, double squared) {
            if (is_wanted(number) && chord_length(centre, cloud_.points[number]) > chord)
                found.addPoint(squared, number);
            return found.worstDist();
        };
        tree_.search_beyond(at, centre, chord, offer);
        return found.size();
    }

    [[nodiscard]] const std::vector<Vector3>& points() const { return cloud_.points; }

  private:
    /// The interface that nanoflann requires of a point cloud.
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

    using Distance = nanoflann::L2_Simple_Adaptor<double, Cloud, double, std::size_t>;
    using Index = nanoflann::KDTreeSingleIndexAdaptor<Distance, Cloud, 3, std::size_t>;

    /// nanoflann's tree, traversed like nanoflann does, but without the boxes that are completely
    /// in a ball: its own search would visit every point of the ball.
    class Tree : public Index {
      public:
        using Index::Index;

        /// Calls `offer` with the number and the squared chord of all points that can be among the
        /// nearest: those nearer than the last return value of `offer`. Some points in the ball are
        /// not skipped.
        template <class Offer>
        void search_beyond(const Vector3& at, const Vector3& centre, double chord,
                           const Offer& offer) const {
            Walk<Offer> walk{*this, at, centre, chord * std::abs(chord) * (1.0 - kRounding),
                             offer, {}, {}};
            double squared = 0.0;
            for (std::size_t axis = 0; axis < 3; ++axis) {
                const double low = this->root_bbox[axis].low;
                const double high = this->root_bbox[axis].high;
                walk.box[axis] = {low, high};
                const double outside = std::max({low - at[axis], at[axis] - high, 0.0});
                walk.outside[axis] = outside * outside;
                squared += walk.outside[axis];
            }
            walk.visit(this->root_node, squared);
        }

      private:
        // A point on the ball's edge must be offered, in whichever direction the sums are rounded.
        static constexpr double kRounding = 1e-9;

        template <class Offer>
        struct Walk {
            const Tree& tree;
            const Vector3& at;
            const Vector3& centre;
            double ball_squared;
            const Offer& offer;
            struct Extent {
                double low = 0.0;
                double high = 0.0;
            };
            std::array<Extent, 3> box;
            Vector3 outside;  ///< squares of the distance to the box, by axis
            double worst = std::numeric_limits<double>::max();

            [[nodiscard]] bool is_in_ball() const {
                double squared = 0.0;
                for (std::size_t axis = 0; axis < 3; ++axis) {
                    const double farthest = std::max(std::abs(box[axis].low - centre[axis]),
                                                     std::abs(box[axis].high - centre[axis]));
                    squared += farthest * farthest;
                }
                return squared <= ball_squared;
            }

            void visit(typename Index::NodePtr node, double squared) {
                if (is_in_ball()) return;
                if (node->child1 == nullptr && node->child2 == nullptr) return visit_leaf(*node);
                const auto axis = static_cast<std::size_t>(node->node_type.sub.divfeat);
                const double low = node->node_type.sub.divlow;
                const double high = node->node_type.sub.divhigh;
                const bool is_low_nearer = (at[axis] - low) + (at[axis] - high) < 0.0;
                const double cut = at[axis] - (is_low_nearer ? high : low);
                const Extent whole = box[axis];
                const auto visit_half = [&](bool is_low, double from) {
                    (is_low ? box[axis].high : box[axis].low) = is_low ? low : high;
                    visit(is_low ? node->child1 : node->child2, from);
                    box[axis] = whole;
                };
                visit_half(is_low_nearer, squared);
                const double before = outside[axis];
                const double other_squared = squared + cut * cut - before;
                if (other_squared > worst) return;
                outside[axis] = cut * cut;
                visit_half(!is_low_nearer, other_squared);
                outside[axis] = before;
            }

            void visit_leaf(const typename Index::Node& node) {
                for (std::size_t i = node.node_type.lr.left; i < node.node_type.lr.right; ++i) {
                    const std::size_t number = tree.vAcc[i];
                    const double squared = tree.distance.evalMetric(at.data(), number, 3);
                    if (squared < worst) worst = offer(number, squared);
                }
            }
        };
    };

    Cloud cloud_;
    Tree tree_;
};

}  // namespace thirstline
