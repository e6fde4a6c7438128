#include "lookup/demand/demand_plan.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/exact_units.hpp"
#include "tests/support/merrow_site.hpp"

namespace thirstline {
namespace {

bool has_assumption(const Assumptions& assumed, std::string_view what) {
    return std::any_of(assumed.begin(), assumed.end(),
                       [&](const Assumption& a) { return english(a.what) == what; });
}

bool has_caution(const DemandPlan& plan, std::string_view words) {
    return std::any_of(plan.cautions.begin(), plan.cautions.end(), [&](const Phrase& caution) {
        return english(caution).find(words) != std::string::npos;
    });
}

const Assumption* find_assumption(const Assumptions& assumed, std::string_view what) {
    const auto found = std::find_if(assumed.begin(), assumed.end(), [&](const Assumption& one) {
        return english(one.what) == what;
    });
    return found == assumed.end() ? nullptr : &*found;
}

TEST(DemandPlan, OfAnEasySiteHasNoConflicts) {
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn(), shrub_bed()});
    for (const ZonePlan& zone : plan.zones) {
        EXPECT_TRUE(zone.conflicts.empty()) << zone.name;
        EXPECT_EQ(zone.peak_need_month, 7);
        for (const ZoneMonth& month : zone.months) {
            EXPECT_LE(month.short_mm, (1.0 - kMinShareOfNeed) * month.gross_mm + 1e-9);
        }
    }
    EXPECT_EQ(plan.site.highest_need_zone, "north lawn");
    EXPECT_EQ(plan.site.peak_need_month, 7);
}

TEST(DemandPlan, ListsEveryDefault) {
    Zone bare;
    bare.name = "lawn";
    bare.planting = Turf{};
    bare.area_m2 = 100.0;
    bare.application = ApplicationRate{20.0};
    const ZonePlan zone = plan_or_fail(merrow_climate(), {bare}).zones[0];
    for (const char* what :
         {"turf coefficients", "application efficiency", "soil", "slope", "available water",
          "basic intake rate", "allowable surface accumulation", "root depth", "allowed depletion",
          "rain credit", "effective rain", "dormant months"}) {
        EXPECT_TRUE(has_assumption(zone.assumed, what)) << what;
    }
    for (const Assumption& assumption : zone.assumed) {
        EXPECT_FALSE(assumption.value.empty()) << english(assumption.what);
        EXPECT_FALSE(assumption.source.empty()) << english(assumption.what);
    }
}

TEST(DemandPlan, ListsNoDefaultThatTheOwnerGave) {
    Zone zone = north_lawn();
    zone.soil = {{}, 150.0, 10.0, 6.0};
    zone.rain_credit = RainCredit{RainRule::none};
    zone.dormant_months = Monthly<bool>{};
    zone.uniformity = ApplicationEfficiency{0.7};
    const Assumptions assumed = plan_or_fail(merrow_climate(), {zone}).zones[0].assumed;
    for (const char* what :
         {"application efficiency", "soil", "slope", "available water", "basic intake rate",
          "allowable surface accumulation", "root depth", "allowed depletion", "rain credit",
          "effective rain", "dormant months"}) {
        EXPECT_FALSE(has_assumption(assumed, what)) << what;
    }
}

TEST(DemandPlan, ReportsAPeakMonthDueToMissingRainCredit) {
    constexpr const char* kWhat = "rain not credited in the peak month";
    SiteClimate wet = merrow_climate();
    for (MonthClimate& month : wet.months) month.rain_mm = 80.0;
    EXPECT_TRUE(has_assumption(plan_or_fail(wet, {north_lawn()}).zones[0].assumed, kWhat));
    EXPECT_FALSE(
        has_assumption(plan_or_fail(merrow_climate(), {north_lawn()}).zones[0].assumed, kWhat));
    Zone by_scs = north_lawn();
    by_scs.rain_credit = RainCredit{RainRule::scs};
    EXPECT_FALSE(has_assumption(plan_or_fail(wet, {by_scs}).zones[0].assumed, kWhat));
}

