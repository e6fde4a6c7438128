#include "lookup/demand_output/schedule_notes.hpp"

#include <gtest/gtest.h>

#include "lookup/demand_output/demand_text.hpp"
#include "tests/support/demand_reports.hpp"

namespace thirstline {
namespace {

constexpr TextStyle kUsNotes{UnitSystem::us, true};
constexpr std::size_t kOneLine = 4000;

bool shows(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

std::string text_of_plan(const std::string& zones) {
    return demand_text(test::merrow_demand(zones), kUsNotes, kOneLine);
}

/// Drip that takes hours: 10 emitters of half a gallon an hour for 250 square feet.
constexpr const char* kSlowDrip =
    "[[zone]]\nname = \"roses\"\nplant_factor = 0.7\narea_ft2 = 250\nemitters = 10\n"
    "gph_each = 0.5\nplants = 20\nsoil = \"silt loam\"\n";

TEST(ScheduleNotes, SplitLongNightsWhereNoRuleForbidsIt) {
    const DemandReport report = test::merrow_demand(kSlowDrip);
    for (std::size_t m = 0; m < kMonths; ++m) {
        const auto& night = report.plan.site.nights[m];
        if (!night) continue;
        EXPECT_LE(night->end_minutes - night->start_minutes, 600.0) << m;
    }
    EXPECT_TRUE(late_nights_by_month(report.plan).empty());
    EXPECT_TRUE(late_nights_by_percentage(report.plan).empty());
}

TEST(ScheduleNotes, SayWhichNightsEndLate) {
    const std::string text =
        text_of_plan("[site]\nallowed_days = [\"Mon\"]\n" + std::string(kSlowDrip));
    EXPECT_TRUE(shows(text, " watering ends after 06:00, at ")) << text;
    EXPECT_TRUE(shows(text, "With these percentages watering in ")) << text;
}

TEST(ScheduleNotes, SayHowAnIntervalIsSet) {
    const std::string text =
        text_of_plan("[site]\nallowed_days = \"even\"\n" + std::string(kSlowDrip));
    EXPECT_TRUE(shows(text, " days from the ")) << text;
    EXPECT_TRUE(shows(text, "start it again in each month")) << text;
    const std::string without = text_of_plan(
        "[site]\nallowed_days = \"even\"\n[controller]\n"
        "interval_days = false\n" +
        std::string(kSlowDrip));
    EXPECT_FALSE(shows(without, " days from the ")) << without;
    EXPECT_TRUE(shows(without, "Program 1: every even date")) << without;
}

TEST(ScheduleNotes, SayWhyAMonthWithNeedIsOff) {
    const std::string text =
        text_of_plan("[season]\nstart = \"06-01\"\nstop = \"08-31\"\n" + std::string(kSlowDrip));
    EXPECT_TRUE(shows(text, "Off although plants need water: ")) << text;
    EXPECT_TRUE(shows(text, "change start or stop in [season]")) << text;
}

// The base run multiplied out: minutes / 60 x emitters x gallons an hour / plants.
TEST(ScheduleNotes, GiveTheVolumeOfAPlant) {
    const DemandReport report = test::merrow_demand(kSlowDrip);
    const BaseRun& run = report.plan.zones[0].base_run;
    ASSERT_TRUE(run.l_per_plant);
    EXPECT_NEAR(*run.l_per_plant / 3.785411784, run.minutes_per_day / 60.0 * 10 * 0.5 / 20.0, 0.01);
    EXPECT_TRUE(shows(demand_text(report, kUsNotes, kOneLine), " gal per plant"));
}

TEST(ScheduleNotes, DoNotBlameARuleForTheFlowOfTheSite) {
    const std::string text = text_of_plan("[site]\nflow_gpm = 0.05\n" + std::string(kSlowDrip));
    EXPECT_TRUE(shows(text, "roses: not watered: the zone needs more flow than the site has"))
        << text;
    EXPECT_TRUE(shows(text, "no run ")) << text;
    EXPECT_FALSE(shows(text, "within the rules")) << text;
}

}  // namespace
}  // namespace thirstline
