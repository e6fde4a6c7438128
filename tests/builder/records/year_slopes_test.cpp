// Dry and wet years of a station: against years of a synthetic climate that were not used, and
// against sums over complete years calculated here.
#include "builder/records/year_slopes.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <limits>
#include <random>
#include <vector>

#include "tests/support/invented_years.hpp"

namespace thirstline {
namespace {

using test::InventedClimate;
using test::InventedYears;
using test::kInventedClimates;

constexpr double kUnknownMonth = std::numeric_limits<double>::quiet_NaN();
constexpr int kYearsOfRecord = 30;

struct InventedRecord {
    std::vector<double> eto_mm;
    std::vector<double> rain_mm;
};

/// Of each month, `gap_percent` of the years are unknown.
InventedRecord record_of(InventedYears& years, int gap_percent, unsigned seed) {
    std::mt19937 random(seed);
    InventedRecord record;
    for (int y = 0; y < kYearsOfRecord; ++y) {
        Monthly<double> eto{};
        Monthly<double> rain{};
        years.next(eto, rain);
        for (std::size_t m = 0; m < kMonths; ++m) {
            const bool is_gap = static_cast<int>(random() % 100) < gap_percent;
            record.eto_mm.push_back(eto[m]);
            record.rain_mm.push_back(is_gap ? kUnknownMonth : rain[m]);
        }
    }
    return record;
}

double planned_need_mm(const InventedRecord& record, const YearSlopes& slopes, double deviate) {
    Monthly<double> eto{};
    Monthly<double> rain{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        int years = 0;
        for (std::size_t i = m; i < record.rain_mm.size(); i += kMonths) {
            if (std::isnan(record.rain_mm[i])) continue;
            eto[m] += record.eto_mm[i];
            rain[m] += record.rain_mm[i];
            ++years;
        }
        const MonthFactors factors = month_factors(slopes, m, deviate);
        eto[m] *= factors.eto / years;
        rain[m] *= factors.rain / years;
    }
    return lawn_need_of_year_mm(eto, rain);
}

// The acceptance of the dry year: 18 to 22 % of the years that were not used exceed it; and what a
// plan by the normals hides. Prints one line a climate; tests/benchmarks/RESULTS.md has them.
TEST(YearSlopesOfRecords, GiveADryYearThatOneOtherYearInFiveExceeds) {
    constexpr int kStations = 100;
    constexpr int kOtherYears = 200;
    for (const int gap_percent : {0, 10}) {
        for (const InventedClimate& climate : kInventedClimates) {
            double above_mean[4]{};  // by 0, 10, 25, 50 %
            double above_dry[4]{};
            double above_wet = 0.0;
            for (unsigned station = 0; station < kStations; ++station) {
                InventedYears years(climate, 1000 + station);
                const InventedRecord record = record_of(years, gap_percent, station);
                const auto found = years_of_need(record.eto_mm, record.rain_mm, false, 10);
                ASSERT_TRUE(found);
                const double deviate = deviate_of_share(0.8);
                const double dry = planned_need_mm(record, found->slopes, deviate);
                const double wet = planned_need_mm(record, found->slopes, -deviate);
                for (int other = 0; other < kOtherYears; ++other) {
                    Monthly<double> eto{};
                    Monthly<double> rain{};
                    years.next(eto, rain);
                    const double need = lawn_need_of_year_mm(eto, rain);
                    constexpr double kMore[]{1.0, 1.1, 1.25, 1.5};
                    for (int i = 0; i < 4; ++i) {
                        above_mean[i] += need > kMore[i] * found->need_of_normals_mm;
                        above_dry[i] += need > kMore[i] * dry;
                    }
                    above_wet += need > wet;
                }
            }
            constexpr double kPercent = 100.0 / (kStations * kOtherYears);
            std::printf(
                "%-12s %2d%% gaps: need exceeds the plan by 0, 10, 25, 50%%: of the normals "
                "%.1f %.1f %.1f %.1f, of the dry year %.1f %.1f %.1f %.1f; wet year %.1f\n",
                climate.name, gap_percent, above_mean[0] * kPercent, above_mean[1] * kPercent,
                above_mean[2] * kPercent, above_mean[3] * kPercent, above_dry[0] * kPercent,
                above_dry[1] * kPercent, above_dry[2] * kPercent, above_dry[3] * kPercent,
                above_wet * kPercent);
            EXPECT_GT(above_dry[0] * kPercent, 18.0) << climate.name;
            EXPECT_LT(above_dry[0] * kPercent, 22.0) << climate.name;
            EXPECT_GT(above_wet * kPercent, 78.0) << climate.name;
            EXPECT_LT(above_wet * kPercent, 82.0) << climate.name;
            EXPECT_GT(above_mean[0], above_dry[0]);
        }
    }
}

/// A year of a warming climate: ETo rises and rain falls by 3 % a decade, about the middle of the
/// record.
double need_of_warming_year_mm(InventedYears& years, double year, Monthly<double>& eto,
                               Monthly<double>& rain) {
    const double decades = (year - (kYearsOfRecord - 1) / 2.0) / 10.0;
    years.next(eto, rain);
    for (std::size_t m = 0; m < kMonths; ++m) {
        eto[m] *= 1.0 + 0.03 * decades;
        rain[m] *= 1.0 - 0.03 * decades;
    }
    return lawn_need_of_year_mm(eto, rain);
}

// With a trend in the record the dry year is still that of the record's period, because the spread
// of the years includes the trend: 18 to 22 % of other years of the period exceed it. Later years
// do so more often, which is the trend's doing; the build report states it.
TEST(YearSlopesOfRecords, WithATrendAreThoseOfTheWholePeriod) {
    constexpr int kStations = 100;
    constexpr int kRounds = 7;
    for (const InventedClimate& climate : kInventedClimates) {
        double above_dry = 0.0;
        double above_in_last_decade = 0.0;
        double mean_error_mm = 0.0;
        double need_mm = 0.0;
        for (unsigned station = 0; station < kStations; ++station) {
            InventedYears years(climate, 5000 + station);
            InventedRecord record;
            double own_mean_mm = 0.0;
            for (int y = 0; y < kYearsOfRecord; ++y) {
                Monthly<double> eto{};
                Monthly<double> rain{};
                own_mean_mm += need_of_warming_year_mm(years, y, eto, rain) / kYearsOfRecord;
                record.eto_mm.insert(record.eto_mm.end(), eto.begin(), eto.end());
                record.rain_mm.insert(record.rain_mm.end(), rain.begin(), rain.end());
            }
            const auto found = years_of_need(record.eto_mm, record.rain_mm, false, 10);
            ASSERT_TRUE(found);
            const double dry_mm = planned_need_mm(record, found->slopes, deviate_of_share(0.8));
            for (int round = 0; round < kRounds; ++round) {
                for (int y = 0; y < kYearsOfRecord; ++y) {
                    Monthly<double> eto{};
                    Monthly<double> rain{};
                    const double need = need_of_warming_year_mm(years, y, eto, rain);
                    above_dry += need > dry_mm;
                    if (y >= kYearsOfRecord - 10) above_in_last_decade += need > dry_mm;
                    mean_error_mm +=
                        (found->mean_need_mm - need) / (kStations * kRounds * kYearsOfRecord);
                    need_mm += need / (kStations * kRounds * kYearsOfRecord);
                }
            }
            EXPECT_NEAR(found->mean_need_mm, own_mean_mm, 1e-6 * own_mean_mm);
        }
        const double percent = 100.0 / (kStations * kRounds * kYearsOfRecord);
        std::printf(
            "%-12s with a trend: %.1f%% of other years above the dry year, %.1f%% of those of "
            "the last decade; bias of the mean need %+.2f%%\n",
            climate.name, above_dry * percent, above_in_last_decade * percent * 3.0,
            100.0 * mean_error_mm / need_mm);
        EXPECT_GT(above_dry * percent, 18.0) << climate.name;
        EXPECT_LT(above_dry * percent, 22.0) << climate.name;
        EXPECT_GT(above_in_last_decade * 3.0, above_dry) << climate.name;
        // 100 stations of 30 years: the standard error of the bias is about 0.5 %.
        EXPECT_LT(std::abs(mean_error_mm), 0.02 * need_mm) << climate.name;
    }
}

// Without rain the need is 0.8 ETo, so that everything is linear: the slopes are the covariances of
// the months with the year's ETo, calculated here from the years' sums, over its standard
// deviation.
TEST(YearSlopesOfRecords, AreThoseOfTheYearsSums) {
    InventedYears years(kInventedClimates[0], 5);
    InventedRecord record = record_of(years, 0, 0);
    record.rain_mm.assign(record.rain_mm.size(), 0.0);
    std::vector<double> sums(kYearsOfRecord, 0.0);
    double mean_sum = 0.0;
    Monthly<double> means{};
    for (std::size_t i = 0; i < record.eto_mm.size(); ++i) {
        sums[i / kMonths] += record.eto_mm[i];
        mean_sum += record.eto_mm[i] / kYearsOfRecord;
        means[i % kMonths] += record.eto_mm[i] / kYearsOfRecord;
    }
    double variance = 0.0;
    Monthly<double> covariances{};
    for (std::size_t y = 0; y < kYearsOfRecord; ++y) {
        variance += (sums[y] - mean_sum) * (sums[y] - mean_sum) / (kYearsOfRecord - 1);
        for (std::size_t m = 0; m < kMonths; ++m)
            covariances[m] += (record.eto_mm[y * kMonths + m] - means[m]) * (sums[y] - mean_sum) /
                              (kYearsOfRecord - 1);
    }
    const auto found = years_of_need(record.eto_mm, record.rain_mm, false, 10);
    ASSERT_TRUE(found);
    EXPECT_EQ(found->years, kYearsOfRecord);
    EXPECT_NEAR(found->standard_deviation_mm, 0.8 * std::sqrt(variance), 1e-9);
    EXPECT_NEAR(found->mean_need_mm, 0.8 * mean_sum, 1e-9);
    EXPECT_NEAR(found->slopes.deviate_of_normals, 0.0, 1e-6);
    // Thirty years: Student's quantile of 80 % with 29 degrees of freedom is 0.8542 (tables), and
    // the error of the mean adds √(1 + 1/30).
    const double growth = 0.8542 / 0.8416 * std::sqrt(1.0 + 1.0 / kYearsOfRecord);
    for (std::size_t m = 0; m < kMonths; ++m)
        EXPECT_NEAR(found->slopes.eto_share[m],
                    growth * covariances[m] / std::sqrt(variance) / means[m], 2e-5);
}

// A drought from November to February counts as one year in the south, and as two in the north.
TEST(YearSlopesOfRecords, KeepASeasonTogether) {
    InventedRecord record;
    for (int y = 0; y < kYearsOfRecord; ++y) {
        for (int m = 0; m < kMonths; ++m) {
            const int season = m >= 6 ? y + 1 : y;
            const bool is_summer = m >= 10 || m <= 1;
            record.eto_mm.push_back(is_summer ? (season % 2 == 0 ? 220.0 : 180.0) : 60.0);
            record.rain_mm.push_back(0.0);
        }
    }
    const auto south = years_of_need(record.eto_mm, record.rain_mm, true, 10);
    const auto north = years_of_need(record.eto_mm, record.rain_mm, false, 10);
    ASSERT_TRUE(south);
    // Of 29 years, 15 are 80 mm to one side, 14 to the other.
    EXPECT_NEAR(south->standard_deviation_mm, 0.8 * 80 * std::sqrt((29.0 - 1.0 / 29.0) / 28.0),
                1e-6);
    ASSERT_FALSE(north) << "two halves of opposite signs: the sum is the same each year";
}

TEST(YearSlopesOfRecords, NeedEnoughYearsOfEachMonth) {
    InventedYears years(kInventedClimates[1], 5);
    InventedRecord record = record_of(years, 0, 0);
    ASSERT_TRUE(years_of_need(record.eto_mm, record.rain_mm, false, 10));
    for (std::size_t y = 9; y < kYearsOfRecord; ++y)
        record.rain_mm[y * kMonths + 6] = kUnknownMonth;
    EXPECT_FALSE(years_of_need(record.eto_mm, record.rain_mm, false, 10));
    EXPECT_TRUE(years_of_need(record.eto_mm, record.rain_mm, false, 9));
    EXPECT_FALSE(years_of_need({}, {}, false, 10));
}

// Tables of the normal distribution.
TEST(YearsOfNeedOfTheLawn, HaveTheDeviatesOfTheNormalDistribution) {
    EXPECT_NEAR(deviate_of_share(0.8), 0.8416, 5e-5);
    EXPECT_NEAR(deviate_of_share(0.2), -0.8416, 5e-5);
    EXPECT_NEAR(deviate_of_share(0.95), 1.6449, 5e-5);
    EXPECT_NEAR(share_of_deviate(1.96), 0.975, 5e-5);
}

}  // namespace
}  // namespace thirstline