TEST(DemandPlan, SaysThatExposureLeavesAPlantFactorAlone) {
    Zone zone = north_lawn();
    zone.planting = PlantFactor{0.5};
    zone.exposure = Exposure::hot;
    EXPECT_TRUE(
        has_assumption(plan_or_fail(merrow_climate(), {zone}).zones[0].assumed, "exposure"));
}

// Uniformity and leaching together: 1.2658 and LR = 1.5/(5 · 3 − 1.5) = 1/9 (FAO-29, from memory).
TEST(DemandPlan, LeachingComesOnTopOfUniformity) {
    Zone zone = north_lawn();
    zone.salinity = Salinity{1.5, {}};
    const DemandPlan plan = plan_or_fail(merrow_climate(), {zone});
    EXPECT_NEAR(plan.zones[0].gross_per_net, 1.0 / (0.4 + 0.6 * 0.65) / (8.0 / 9.0), 1e-12);
    EXPECT_TRUE(has_assumption(plan.zones[0].assumed, "soil-salinity threshold (ECe)"));
    EXPECT_TRUE(has_caution(plan, "No cross-connection"));
}

// FAO-29 has bermuda, but not bluegrass (from memory); January of Meyer's warm turf equals that of
// cool turf.
TEST(DemandPlan, SaysWhichTableValuesHaveNoPublicationOrAreDoubtful) {
    Zone zone = north_lawn();
    zone.salinity = Salinity{0.5, {}};
    for (const TurfSeason season : {TurfSeason::cool, TurfSeason::warm}) {
        SCOPED_TRACE(static_cast<int>(season));
        zone.planting = Turf{.season = season, .coefficients = TurfCoefficients::california};
        SiteClimate california = merrow_climate();
        california.at = LatLon{37.0, -120.0};
        const DemandPlan plan = plan_or_fail(california, {zone});
        const bool is_warm = season == TurfSeason::warm;
        bool is_known = false;
        bool is_doubtful = false;
        for (const Assumption& a : plan.zones[0].assumed) {
            if (english(a.what) == "soil-salinity threshold (ECe)")
                is_known = a.basis == Basis::memory;
            if (english(a.what) == "turf coefficients")
                is_doubtful = english(a.value).find("doubtful") != std::string::npos;
        }
        EXPECT_EQ(is_known, is_warm);
        EXPECT_EQ(is_doubtful, is_warm);
    }
}

// Need goes by the planted area, the wetted area sets storage, interval and cycle: NRCS NEH 623
// ch. 7, from memory.
TEST(DemandPlan, DripCountsThePlantedAreaAndStoresInTheWettedOne) {
    Zone zone = shrub_bed();
    zone.area_m2 = 139.0;
    const ZonePlan plan = plan_or_fail(merrow_climate(), {zone}).zones[0];
    Zone all_wetted = zone;
    std::get<Drip>(all_wetted.application).wetted_m2 = 139.0;
    const ZonePlan whole = plan_or_fail(merrow_climate(), {all_wetted}).zones[0];
    EXPECT_EQ(plan.counted_area_m2, 139.0);
    EXPECT_EQ(plan.months[6].need_mm, whole.months[6].need_mm);
    EXPECT_NEAR(plan.months[6].volume_l / whole.months[6].volume_l, 1.0, 0.1);
    const double wetted_share = 400.0 * kM2PerFt2 / 139.0;
    EXPECT_NEAR(plan.usable_storage_mm, whole.usable_storage_mm * wetted_share, 1e-9);
    EXPECT_LT(*plan.months[6].interval_days, *whole.months[6].interval_days);
    // 60 gal/h over 139 m², exact.
    EXPECT_NEAR(plan.rate_mm_per_h, 60.0 * kLitresPerGallon / 139.0, 1e-9);
    EXPECT_TRUE(has_assumption(plan.assumed, "area used"));
    const ZoneMonth& july = plan.months[6];
    EXPECT_NEAR(july.l_per_plant_per_day.value_or(0.0), july.volume_l / 30.0 / 31.0, 1e-9);

    Zone too_wet = zone;
    std::get<Drip>(too_wet.application).wetted_m2 = 140.0;
    const auto refused = demand_plan(merrow_climate(), {too_wet}, {}, {});
    ASSERT_FALSE(refused);
    EXPECT_NE(refused.error().message.find("wetted area"), std::string::npos);
}

