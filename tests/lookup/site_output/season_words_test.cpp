#include "lookup/site_output/season_words.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

using Sentences = std::vector<std::string>;

MonthDay date(int month, int day) {
    return {month - 1, day};
}

SeasonEstimate temperate() {
    SeasonEstimate season;
    season.freezes[0] = {0.0, 100.0, false, date(5, 9), date(5, 24), date(10, 6), date(9, 23), 6.4};
    season.freezes[1] = {-2.0,        60.0,         false,        std::nullopt,
                         date(5, 11), date(10, 15), std::nullopt, 7.6};
    season.growing = {200, date(4, 12), date(10, 28), 4.2};
    return season;
}

TEST(SeasonWords, SayTheDatesAndTheirError) {
    EXPECT_EQ(
        season_sentences(temperate(), {}),
        (Sentences{"Last freeze in spring (0 °C or below): May 9 in the median year; May 24 "
                   "or later in one year in ten.",
                   "First freeze in fall (0 °C or below): Oct 6 in the median year; Sep 23 or "
                   "earlier in one year in ten.",
                   "Last freeze in spring (-2 °C or below): May 11 or later in one year in "
                   "ten; none in most years.",
                   "First freeze in fall (-2 °C or below): Oct 15 in the median year; in "
                   "midsummer in more than one year in ten.",
                   "Standard error of these dates: 8 days, more in frost hollows.",
                   "Growing season (mean temperature 5 °C or above): Apr 12 to Oct 28. "
                   "Standard error: 4 days."}));
    EXPECT_EQ(season_heading({}), "Season, estimated from monthly means");
}

TEST(SeasonWords, FollowUnitsCharactersAndLanguage) {
    EXPECT_EQ(
        season_sentences(temperate(), {UnitSystem::us, false})[2],
        "Last freeze in spring (28.4 F or below): May 11 or later in one year in ten; none in "
        "most years.");
    EXPECT_EQ(
        season_sentences(temperate(), {UnitSystem::metric, true, Language::spanish})[0],
        "Última helada de primavera (0 °C o menos): 9 de mayo en el año mediano; 24 de mayo o "
        "después en uno de cada 10 años.");
}

TEST(SeasonWords, SayWhereThereAreNoDates) {
    SeasonEstimate season;
    season.freezes[0].at_or_below_c = 0.0;
    season.freezes[0].in_midsummer = true;
    season.freezes[1].at_or_below_c = -2.0;
    EXPECT_EQ(season_sentences(season, {}),
              (Sentences{"Freeze (0 °C or below): also in midsummer in most years.",
                         "Freeze (-2 °C or below): in few years or none.",
                         "Growing season (mean temperature 5 °C or above): none."}));
    season.growing.days = kDaysOfYear;
    EXPECT_EQ(season_sentences(season, {}).back(),
              "Growing season (mean temperature 5 °C or above): all year.");
}

}  // namespace
}  // namespace thirstline
