// The nearest places, with and without those around a place, against a search of all of them.
#include "builder/background/sphere_tree.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::SeededRandom;

std::vector<Vector3> scattered(std::size_t count, SeededRandom& random, double degrees) {
    std::vector<Vector3> points;
    for (std::size_t i = 0; i < count; ++i)
        points.push_back(
            point_on_sphere({random.uniform(-degrees, degrees), random.uniform(-degrees, degrees)},
                            kEarthRadiusKm));
    return points;
}

struct Found {
    std::vector<std::size_t> numbers;
    std::vector<double> squared;
};

template <class IsWanted>
Found found_beyond(const SphereTree& tree, const Vector3& at, std::size_t count,
                   const Vector3& centre, double km, const IsWanted& is_wanted) {
    Found found{std::vector<std::size_t>(count), std::vector<double>(count)};
    const std::size_t size = tree.nearest_beyond(at, count, centre, km, is_wanted,
                                                 found.numbers.data(), found.squared.data());
    found.numbers.resize(size);
    found.squared.resize(size);
    return found;
}

TEST(SphereTree, FindsTheNearestBeyondADistance) {
    SeededRandom random(5);
    for (const double degrees : {80.0, 2.0}) {
        const std::vector<Vector3> points = scattered(600, random, degrees);
        const SphereTree tree(points);
        for (int trial = 0; trial < 200; ++trial) {
            const Vector3 at = scattered(1, random, degrees).front();
            const Vector3 centre = trial % 2 == 0 ? at : scattered(1, random, degrees).front();
            const double km = random.uniform(0.0, 40.0 * degrees);
            const auto is_even = [](std::size_t number) { return number % 2 == 0; };
            std::vector<std::pair<double, std::size_t>> all;
            for (std::size_t i = 0; i < points.size(); i += 2)
                if (chord_length(centre, points[i]) > km)
                    all.emplace_back(chord_length(at, points[i]), i);
            std::sort(all.begin(), all.end());
            const Found found = found_beyond(tree, at, 24, centre, km, is_even);
            ASSERT_EQ(found.numbers.size(), std::min<std::size_t>(24, all.size()));
            for (std::size_t i = 0; i < found.numbers.size(); ++i) {
                EXPECT_EQ(found.numbers[i], all[i].second);
                EXPECT_EQ(std::sqrt(found.squared[i]), all[i].first);
            }
        }
    }
}

/// In the order in which the plain search gives them, those in one place included.
TEST(SphereTree, FindsTheSameAsThePlainSearchWhereNothingIsLeftOut) {
    SeededRandom random(6);
    std::vector<Vector3> points = scattered(300, random, 5.0);
    for (std::size_t i = 0; i < 100; ++i) points.push_back(points[i % 7]);
    const SphereTree tree(points);
    for (const Vector3& at : points) {
        std::vector<std::size_t> numbers(40);
        std::vector<double> squared(40);
        tree.nearest(at, 40, numbers.data(), squared.data());
        const Found found = found_beyond(tree, at, 40, at, -1.0, [](std::size_t) { return true; });
        EXPECT_EQ(found.numbers, numbers);
        EXPECT_EQ(found.squared, squared);
    }
}

/// A search that looks at all of the 100,000 points left out would take as long as there are
/// points.
TEST(SphereTree, SkipsManyLeftOutNeighbours) {
    SeededRandom random(7);
    std::vector<Vector3> points = scattered(100'000, random, 0.05);
    const std::vector<Vector3> others = scattered(1000, random, 3.0);
    points.insert(points.end(), others.begin(), others.end());
    const SphereTree tree(points);
    const Vector3 middle = point_on_sphere({0.0, 0.0}, kEarthRadiusKm);
    std::size_t looked_at = 0;
    const Found found = found_beyond(tree, middle, 24, middle, 15.0, [&](std::size_t) {
        ++looked_at;
        return true;
    });
    EXPECT_EQ(found.numbers.size(), 24U);
    EXPECT_LT(looked_at, 500U);
}

TEST(SphereTree, FindsNothingWhereAllIsLeftOut) {
    SeededRandom random(8);
    const SphereTree tree(scattered(50, random, 0.05));
    const Vector3 middle = point_on_sphere({0.0, 0.0}, kEarthRadiusKm);
    EXPECT_TRUE(found_beyond(tree, middle, 5, middle, 100.0, [](std::size_t) {
                    return true;
                }).numbers.empty());
    EXPECT_TRUE(found_beyond(tree, middle, 5, middle, 0.0, [](std::size_t) {
                    return false;
                }).numbers.empty());
}

}  // namespace
}  // namespace thirstline