// --- Days ----------------------------------------------------------------------------------------

TEST(DemandPlan, CutsDaysBeforeRunsGetTooShort) {
    const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}).zones[0];
    for (std::size_t m = 0; m < kMonths; ++m) {
        const ZoneMonth& month = zone.months[m];
        if (month.net_mm <= 0.0) continue;
        EXPECT_LE(month.days_per_week, zone.base_run.days_per_week + 1e-9);
        const double net_mm_a_day =
            month.net_mm / (month.days_per_week * kDaysInMonth[m] / kDaysPerWeek);
        EXPECT_GE(net_mm_a_day, zone.usable_storage_mm / 2.0) << m;
        EXPECT_LE(net_mm_a_day, zone.usable_storage_mm) << m;
    }
    EXPECT_LT(zone.months[9].days_per_week, zone.base_run.days_per_week);
    // In November every second week lies beyond the 11 days that the soil lasts: rain is counted
    // on.
    EXPECT_GT(kDaysPerWeek / zone.months[10].days_per_week, *zone.months[10].interval_days);
    const Assumption* counted = find_assumption(zone.assumed, "intervals that rely on rain");
    ASSERT_NE(counted, nullptr);
    EXPECT_EQ(english(counted->value), "Nov");
}

// A summer of rain: runs that the soil's days would make shallow are made fewer, and where even
// those are, it is said.
TEST(DemandPlan, CutsDaysFurtherWhereRainIsCountedOn) {
    SiteClimate wet = merrow_climate();
    for (const std::size_t m : {6U, 7U, 8U}) wet.months[m].rain_mm = 150.0;
    Zone lawn = north_lawn();
    lawn.rain_credit = RainCredit{RainRule::scs};
    const ZonePlan zone = plan_or_fail(wet, {lawn}).zones[0];
    ASSERT_EQ(zone.peak_need_month, 6);
    const ZoneMonth& july = zone.months[6];
    EXPECT_LE(kDaysPerWeek / july.days_per_week, 7.0 / 2.0 + 1e-9);
    EXPECT_EQ(july.interval_days, 3);
    EXPECT_EQ(july.days_per_week, 2.0);
    EXPECT_TRUE(zone.conflicts.empty());
    const Assumption* shallow = find_assumption(zone.assumed, "shallow run times");
    ASSERT_NE(shallow, nullptr);
    EXPECT_NE(english(shallow->value).find("Jul"), std::string::npos) << english(shallow->value);
}

// 13.49 mm of storage. At 0.85 times July's need, 3.3 mm a day, four days from Thursday to Monday
// are within it, at the whole need 2.4 mm beyond: 18 %, a conflict. At 3.7 mm a day 1.3 mm, 10 %.
TEST(DemandPlan, ListsASlightOverdraftAsAnAssumption) {
    LocalRules rules;
    rules.allowed_days = {DayRule::weekdays, {true, false, false, true, false, false, false}};
    const auto zone_of = [&](double need_mm_per_day) {
        SiteClimate climate = merrow_climate();
        for (std::size_t m = 0; m < kMonths; ++m) {
            climate.months[m].eto_mm = need_mm_per_day / 0.8 * kDaysInMonth[m];
            climate.months[m].rain_mm = 0.0;
        }
        return plan_or_fail(climate, {north_lawn()}, rules).zones[0];
    };
    EXPECT_TRUE(zone_of(3.3).conflicts.empty());
    EXPECT_EQ(find_assumption(zone_of(3.3).assumed, "longest interval between waterings"), nullptr);
    const ZonePlan slight = zone_of(3.7);
    EXPECT_TRUE(slight.conflicts.empty());
    const Assumption* wait = find_assumption(slight.assumed, "longest interval between waterings");
    ASSERT_NE(wait, nullptr);
    EXPECT_NE(english(wait->value).find("1.3 mm"), std::string::npos) << english(wait->value);
    EXPECT_GE(slight.months[6].applied_mm, kMinShareOfNeed * slight.months[6].gross_mm);
    const ZonePlan conflict = zone_of(3.98);
    EXPECT_FALSE(conflict.conflicts.empty());
    EXPECT_EQ(find_assumption(conflict.assumed, "longest interval between waterings"), nullptr);
}

