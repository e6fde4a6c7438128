#include "schema/tile/layers.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <set>
#include <string>

namespace thirstline {
namespace {

TEST(Layers, AreSortedAndNamedOnce) {
    std::set<std::string> names;
    int last = 0;
    for (const Layer& layer : all_layers()) {
        EXPECT_GT(static_cast<int>(layer.id), last);
        last = static_cast<int>(layer.id);
        EXPECT_TRUE(names.insert(std::string(layer.name)).second);
        EXPECT_TRUE(is_known(layer.id));
        EXPECT_EQ(layer_by_id(last), layer);
    }
    EXPECT_EQ(last + 1, kLayerSlots);
    EXPECT_FALSE(layer_by_id(0).has_value());
    EXPECT_FALSE(layer_by_id(kLayerSlots).has_value());
    EXPECT_FALSE(is_known(static_cast<LayerId>(kLayerSlots)));
}

Layer layer_of(int width_bytes, bool is_signed, std::int32_t divisor = 1) {
    return {LayerId::eto, "made", "-", LayerShape::point, divisor, width_bytes, is_signed};
}

TEST(Layers, RangesLeaveOneNumberForMissing) {
    EXPECT_EQ(least_value(layer_of(1, false)), 0);
    EXPECT_EQ(greatest_value(layer_of(1, false)), 254);
    EXPECT_EQ(least_value(layer_of(1, true)), -127);
    EXPECT_EQ(greatest_value(layer_of(1, true)), 127);
    EXPECT_EQ(least_value(layer_of(2, false)), 0);
    EXPECT_EQ(greatest_value(layer_of(2, false)), 65'534);
    EXPECT_EQ(least_value(layer_of(2, true)), -32'767);
    EXPECT_EQ(greatest_value(layer_of(2, true)), 32'767);
}

TEST(Quantised, RoundsHalfAwayFromZeroAndStaysWithinRange) {
    const Layer tenths = layer_of(2, true, 10);
    EXPECT_EQ(quantised(tenths, 0.04), 0);
    EXPECT_EQ(quantised(tenths, 0.05), 1);
    EXPECT_EQ(quantised(tenths, -0.05), -1);
    EXPECT_EQ(quantised(tenths, 12.25), 123);
    EXPECT_EQ(quantised(tenths, -12.25), -123);
    EXPECT_EQ(quantised(tenths, 1e12), 32'767);
    EXPECT_EQ(quantised(tenths, -1e12), -32'767);
    EXPECT_EQ(quantised(layer_of(2, false), -3.0), 0);
    EXPECT_EQ(quantised(layer_of(2, false), 65'535.0), 65'534);
    EXPECT_EQ(quantised(layer_of(1, false), 255.0), 254);
}

TEST(Quantised, WhatIsNotFiniteIsMissing) {
    const Layer layer = layer_of(2, true, 10);
    EXPECT_EQ(quantised(layer, std::numeric_limits<double>::quiet_NaN()), kMissingValue);
    EXPECT_EQ(quantised(layer, std::numeric_limits<double>::infinity()), kMissingValue);
    EXPECT_EQ(quantised(layer, -std::numeric_limits<double>::infinity()), kMissingValue);
}

TEST(Quantised, EveryIntegerIsRestoredFromItsValue) {
    for (const Layer& layer : all_layers()) {
        for (std::int32_t value = least_value(layer); value <= greatest_value(layer); value += 3)
            ASSERT_EQ(quantised(layer, static_cast<double>(value) / layer.divisor), value);
    }
}

}  // namespace
}  // namespace thirstline
