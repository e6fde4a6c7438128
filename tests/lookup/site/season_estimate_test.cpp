#include "lookup/site/season_estimate.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "schema/files/csv_rows.hpp"
#include "tests/support/merrow_database.hpp"
#include "tests/support/open_climate.hpp"

namespace thirstline {
namespace {

int order_of(const MonthDay& date) {
    int day = date.day - 1;
    for (int month = 0; month < date.month_index; ++month)
        day += kWholeDaysInMonth[static_cast<std::size_t>(month)];
    return day;
}

/// Days by which the estimate is later than the date, "MM/DD".
int days_later(const std::optional<MonthDay>& estimate, const std::string& date) {
    const MonthDay published{std::stoi(date.substr(0, 2)) - 1, std::stoi(date.substr(3, 2))};
    return estimate ? order_of(*estimate) - order_of(published) : 999;
}

struct PublishedDates {
    const char* station;
    Monthly<double> tmin_c;
    double at_or_below_c;
    const char* last_median;
    const char* last_late;
    const char* first_median;
    const char* first_early;
    int median_tolerance_days;
    int one_in_ten_tolerance_days;
};

/// As published: NCEI annual/seasonal normals of 1991–2020 (USW00094765; 32 and 28 °F, which
/// whole degrees reach up to half a degree above); ECCC climate normals of 1981–2010.
constexpr Monthly<double> kLebanonC{-12.6, -11.7, -6.3, -0.1, 6.5,  11.3,
                                    14.3,  13.4,  9.2,  3.0,  -2.4, -7.7};
const PublishedDates kPublished[] = {
    {"Lebanon", kLebanonC, 0.28, "05/09", "05/24", "10/06", "09/23", 3, 3},
    {"Lebanon", kLebanonC, -1.94, "04/29", "05/11", "10/15", "10/03", 3, 3},
    {"Brandon",
     {-21.9, -19.0, -11.4, -2.6, 3.4, 9.3, 11.7, 10.4, 4.7, -2.2, -10.6, -19.0},
     0.0,
     "05/22",
     "06/07",
     "09/14",
     "08/29",
     4,
     8},
    {"Faro",
     {-24.6, -20.7, -15.0, -5.5, 1.2, 6.8, 8.9, 6.3, 1.3, -5.7, -18.5, -22.3},
     0.0,
     "05/29",
     "06/11",
     "08/25",
     "08/07",
     6,
     12},
};

TEST(SeasonEstimate, ComesNearPublishedProbabilities) {
    double squares = 0.0;
    for (const PublishedDates& published : kPublished) {
        const FreezeDates dates = freeze_dates(published.tmin_c, published.at_or_below_c);
        const int errors[] = {days_later(dates.last_median, published.last_median),
                              days_later(dates.first_median, published.first_median),
                              days_later(dates.last_late, published.last_late),
                              days_later(dates.first_early, published.first_early)};
        for (int i = 0; i < 4; ++i) {
            EXPECT_LE(std::abs(errors[i]),
                      i < 2 ? published.median_tolerance_days : published.one_in_ten_tolerance_days)
                << published.station << " " << published.at_or_below_c << " " << i;
            squares += errors[i] * errors[i];
        }
        EXPECT_EQ(std::lround(dates.percent_of_years), 100);
        EXPECT_GE(dates.error_days, 5.0);
        EXPECT_LE(dates.error_days, 15.0);
    }
    EXPECT_LT(std::sqrt(squares / 16.0), 5.0);
}

// --- Open data -----------------------------------------------------------------------------------

using Rows = std::vector<std::vector<std::string>>;

Rows rows_of(const std::string& path) {
    Rows rows;
    auto reader = CsvReader::open(path);
    EXPECT_TRUE(reader) << path;
    if (!reader) return rows;
    CsvRow row;
    while (reader->next(row).value()) {
        auto& fields = rows.emplace_back();
        for (std::size_t i = 0; i < row.size(); ++i) fields.emplace_back(row.field(i));
    }
    return rows;
}

std::string value_of(const Rows& rows, const std::string& column, std::size_t row = 1) {
    const auto at = std::find(rows[0].begin(), rows[0].end(), column);
    EXPECT_NE(at, rows[0].end()) << column;
    std::string value = rows[row][static_cast<std::size_t>(at - rows[0].begin())];
    value.erase(0, value.find_first_not_of(' '));
    return value;
}

double celsius(double fahrenheit) {
    return (fahrenheit - 32.0) / 1.8;
}

// NCEI's normals of 1991–2020 and its dates of probability, station USW00094765, as published.
TEST(SeasonEstimate, ComesNearTheDatesOfNcei) {
    const std::string data = test::open_data_folder({"ncei-normals-samples"});
    if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
    const std::string folder = data + "/ncei-normals-samples/tabular_";
    const Rows months = rows_of(folder + "monthly_1991-2020_USW00094765.csv");
    const Rows year = rows_of(folder + "annualseasonal_1991-2020_USW00094765.csv");
    ASSERT_EQ(months.size(), 13U);
    Monthly<double> tmin_c{};
    for (std::size_t m = 0; m < kMonths; ++m)
        tmin_c[m] = celsius(std::stod(value_of(months, "MLY-TMIN-NORMAL", m + 1)));
    for (const int degrees_f : {36, 32, 28, 24}) {
        const FreezeDates dates = freeze_dates(tmin_c, celsius(degrees_f + 0.5));
        const std::string end = "-T" + std::to_string(degrees_f) + "FP";
        const auto published = [&](const std::string& side, const char* percent) {
            return value_of(year, "ANN-TMIN-PRB" + side + end + percent);
        };
        EXPECT_NEAR(days_later(dates.last_median, published("LST", "50")), 0, 3) << degrees_f;
        EXPECT_NEAR(days_later(dates.last_late, published("LST", "10")), 0, 3) << degrees_f;
        EXPECT_NEAR(days_later(dates.first_median, published("FST", "50")), 0, 3) << degrees_f;
        EXPECT_NEAR(days_later(dates.first_early, published("FST", "10")), 0, 3) << degrees_f;
    }
}

// Freezes of one year at three stations, against the estimate from the means of its months: single
// years scatter about the median by 8 to 12 days in the published probabilities.
TEST(SeasonEstimate, SingleYearsScatterAboutTheMedian) {
    const std::string data = test::open_data_folder({"source-samples"});
    if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
    struct Sample {
        const char* file;
        std::size_t month, day, tmin;  ///< columns; without a column of days, a date is split
        bool is_fahrenheit;
    };
    constexpr Sample kSamples[] = {
        {"agrimet-daily/FALN_Agrimet_daily_raw_2015.csv", 1, 2, 3, true},
        {"eccc-monthly-daily-records/daily_51423_2014.csv", 6, 7, 11, false},
        {"coagmet-daily/et_coagmet.txt", 1, 1, 4, false},
    };
    double squares = 0.0;
    int count = 0;
    for (const Sample& sample : kSamples) {
        const Rows rows = rows_of(data + "/source-samples/" + sample.file);
        ASSERT_GT(rows.size(), 360U) << sample.file;
        Monthly<double> sum{};
        Monthly<int> days{};
        std::vector<int> freezes;
        for (std::size_t i = 1; i < rows.size(); ++i) {
            const auto& row = rows[i];
            if (row[sample.tmin].empty()) continue;
            const bool one_column = sample.month == sample.day;
            const int month = std::stoi(one_column ? row[1].substr(5, 2) : row[sample.month]);
            const int day = std::stoi(one_column ? row[1].substr(8, 2) : row[sample.day]);
            const double read = std::stod(row[sample.tmin]);
            const double tmin_c = sample.is_fahrenheit ? celsius(read) : read;
            const auto m = static_cast<std::size_t>(month - 1);
            sum[m] += tmin_c;
            ++days[m];
            if (tmin_c <= 0.0) freezes.push_back(order_of({month - 1, day}));
        }
        for (std::size_t m = 0; m < kMonths; ++m) sum[m] /= days[m];
        const FreezeDates dates = freeze_dates(sum, 0.0);
        constexpr int kMidsummer = 200;
        const auto first = std::upper_bound(freezes.begin(), freezes.end(), kMidsummer);
        ASSERT_TRUE(first != freezes.begin() && first != freezes.end()) << sample.file;
        ASSERT_TRUE(dates.last_median && dates.first_median) << sample.file;
        for (const int error : {order_of(*dates.last_median) - *(first - 1),
                                order_of(*dates.first_median) - *first}) {
            squares += error * error;
            ++count;
        }
    }
    EXPECT_LT(std::sqrt(squares / count), 12.0);
}

// --- Computed by hand ----------------------------------------------------------------------------

/// Monthly means of mean − swing·cos(2π(day − 15)/365), day 0 is 1 January.
Monthly<double> wave(double mean, double swing, double coldest_day = 15.0) {
    Monthly<double> means{};
    int day = 0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        for (int i = 0; i < kWholeDaysInMonth[m]; ++i, ++day)
            means[m] +=
                mean - swing * std::cos(2.0 * std::numbers::pi * (day - coldest_day) / kDaysOfYear);
        means[m] /= kWholeDaysInMonth[m];
    }
    return means;
}

// 10 − 15·cos = 5 where cos = 1/3: 70.53°, 71.5 days before and after the coldest day.
TEST(SeasonEstimate, GrowthEndsWhereTheMeanCrossesFiveDegrees) {
    const GrowingSeason north = growing_season(wave(10.0, 15.0));
    ASSERT_TRUE(north.start && north.end);
    EXPECT_NEAR(order_of(*north.start), 87, 1);
    EXPECT_NEAR(order_of(*north.end), 308, 1);
    EXPECT_EQ(north.days, order_of(*north.end) - order_of(*north.start) + 1);
    // The slope is 15·sin(70.53°)·2π/365 = 0.243 °C a day: 4.1 days for a degree.
    EXPECT_NEAR(*north.error_days, 4.1, 0.2);

    const GrowingSeason south = growing_season(wave(10.0, 15.0, 197.0));
    ASSERT_TRUE(south.start && south.end);
    EXPECT_NEAR(order_of(*south.start), 197 + 72, 1);
    EXPECT_NEAR(order_of(*south.end), 197 - 72, 1);
    EXPECT_NEAR(south.days, north.days, 1);

    EXPECT_EQ(growing_season(wave(25.0, 3.0)).days, kDaysOfYear);
    EXPECT_FALSE(growing_season(wave(25.0, 3.0)).start);
    EXPECT_EQ(growing_season(wave(-5.0, 8.0)).days, 0);
    EXPECT_FALSE(growing_season(wave(-5.0, 8.0)).end);
}

// 5 °C all year: a scatter of 1.7 °C, Φ(−5/1.7) = 0.001635, 0.68 of it on 365 days: 0.406 freezes.
TEST(SeasonEstimate, OfAFlatYear) {
    Monthly<double> tmin_c{};
    tmin_c.fill(5.0);
    const FreezeDates dates = freeze_dates(tmin_c, 0.0);
    EXPECT_NEAR(dates.percent_of_years, 33.4, 0.2);
    EXPECT_FALSE(dates.in_midsummer);
    EXPECT_FALSE(dates.last_median);
    EXPECT_FALSE(dates.first_median);
    EXPECT_TRUE(dates.last_late);
    EXPECT_TRUE(dates.first_early);
    EXPECT_EQ(dates.error_days, 91.0);
}

TEST(SeasonEstimate, OfTheSouthIsHalfAYearLater) {
    Monthly<double> south_c{};
    for (std::size_t m = 0; m < kMonths; ++m) south_c[m] = kLebanonC[(m + 6) % kMonths];
    const FreezeDates north = freeze_dates(kLebanonC, 0.0);
    const FreezeDates south = freeze_dates(south_c, 0.0);
    // Half a year from May is November: months before it have 184 days, those from July 181.
    EXPECT_NEAR(order_of(*south.last_median), order_of(*north.last_median) + 184, 3);
    EXPECT_NEAR(order_of(*south.last_late), order_of(*north.last_late) + 184, 3);
    EXPECT_NEAR(order_of(*south.first_median), order_of(*north.first_median) - 181, 3);
    EXPECT_NEAR(order_of(*south.first_early), order_of(*north.first_early) - 181, 3);
}

TEST(SeasonEstimate, HasNoDatesWithoutFreezesOrWithFreezesInMidsummer) {
    const FreezeDates tropics = freeze_dates(wave(23.0, 1.0), 0.0);
    EXPECT_LT(tropics.percent_of_years, 0.1);
    EXPECT_FALSE(tropics.in_midsummer);
    EXPECT_FALSE(tropics.error_days);

    const FreezeDates ice = freeze_dates(wave(-15.0, 14.0), -2.0);
    EXPECT_NEAR(ice.percent_of_years, 100.0, 1e-9);
    EXPECT_TRUE(ice.in_midsummer);
    EXPECT_FALSE(ice.error_days);

    // Banff, ECCC normals of 1991–2020: a last freeze on 19 June on average.
    const FreezeDates cold_summer =
        freeze_dates({-13.5, -12.6, -8.2, -3.5, 0.5, 4.4, 6.8, 5.8, 2.2, -2.4, -8.2, -13.4}, 0.0);
    EXPECT_NEAR(days_later(cold_summer.last_median, "06/19"), 0, 6);
    EXPECT_FALSE(cold_summer.last_late);
    EXPECT_FALSE(cold_summer.in_midsummer);
}

TEST(SeasonEstimate, NeedsTemperaturesOfAllMonths) {
    test::MerrowOptions options;
    options.temperature = false;
    const auto database = test::open_merrow(options);
    EXPECT_FALSE(season_estimate(
        site_profile(database->answer({472'500'000, -305'000'000}).value(), database->layout())));
    const auto with = test::open_merrow();
    SiteProfile profile =
        site_profile(with->answer({472'500'000, -305'000'000}).value(), with->layout());
    const auto season = season_estimate(profile);
    ASSERT_TRUE(season);
    EXPECT_TRUE(season->freezes[0].in_midsummer);  // Tmin is −3 °C in all months
    profile.months[11].tmin_c.reset();
    EXPECT_FALSE(season_estimate(profile));
}

}  // namespace
}  // namespace thirstline