TEST(DemandPlan, ReportsAllowedDaysThatAreTooFarApart) {
    LocalRules rules;
    rules.allowed_days = {DayRule::weekdays, {true, false, false, true, false, false, false}};
    const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}, rules).zones[0];
    const auto conflicts = conflicts_of(zone, "allowed_days");
    ASSERT_FALSE(conflicts.empty());
    const auto july = std::find_if(conflicts.begin(), conflicts.end(),
                                   [](const Conflict& c) { return c.month == 7; });
    ASSERT_NE(july, conflicts.end());
    // 13.49 mm of storage last 3 days of 3.97 mm; Thursday to Monday is 4.
    const std::string short_by = english(july->short_by);
    EXPECT_EQ(
        short_by.rfind("the longest gap is 4 days, but the root zone holds water for 3 days; ", 0),
        0U)
        << short_by;
    EXPECT_NE(english(july->remedy).find("3 watering days per week"), std::string::npos)
        << english(july->remedy);
}

TEST(DemandPlan, ReportsThatSandNeedsWaterTwiceADay) {
    Zone zone = sandy_strip();
    zone.root_depth_mm = 50.0;
    const ZonePlan plan = plan_or_fail(merrow_climate(), {zone}).zones[0];
    EXPECT_EQ(plan.months[6].interval_days, 0);
    const auto conflicts = conflicts_of(plan, "soil");
    ASSERT_FALSE(conflicts.empty());
    EXPECT_NE(english(conflicts.back().remedy).find("second watering"), std::string::npos);
}

TEST(DemandPlan, NeverAppliesMoreAtOnceThanTheRootsCanHold) {
    Zone zone = sandy_strip();
    LocalRules rules;
    rules.allowed_days = {DayRule::weekdays, {true, false, false, false, false, false, false}};
    const ZonePlan plan = plan_or_fail(merrow_climate(), {zone}, rules).zones[0];
    const ZoneMonth& july = plan.months[6];
    const double root_zone_mm = plan.usable_storage_mm / 0.5;
    const double net_mm_a_day = july.applied_mm / plan.gross_per_net / (31.0 / 7.0);
    EXPECT_LE(net_mm_a_day, root_zone_mm + 1e-9);
    EXPECT_GE(net_mm_a_day, 0.9 * root_zone_mm);  // in whole minutes
    EXPECT_GT(july.short_mm, 0.0);
    const auto conflicts = conflicts_of(plan, "soil");
    const auto in_july = std::find_if(conflicts.begin(), conflicts.end(),
                                      [](const Conflict& c) { return c.month == 7; });
    ASSERT_NE(in_july, conflicts.end());
    EXPECT_NEAR(in_july->short_mm, july.short_mm, 1e-9);
}

TEST(DemandPlan, WarnsOfOddDatesThatFollowEachOther) {
    LocalRules rules;
    rules.allowed_days.rule = DayRule::odd_dates;
    EXPECT_TRUE(has_caution(plan_or_fail(merrow_climate(), {north_lawn()}, rules), "31st"));
    EXPECT_FALSE(has_caution(plan_or_fail(merrow_climate(), {north_lawn()}), "31st"));
}

// --- The window ----------------------------------------------------------------------------------

