#include "lookup/site/site_steps.hpp"

#include <gtest/gtest.h>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

SiteProfile profile_at_the_ford() {
    const auto database = test::open_merrow();
    return site_profile(database->answer({472'500'000, -305'000'000}).value(), database->layout());
}

TEST(SiteSteps, OfDaysKeepTheNormalsDailyRate) {
    const SiteProfile profile = profile_at_the_ford();
    const auto days = site_steps(profile, StepLength::day);
    ASSERT_EQ(days.size(), 365U);
    Monthly<double> eto_mm{};
    Monthly<double> rain_mm{};
    for (const SiteStep& day : days) {
        EXPECT_EQ(day.days, 1);
        EXPECT_GE(*day.eto_mm, 0.0);
        EXPECT_GE(*day.rain_mm, 0.0);
        eto_mm[static_cast<std::size_t>(day.month - 1)] += *day.eto_mm;
        rain_mm[static_cast<std::size_t>(day.month - 1)] += *day.rain_mm;
    }
    for (std::size_t m = 0; m < kMonths; ++m) {
        EXPECT_NEAR(eto_mm[m] / kWholeDaysInMonth[m], *profile.months[m].eto_mm_per_day, 1e-9);
        EXPECT_NEAR(rain_mm[m] / kWholeDaysInMonth[m], *profile.months[m].rain_mm / kDaysInMonth[m],
                    1e-9);
    }
    EXPECT_EQ(start_text(days.front()), "01-01");
    EXPECT_EQ(start_text(days[59]), "03-01");
    EXPECT_EQ(start_text(days.back()), "12-31");
}

TEST(SiteSteps, OfWeeksAreTheSumsOfTheirDays) {
    const SiteProfile profile = profile_at_the_ford();
    const auto days = site_steps(profile, StepLength::day);
    const auto weeks = site_steps(profile, StepLength::week);
    ASSERT_EQ(weeks.size(), 52U);
    EXPECT_EQ(weeks.back().days, 8);
    EXPECT_EQ(start_text(weeks.back()), "12-24");
    std::size_t day = 0;
    for (const SiteStep& week : weeks) {
        double eto_mm = 0.0;
        for (int i = 0; i < week.days; ++i) eto_mm += *days[day++].eto_mm;
        EXPECT_NEAR(*week.eto_mm, eto_mm, 1e-12);
    }
}

TEST(SiteSteps, AreUnknownWhereAMonthIs) {
    SiteProfile profile = profile_at_the_ford();
    profile.months[3].rain_mm.reset();
    const auto weeks = site_steps(profile, StepLength::week);
    EXPECT_TRUE(weeks.front().eto_mm);
    for (const SiteStep& week : weeks) EXPECT_FALSE(week.rain_mm);
}

TEST(SiteSteps, AreNoneForMonths) {
    EXPECT_TRUE(site_steps(profile_at_the_ford(), StepLength::month).empty());
    EXPECT_EQ(step_length_named("week"), StepLength::week);
    EXPECT_FALSE(step_length_named("hour"));
}

}  // namespace
}  // namespace thirstline
