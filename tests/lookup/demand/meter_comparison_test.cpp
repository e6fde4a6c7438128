#include "lookup/demand/meter_comparison.hpp"

#include <gtest/gtest.h>

#include "tests/support/merrow_site.hpp"

namespace thirstline {
namespace {

double volume_l(const DemandPlan& plan, std::size_t month) {
    double litres = 0.0;
    for (const ZonePlan& zone : plan.zones) litres += zone.months[month].volume_l;
    return litres;
}

// By hand: 11 days of June, all of July and 9 of August; the house uses 2 m³ of an average month of
// 30.4375 days.
TEST(MeterComparison, ComparesReadingsWithThePlanOfTheirDays) {
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn(), shrub_bed()});
    MeterRecord record{1000.0, 2.0, {{{2027, 6, 20}, 100.0}, {{2027, 8, 10}, 150.0}}};
    const auto periods = meter_comparison(record, plan, std::nullopt);
    ASSERT_EQ(periods.size(), 1U);
    const double planned =
        volume_l(plan, 5) * 11.0 / 30.0 + volume_l(plan, 6) + volume_l(plan, 7) * 9.0 / 31.0;
    EXPECT_NEAR(periods[0].planned_l, planned, 1e-6);
    EXPECT_NEAR(periods[0].used_l, 50000.0 - 2000.0 * 51.0 / 30.4375, 1e-6);
    EXPECT_NEAR(periods[0].difference_l, periods[0].used_l - planned, 1e-9);
}

// The water of a month that the season cuts is planned for its days within it.
TEST(MeterComparison, PlansNoWaterOutsideTheSeason) {
    SiteSetup setup;
    setup.season = Season{{4, 16}, {10, 15}};
    const auto plan = demand_plan(merrow_climate(), {north_lawn()}, {}, {}, setup);
    ASSERT_TRUE(plan);
    MeterRecord record{1.0, 0.0, {{{2027, 4, 1}, 0.0}, {{2027, 4, 16}, 0.0}, {{2027, 5, 1}, 0.0}}};
    const auto periods = meter_comparison(record, *plan, setup.season);
    ASSERT_EQ(periods.size(), 2U);
    EXPECT_EQ(periods[0].planned_l, 0.0);
    EXPECT_NEAR(periods[1].planned_l, volume_l(*plan, 3), 1e-6);
}

}  // namespace
}  // namespace thirstline
