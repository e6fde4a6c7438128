#include <gtest/gtest.h>

#include <limits>

#include "tests/support/merrow_site.hpp"
#include "tests/support/sample_months.hpp"

namespace thirstline {
namespace {

/// The message of the refusal of the north lawn after a change; empty if it is accepted.
template <class Change>
std::string refusal(Change change) {
    Zone zone = north_lawn();
    change(zone);
    const auto plan = demand_plan(merrow_climate(), {zone}, {}, std::nullopt);
    if (plan) return {};
    EXPECT_EQ(plan.error().code, ErrorCode::bad_input);
    EXPECT_NE(plan.error().message.back(), '.');
    return plan.error().message;
}

void expect_names(const std::string& message, const char* field) {
    EXPECT_NE(message.find("north lawn"), std::string::npos) << message;
    EXPECT_NE(message.find(field), std::string::npos) << message;
}

TEST(DemandChecks, AcceptTheNorthLawn) {
    EXPECT_EQ(refusal([](Zone&) {}), "");
}

TEST(DemandChecks, NameZoneAndField) {
    expect_names(refusal([](Zone& z) { z.area_m2 = -1.0; }), "area");
    expect_names(refusal([](Zone& z) { z.area_m2 = kNan; }), "area is nan");
    expect_names(refusal([](Zone& z) { z.area_m2.reset(); }), "area");
    expect_names(refusal([](Zone& z) { z.application = ApplicationRate{0.0}; }), "rate");
    expect_names(refusal([](Zone& z) { z.application = ZoneFlow{kNan}; }), "flow");
    expect_names(refusal([](Zone& z) { z.application = ZoneFlow{1e5}; }), "flow over area");
    expect_names(refusal([](Zone& z) { z.application = Drip{0, 2.0, 10.0, {}}; }), "emitters");
    expect_names(refusal([](Zone& z) { z.uniformity = DistributionUniformity{65.0}; }),
                 "distribution_uniformity");
    expect_names(refusal([](Zone& z) { z.uniformity = ApplicationEfficiency{0.0}; }), "efficiency");
    expect_names(refusal([](Zone& z) { z.planting = PlantFactor{2.0}; }), "plant_factor");
    expect_names(refusal([](Zone& z) { z.planting = LandscapeCoefficient{0.5, 2.0}; }), "density");
    expect_names(refusal([](Zone& z) {
                     z.planting = LandscapeCoefficient{0.5, 1.0, 1.0};
                     z.exposure = Exposure::hot;
                 }),
                 "exposure");
    expect_names(refusal([](Zone& z) { z.root_depth_mm = 6.0; }), "root_depth");
    expect_names(refusal([](Zone& z) { z.allowed_depletion = 50.0; }), "allowed_depletion");
    expect_names(refusal([](Zone& z) { z.soil.intake_mm_per_h = 0.0; }), "intake");
    expect_names(refusal([](Zone& z) {
                     z.rain_credit = RainCredit{RainRule::share, 1.5};
                 }),
                 "rain_credit");
    expect_names(refusal([](Zone& z) {
                     z.new_planting = NewPlanting{5.0, 3, {}, {2027, 2, 30}};
                 }),
                 "until");
    expect_names(refusal([](Zone& z) {
                     z.new_planting = NewPlanting{5.0, 3, CalendarDay{2027, 6, 1}, {2027, 5, 1}};
                 }),
                 "from");
}

TEST(DemandChecks, RefuseWaterTooSaltyForThePlants) {
    expect_names(refusal([](Zone& z) { z.salinity = Salinity{12.0, {}}; }), "too saline");
    expect_names(refusal([](Zone& z) { z.salinity = Salinity{16.0, 3.0}; }), "too saline");
    expect_names(refusal([](Zone& z) {
                     z.planting = PlantFactor{0.5};
                     z.salinity = Salinity{1.0, {}};
                 }),
                 "ECe");
    EXPECT_EQ(refusal([](Zone& z) { z.salinity = Salinity{1.5, 3.0}; }), "");
}

TEST(DemandChecks, RefuseNoZoneAndTwoOfAName) {
    EXPECT_FALSE(demand_plan(merrow_climate(), {}, {}, std::nullopt));
    const auto twice =
        demand_plan(merrow_climate(), {north_lawn(), north_lawn()}, {}, std::nullopt);
    ASSERT_FALSE(twice);
    EXPECT_NE(twice.error().message.find("two zones"), std::string::npos);
    Zone nameless = north_lawn();
    nameless.name.clear();
    EXPECT_FALSE(demand_plan(merrow_climate(), {nameless}, {}, std::nullopt));
}

TEST(DemandChecks, RefuseATallReference) {
    SiteClimate climate = merrow_climate();
    climate.reference = ReferenceCrop::tall_crop;
    const auto plan = demand_plan(climate, {north_lawn()}, {}, std::nullopt);
    ASSERT_FALSE(plan);
    EXPECT_NE(plan.error().message.find("tall"), std::string::npos);
}

TEST(DemandChecks, RefuseImpossibleNormals) {
    SiteClimate climate = merrow_climate();
    climate.months[3].rain_mm = -1.0;
    const auto plan = demand_plan(climate, {north_lawn()}, {}, std::nullopt);
    ASSERT_FALSE(plan);
    EXPECT_NE(plan.error().message.find("April"), std::string::npos);
    climate = merrow_climate();
    climate.months[3].eto_mm = kNan;
    EXPECT_FALSE(demand_plan(climate, {north_lawn()}, {}, std::nullopt));
}

TEST(DemandChecks, RefuseImpossibleRules) {
    const auto refused = [](auto change) {
        LocalRules rules;
        change(rules);
        return !demand_plan(merrow_climate(), {north_lawn()}, rules, std::nullopt).has_value();
    };
    EXPECT_FALSE(refused([](LocalRules&) {}));
    EXPECT_TRUE(refused([](LocalRules& r) { r.allowed_days.rule = DayRule::weekdays; }));
    EXPECT_TRUE(refused([](LocalRules& r) { r.window_hours = 25.0; }));
    EXPECT_TRUE(refused([](LocalRules& r) { r.window_hours = 0.0; }));
    EXPECT_TRUE(refused([](LocalRules& r) { r.flow_l_per_min = -1.0; }));
    EXPECT_TRUE(refused([](LocalRules& r) { r.yearly_allowance_l = kNan; }));
    EXPECT_TRUE(refused([](LocalRules& r) { r.days_per_week_cap = 0; }));
    EXPECT_TRUE(refused([](LocalRules& r) { r.runs_per_week_cap = 0; }));
}

}  // namespace
}  // namespace thirstline