TEST(DemandPlan, CutsRunsToTheWindowAndReportsIt) {
    LocalRules rules;
    rules.allowed_days = monday_wednesday_friday();
    rules.window_hours = 1.0;
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn(), sandy_strip()}, rules);
    EXPECT_LE(plan.site.longest_night_minutes.value_or(0.0), 60.0 + 1e-6);
    const ZoneMonth& july = plan.zones[0].months[6];
    EXPECT_GT(july.short_mm, 0.0);
    bool is_told = false;
    for (const Conflict& conflict : conflicts_of(plan.zones[0], "window_hours")) {
        if (conflict.month != 7) continue;
        is_told = true;
        EXPECT_NEAR(conflict.short_mm, july.short_mm, 1e-9);
        EXPECT_NE(english(conflict.remedy).find("a water window of"), std::string::npos);
        EXPECT_NE(english(conflict.remedy).find("one more watering day"), std::string::npos);
    }
    EXPECT_TRUE(is_told);
}

TEST(DemandPlan, TakesMoreDaysBeforeItCutsRuns) {
    Zone other = north_lawn();
    other.name = "south lawn";
    LocalRules rules;
    // Each lawn alone takes 10 + 66 + 10 minutes on three days; the two interleave in some 96.
    rules.window_hours = 1.25;
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn(), other}, rules);
    for (const ZonePlan& zone : plan.zones) {
        EXPECT_TRUE(conflicts_of(zone, "window_hours").empty()) << zone.name;
        EXPECT_GE(zone.months[6].applied_mm, kMinShareOfNeed * zone.months[6].gross_mm);
        EXPECT_GT(zone.months[6].days_per_week, 3.0);
    }
    EXPECT_LE(plan.site.longest_night_minutes.value_or(0.0), 75.0 + 1e-6);
}

TEST(DemandPlan, ReportsThatSoakingTakesTheTime) {
    Zone zone = north_lawn();
    zone.soil.intake_mm_per_h = 0.6;
    LocalRules rules;
    rules.allowed_days = monday_wednesday_friday();
    rules.window_hours = 6.0;
    const ZonePlan plan = plan_or_fail(merrow_climate(), {zone}, rules).zones[0];
    const auto conflicts = conflicts_of(plan, "window_hours");
    ASSERT_FALSE(conflicts.empty());
    EXPECT_NE(english(conflicts[0].remedy).find("soak time"), std::string::npos);
}

// --- Caps, flow and allowance --------------------------------------------------------------------

TEST(DemandPlan, KeepsTheCapOnWeeklyDepth) {
    LocalRules rules;
    rules.weekly_depth_cap_mm = 20.0;
    const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}, rules).zones[0];
    EXPECT_LE(zone.months[6].applied_mm, 20.0 * 31.0 / 7.0 + 1e-9);
    EXPECT_GE(zone.months[6].applied_mm, 0.9 * 20.0 * 31.0 / 7.0);  // in whole minutes
    const auto conflicts = conflicts_of(zone, "weekly_depth_cap");
    ASSERT_FALSE(conflicts.empty());
    EXPECT_NEAR(conflicts[0].short_mm,
                zone.months[static_cast<std::size_t>(conflicts[0].month - 1)].short_mm, 1e-9);
}

TEST(DemandPlan, KeepsTheCapOnRuns) {
    LocalRules rules;
    rules.runs_per_week_cap = 4;
    const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}, rules).zones[0];
    for (const ZoneMonth& month : zone.months) {
        EXPECT_LE(month.cycles_per_day * month.days_per_week, 4.0 + 1e-9);
    }
    EXPECT_FALSE(conflicts_of(zone, "runs_per_week_cap").empty());
}

TEST(DemandPlan, RunsNoZoneThatTakesMoreThanTheConnectionGives) {
    LocalRules rules;
    rules.flow_l_per_min = 29.0;
    const ZonePlan zone = plan_or_fail(merrow_climate(), {sandy_strip()}, rules).zones[0];
    EXPECT_EQ(zone.volume_l, 0.0);
    EXPECT_FALSE(conflicts_of(zone, "flow").empty());
    rules.flow_l_per_min = 30.0;
    EXPECT_TRUE(plan_or_fail(merrow_climate(), {sandy_strip()}, rules).zones[0].conflicts.empty());
}

