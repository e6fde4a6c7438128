// Rings around cells: drawn by hand, and on random rasters by the properties that rings must have.
#include "builder/publish/map_outline.hpp"

#include <gtest/gtest.h>

#include <cstdlib>

#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using Rings = std::vector<std::vector<CellCorner>>;

/// Rows of a drawing, the northernmost first; '#' holds data.
std::vector<bool> cells_of(const std::vector<std::string>& drawing) {
    std::vector<bool> cells;
    for (auto row = drawing.rbegin(); row != drawing.rend(); ++row)
        for (const char c : *row) cells.push_back(c == '#');
    return cells;
}

Rings rings_of(const std::vector<std::string>& drawing) {
    return outline_rings(cells_of(drawing), static_cast<int>(drawing.size()),
                         static_cast<int>(drawing.front().size()));
}

/// By the shoelace formula; positive where the ring runs counter-clockwise.
long long doubled_area(const std::vector<CellCorner>& ring) {
    long long sum = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const CellCorner& a = ring[i];
        const CellCorner& b = ring[(i + 1) % ring.size()];
        sum += static_cast<long long>(a.column) * b.row - static_cast<long long>(b.column) * a.row;
    }
    return sum;
}

TEST(MapOutline, OfOneCellAreItsCorners) {
    EXPECT_EQ(rings_of({"#"}), (Rings{{{0, 0}, {0, 1}, {1, 1}, {1, 0}}}));
    EXPECT_TRUE(rings_of({"..", ".."}).empty());
}

TEST(MapOutline, GoesStraightOnWithoutCorners) {
    EXPECT_EQ(rings_of({"###", "###"}), (Rings{{{0, 0}, {0, 3}, {2, 3}, {2, 0}}}));
}

TEST(MapOutline, RunsTheOtherWayAroundAHole) {
    const Rings rings = rings_of({"####", "#..#", "####"});
    ASSERT_EQ(rings.size(), 2U);
    EXPECT_EQ(doubled_area(rings[0]), 24);
    EXPECT_EQ(doubled_area(rings[1]), -4);
    EXPECT_EQ(rings[1].size(), 4U);
}

TEST(MapOutline, SeparatesCellsThatTouchInACorner) {
    const Rings rings = rings_of({".#", "#."});
    ASSERT_EQ(rings.size(), 2U);
    EXPECT_EQ(doubled_area(rings[0]), 2);
    EXPECT_EQ(doubled_area(rings[1]), 2);
}

TEST(MapOutline, EnclosesAsManyCellsAsHoldData) {
    test::Random random(5);
    for (int n = 0; n < 300; ++n) {
        const int rows = static_cast<int>(random.between(1, 12));
        const int columns = static_cast<int>(random.between(1, 12));
        const int percent = static_cast<int>(random.between(5, 95));
        std::vector<bool> cells;
        long long count = 0;
        for (int i = 0; i < rows * columns; ++i) {
            cells.push_back(random.chance(percent));
            count += cells.back() ? 1 : 0;
        }
        long long doubled = 0;
        for (const auto& ring : outline_rings(cells, rows, columns)) {
            doubled += doubled_area(ring);
            ASSERT_GE(ring.size(), 4U);
            for (std::size_t i = 0; i < ring.size(); ++i) {
                // Corner after corner, along a parallel and a meridian by turns.
                const CellCorner& a = ring[i];
                const CellCorner& b = ring[(i + 1) % ring.size()];
                const CellCorner& c = ring[(i + 2) % ring.size()];
                ASSERT_NE(a.row == b.row, a.column == b.column);
                ASSERT_NE(a.row == b.row, b.row == c.row)
                    << "a corner in which it goes straight on";
            }
        }
        ASSERT_EQ(doubled, 2 * count);
    }
}

}  // namespace
}  // namespace thirstline
