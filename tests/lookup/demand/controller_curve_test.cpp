#include "lookup/demand/controller_curve.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

/// A zone whose base run of 60 minutes brings `base_net_mm`, of a usable storage of 12 mm; it needs
/// the same every day.
ZonePlan zone_with_base_run(double base_net_mm, const Monthly<double>& percents) {
    ZonePlan zone;
    zone.name = "meadow";
    zone.rate_mm_per_h = base_net_mm;
    zone.usable_storage_mm = 12.0;
    zone.peak_need_month = 7;
    zone.base_run.minutes_per_day = 60.0;
    zone.base_run.days_per_week = 3.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        zone.months[m].percent_of_peak_need = percents[m];
        zone.months[m].gross_mm = percents[m];
    }
    return zone;
}

Monthly<double> percents_of(double january, double june) {
    Monthly<double> percents{};
    percents[0] = january;
    percents[5] = june;
    percents[6] = 100.0;
    return percents;
}

// A run must bring back 6 mm of the 12: a base run of 10 mm does so down to 60 %.
TEST(ControllerCurve, SaysWhereDaysAreCutFirst) {
    const ControllerCurve curve = controller_curve({zone_with_base_run(10.0, percents_of(54, 58))});
    EXPECT_EQ(curve.percent_to_enter[0], 55);
    EXPECT_TRUE(curve.days_cut_first[0]);
    EXPECT_EQ(curve.percent_to_enter[5], 60);
    EXPECT_FALSE(curve.days_cut_first[5]);
}

// 98 % is entered as 100 %: the base run itself, which is long enough.
TEST(ControllerCurve, NeverCutsDaysAtAHundredPercent) {
    const ControllerCurve curve = controller_curve({zone_with_base_run(6.0, percents_of(0, 98))});
    EXPECT_EQ(curve.percent_to_enter[5], 100);
    EXPECT_FALSE(curve.days_cut_first[5]);
    EXPECT_FALSE(curve.days_cut_first[6]);
}

// The second zone needs nothing in January: whether a run would wet its roots is no question.
TEST(ControllerCurve, TakesNoNoticeOfZonesWithoutNeed) {
    const ControllerCurve curve = controller_curve(
        {zone_with_base_run(12.0, percents_of(60, 0)), zone_with_base_run(7.0, percents_of(0, 0))});
    EXPECT_EQ(curve.percent_to_enter[0], 60);
    EXPECT_FALSE(curve.days_cut_first[0]);
    EXPECT_GT(curve.too_much_mm[1][0], 0.0);
}

}  // namespace
}  // namespace thirstline