TEST(DemandPlan, KeepsTheAllowancesAndSharesWhatLacks) {
    const std::vector<Zone> zones{north_lawn(), shrub_bed()};
    const double whole_l = plan_or_fail(merrow_climate(), zones).site.year.volume_l;
    LocalRules rules;
    rules.yearly_allowance_l = whole_l / 2.0;
    const DemandPlan halved = plan_or_fail(merrow_climate(), zones, rules);
    EXPECT_LE(halved.site.year.volume_l, whole_l / 2.0 + 1e-6);
    EXPECT_GE(halved.site.year.volume_l, 0.9 * whole_l / 2.0);  // in whole minutes
    EXPECT_LE(halved.site.by_percentage.volume_l, whole_l / 2.0 + 1e-6);
    for (const ZonePlan& zone : halved.zones) {
        EXPECT_FALSE(conflicts_of(zone, "yearly_allowance").empty());
        EXPECT_NEAR(zone.months[6].applied_mm / zone.months[6].gross_mm, 0.5, 0.06);
    }
    rules = {};
    rules.monthly_allowance_l = 15000.0;
    const DemandPlan capped = plan_or_fail(merrow_climate(), zones, rules);
    for (std::size_t m = 0; m < kMonths; ++m) {
        EXPECT_LE(capped.zones[0].months[m].volume_l + capped.zones[1].months[m].volume_l,
                  15000.0 + 1e-6);
    }
    EXPECT_FALSE(conflicts_of(capped.zones[0], "monthly_allowance").empty());
}

TEST(DemandPlan, OfNoWaterAtAllIsAllConflict) {
    LocalRules rules;
    rules.yearly_allowance_l = 0.0;
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn()}, rules);
    EXPECT_EQ(plan.site.year.volume_l, 0.0);
    EXPECT_EQ(plan.zones[0].base_run.minutes_per_day, 0.0);
    EXPECT_EQ(conflicts_of(plan.zones[0], "yearly_allowance").size(), 9U);  // months of need
}

// --- The site ------------------------------------------------------------------------------------

TEST(DemandPlan, OnePercentageLeavesNoZoneOfAProgramShort) {
    const std::vector<Zone> zones{north_lawn(), shrub_bed(), sandy_strip()};
    const DemandPlan plan = plan_or_fail(merrow_climate(), zones);
    std::size_t gathered = 0;
    for (const ProgramPlan& program : plan.site.programs) gathered += program.zones.size();
    EXPECT_EQ(gathered, zones.size());
    for (const ZonePlan& zone : plan.zones) {
        const ProgramPlan& program =
            plan.site.programs.at(static_cast<std::size_t>(zone.base_run.program - 1));
        EXPECT_EQ(program.percent[6], 100);
        EXPECT_EQ(program.day_names, zone.base_run.day_names);
        for (std::size_t m = 0; m < kMonths; ++m) {
            const ZoneMonth& month = zone.months[m];
            EXPECT_EQ(program.percent[m] % 5, 0);
            if (month.off != Off::no) {
                EXPECT_EQ(month.by_percentage.applied_mm, 0.0);
                continue;
            }
            EXPECT_EQ(month.by_percentage.percent, program.percent[m]);
            EXPECT_GE(month.by_percentage.applied_mm, kMinShareOfNeed * month.gross_mm - 1e-9);
        }
    }
}

