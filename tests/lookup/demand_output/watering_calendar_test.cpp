#include "lookup/demand_output/watering_calendar.hpp"

#include <gtest/gtest.h>

#include <utility>

namespace thirstline {
namespace {

constexpr std::size_t kJulyIndex = 6;

/// Settings of July alone.
ZonePlan zone_in_july(std::string name, std::uint32_t slots, std::string day_names,
                      double minutes_per_cycle, std::vector<double> start_minutes) {
    ZonePlan zone;
    zone.name = std::move(name);
    ZoneMonth& july = zone.months[kJulyIndex];
    july.days.slots = slots;
    july.day_names = std::move(day_names);
    july.cycles_per_day = static_cast<int>(start_minutes.size());
    july.minutes_per_cycle = minutes_per_cycle;
    july.start_minutes = std::move(start_minutes);
    return zone;
}

DemandPlan plan_of_july() {
    DemandPlan plan;
    plan.zones = {zone_in_july("lawn", 0b1001, "Mon, Thu", 10.0, {185.0, 261.0}),
                  zone_in_july("trees", 0b10, "Tue", 90.0, {1400.0}),
                  zone_in_july("shrubs", 0b1001, "Mon, Thu", 59.0, {195.0})};
    return plan;
}

TEST(WateringCalendar, GathersTheZonesOfTheSameDays) {
    const auto entries = calendar_of_month(plan_of_july(), kJulyIndex);
    ASSERT_EQ(entries.size(), 2U);
    EXPECT_EQ(english(entries[0].day_names), "Mon, Thu");
    ASSERT_EQ(entries[0].runs.size(), 3U);
    EXPECT_EQ(entries[0].runs[1].zone, 2U);  // in order of the clock
    EXPECT_EQ(entries[0].end_minutes, 271.0);
    EXPECT_TRUE(calendar_of_month(plan_of_july(), 5).empty());
}

TEST(WateringCalendar, NamesEachZoneOnceWithItsStartTimes) {
    const DemandPlan plan = plan_of_july();
    const auto entries = calendar_of_month(plan, kJulyIndex);
    EXPECT_EQ(english(runs_phrase(entries[0], plan)),
              "lawn 2 × 10 min at 03:05 and 04:21; shrubs 59 min at 03:15");
    // Past midnight: 1400 + 90 minutes.
    EXPECT_EQ(english(runs_phrase(entries[1], plan)), "trees 90 min at 23:20");
    const std::vector<std::string> lines = calendar_lines(plan, {});
    EXPECT_EQ(lines.at(2), "Jul, Tue: trees 90 min at 23:20; ends 00:50.");
}

TEST(WateringCalendar, SaysMonthsOfTheSameSettingsOnce) {
    DemandPlan plan = plan_of_july();
    for (ZonePlan& zone : plan.zones) zone.months[kJulyIndex + 1] = zone.months[kJulyIndex];
    const std::vector<std::string> lines = calendar_lines(plan, {});
    ASSERT_EQ(lines.size(), 4U);
    EXPECT_EQ(lines[0], "Jan to Jun, no watering.");
    EXPECT_TRUE(lines[1].starts_with("Jul and Aug, Mon, Thu: lawn 2 × 10 min at 03:05"));
    EXPECT_TRUE(lines[2].starts_with("Jul and Aug, Tue: trees 90 min"));
    EXPECT_EQ(lines[3], "Sep to Dec, no watering.");
    const std::vector<std::string> months = calendar_of_months(plan, {});
    ASSERT_EQ(months.size(), 3U);
    EXPECT_EQ(months[0], "Jan to Jun – No watering.");
    EXPECT_EQ(months[1],
              "Jul and Aug – Mon, Thu: lawn 2 × 10 min at 03:05 and 04:21; shrubs 59 min at 03:15; "
              "ends 04:31. Tue: trees 90 min at 23:20; ends 00:50.");
}

TEST(WateringCalendar, SaysWhatChangesInAProgram) {
    DemandPlan plan = plan_of_july();
    ProgramPlan program;
    program.day_names = std::string("Mon, Thu");
    program.day_names_of[kJulyIndex] = std::string("Mon, Thu");
    plan.site.programs = {program};
    EXPECT_TRUE(changed_program_sentences(plan).empty());
    plan.site.programs[0].day_names_of[9] = std::string("Sat");
    plan.site.programs[0].day_names_of[10] = std::string("Sat");
    const std::vector<Phrase> sentences = changed_program_sentences(plan);
    ASSERT_EQ(sentences.size(), 1U);
    EXPECT_EQ(english(sentences[0]), "Program 1 days in Oct and Nov: Sat.");
    EXPECT_EQ(rendered(sentences[0], {UnitSystem::metric, true, Language::spanish}),
              "Programa 1, días en octubre y noviembre: Sat.");
}

}  // namespace
}  // namespace thirstline