TEST(DemandPlan, ComparesWithSchedulesTheMildestFirst) {
    WaterPrice price;
    price.tiers = {{std::nullopt, 2.0}};  // 2 a cubic metre
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn()}, {}, price);
    const ZonePlan& zone = plan.zones[0];
    const BaseRun& base = zone.base_run;
    const double peak_l_a_day =
        base.minutes_per_day * base.days_per_week / 7.0 * zone.flow_l_per_min;
    ASSERT_EQ(plan.site.comparisons.size(), 3U);
    const Comparison& two = plan.site.comparisons[0];
    const Comparison& season = plan.site.comparisons[1];
    EXPECT_EQ(two.name, "two_settings");
    EXPECT_EQ(season.name, "peak_all_season");
    // March to November are the lawn's season: 275 days.
    EXPECT_NEAR(season.year.volume_l, peak_l_a_day * 275.0, 1e-6);
    EXPECT_EQ(plan.site.comparisons[2].name, "peak_all_year");
    EXPECT_NEAR(plan.site.comparisons[2].year.volume_l, peak_l_a_day * 365.25, 1e-6);
    EXPECT_LT(two.year.volume_l, season.year.volume_l);
    EXPECT_GT(two.year.volume_l, plan.site.year.volume_l);
    EXPECT_NEAR(season.saving.volume_l, season.year.volume_l - plan.site.year.volume_l, 1e-6);
    EXPECT_NEAR(season.saving.cost.value_or(0.0), season.saving.volume_l / 500.0, 1e-9);
    EXPECT_NEAR(zone.cost.value_or(0.0), zone.volume_l / 500.0, 1e-9);
}

TEST(DemandPlan, WithoutAPriceHasNoCost) {
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn()});
    EXPECT_FALSE(plan.site.year.cost);
    EXPECT_FALSE(plan.site.by_percentage.cost);
    for (const Comparison& one : plan.site.comparisons) EXPECT_FALSE(one.saving.cost);
    EXPECT_FALSE(plan.zones[0].months[6].cost);
}

TEST(DemandPlan, CautiousEstimateIsThePeakAndWhatIsNotKnownOfIt) {
    const ZonePlan zone = plan_or_fail(merrow_climate(), {north_lawn()}).zones[0];
    EXPECT_NEAR(zone.peak_net_se_mm.value_or(0.0), 0.8 * 7.8, 1e-9);
    EXPECT_NEAR(zone.cautious_peak_net_mm.value_or(0.0), 0.8 * (153.7 + 0.8416 * 7.8), 1e-9);
    SiteClimate unsure = merrow_climate();
    for (MonthClimate& month : unsure.months) month.eto_se_mm.reset();
    EXPECT_FALSE(plan_or_fail(unsure, {north_lawn()}).zones[0].cautious_peak_net_mm);
}

TEST(DemandPlan, CautionsComeWhereTheyApply) {
    const DemandPlan plan = plan_or_fail(merrow_climate(), {north_lawn()});
    for (const char* always :
         {"Check local watering rules", "licensed contractors", "not a forecast",
          "rain or freeze sensor", "at or below freezing", "compressed air"}) {
        EXPECT_TRUE(has_caution(plan, always)) << always;
    }
    EXPECT_TRUE(has_caution(plan, "Dormant does not mean dry"));
    EXPECT_FALSE(has_caution(plan, "slope"));
    EXPECT_FALSE(has_caution(plan, "Recycled"));
    EXPECT_FALSE(has_caution(plan, "New plantings"));

    SiteClimate tropics = merrow_climate();
    for (MonthClimate& month : tropics.months) month.tmean_c = 26.0;
    Zone steep = north_lawn();
    steep.slope_percent = 20.0;
    const DemandPlan warm = plan_or_fail(tropics, {steep});
    EXPECT_TRUE(has_caution(warm, "at or below freezing"));
    EXPECT_FALSE(has_caution(warm, "Dormant"));
    EXPECT_TRUE(has_caution(warm, "slope"));
}

TEST(DemandPlan, OfFrozenGroundIsAYearWithoutWater) {
    SiteClimate polar = merrow_climate();
    for (MonthClimate& month : polar.months) month.tmean_c = -10.0;
    const DemandPlan plan = plan_or_fail(polar, {north_lawn(), shrub_bed()});
    EXPECT_EQ(plan.site.year.volume_l, 0.0);
    EXPECT_EQ(plan.site.peak_need_month, std::nullopt);
    EXPECT_EQ(plan.site.longest_night_minutes, std::nullopt);
    for (const ZonePlan& zone : plan.zones) {
        EXPECT_EQ(zone.peak_need_month, std::nullopt);
        for (const ZoneMonth& month : zone.months) EXPECT_TRUE(month.dormant);
    }
}

}  // namespace
}  // namespace thirstline
