// Months of many years: which bands are used, and the means that are made from them, compared with
// sums made here over the values that were written.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/grids/months_of_years.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

std::vector<BandTime> months_from(int year, int month, int count, bool at_starts = false) {
    std::vector<BandTime> times;
    for (int i = 0; i < count; ++i) {
        const int number = month_number(year, month) + i;
        times.push_back({number / 12, number % 12, at_starts});
    }
    return times;
}

std::string fault_of(const std::vector<BandTime>& times, YearRange years) {
    const auto found = months_of_years(times, years);
    EXPECT_FALSE(found);
    return found ? "" : found.error();
}

TEST(MonthsOfYears, BandsOfThePeriod) {
    const auto found = months_of_years(months_from(1989, 2, 400), {1991, 2020});
    ASSERT_TRUE(found) << found.error();
    ASSERT_EQ(found->bands.size(), 360U);
    EXPECT_EQ(found->bands.front(), 23);  // January 1991 is 22 months after March 1989
    EXPECT_EQ(found->bands.back(), 382);
    EXPECT_FALSE(found->at_ends);
}

TEST(MonthsOfYears, InAnyOrder) {
    std::vector<BandTime> times = months_from(1991, 0, 24);
    std::swap(times[0], times[17]);
    const auto found = months_of_years(times, {1991, 1992});
    ASSERT_TRUE(found);
    EXPECT_EQ(found->bands[0], 18);
    EXPECT_EQ(found->bands[17], 1);
}

TEST(MonthsOfYears, TimesAtTheEndsOfMonths) {
    const auto found = months_of_years(months_from(1991, 1, 24, true), {1991, 1992});
    ASSERT_TRUE(found);
    EXPECT_TRUE(found->at_ends);
    EXPECT_EQ(found->bands.front(), 1);
    EXPECT_EQ(found->bands.back(), 24);
    EXPECT_EQ(fault_of(months_from(1980, 1, 480, true), {1991, 1992}),
              "has its times at 0 h on the first of the months from February 1980 to January 2020, "
              "which may be the months' starts or their ends");
    EXPECT_EQ(fault_of(months_from(1991, 1, 24, false), {1991, 1992}),
              "has the months from February 1991 to January 1993, and the period 1991-1992 needs "
              "all from January 1991 to December 1992");
}

TEST(MonthsOfYears, Faults) {
    std::vector<BandTime> gaps = months_from(1991, 0, 360);
    gaps.erase(gaps.begin() + 100);
    EXPECT_EQ(fault_of(gaps, {1991, 2020}), "lacks May 1999 of the period 1991-2020");
    EXPECT_TRUE(months_of_years(gaps, {2000, 2020}));
    gaps.erase(gaps.begin() + 200, gaps.begin() + 212);
    EXPECT_EQ(fault_of(gaps, {1991, 2020}),
              "lacks May 1999, October 2007, November 2007 and 10 more of the period 1991-2020");
    std::vector<BandTime> twice = months_from(1991, 0, 24);
    twice.push_back({1992, 6, false});
    EXPECT_EQ(fault_of(twice, {1991, 1992}),
              "has 2 times in July 1992, and a grid of years needs one for each month");
    EXPECT_TRUE(months_of_years(twice, {1991, 1991}));
    EXPECT_EQ(fault_of(months_from(1995, 0, 300), {1991, 2020}),
              "has the months from January 1995 to December 2019, and the period 1991-2020 needs "
              "all from January 1991 to December 2020");
    std::vector<BandTime> undated = months_from(1991, 0, 24);
    undated[3].year.reset();
    EXPECT_EQ(fault_of(undated, {1991, 1992}), "has times without years");
}

TEST(MonthsOfYears, FilesOfOneYear) {
    EXPECT_EQ(trouble_with_year(months_from(1999, 0, 12), 1999), std::nullopt);
    EXPECT_EQ(trouble_with_year(months_from(1999, 1, 12, true), 1999), std::nullopt);
    EXPECT_EQ(trouble_with_year(months_from(1999, 0, 12), 1998), "has a time in January 1999");
    EXPECT_EQ(trouble_with_year(months_from(1999, 2, 12), 1999),
              "does not run from January to December: its first time is in March");
    EXPECT_EQ(trouble_with_month_of_year({1999, 4, false}, 1999, 4), std::nullopt);
    EXPECT_EQ(trouble_with_month_of_year({2000, 0, true}, 1999, 11), std::nullopt);
    EXPECT_EQ(trouble_with_month_of_year({1999, 5, false}, 1999, 4), "has its time in June 1999");
}

TEST(MonthsOfYears, Periods) {
    const auto years = year_range_of("1991-2020");
    ASSERT_TRUE(years);
    EXPECT_EQ(years->count(), 30);
    EXPECT_EQ(years->text(), "1991-2020");
    for (const char* text : {"", "1991", "1991-", "-2020", "2020-1991", "1991-2020 ", "1991/2020",
                             "1500-1600", "1700-1900", "normal"})
        EXPECT_FALSE(year_range_of(text)) << text;
    EXPECT_TRUE(year_range_of("1991-1991"));
}

// --- The means ---

constexpr int kYears = 10;
const RasterShape kYearShape = north_up(8.0, 48.0, 0.5, 16, 40);

/// Of each band, 0 is January of the first year; no two are equal.
double value_of_band(int column, int row, int band) {
    const int year = band / kMonths;
    return 12.0 + 8.0 * std::sin(0.5 * band) + 0.7 * std::cos(1.3 * year) + 0.1 * column -
           0.05 * row;
}

class MeansOfYears : public testing::Test {
  protected:
    /// 1995 to 2010, of which 1999 to 2008 are used.
    std::string write_all_years(const CellValues& values) {
        NetcdfTimes times{"days since 1995-01-01", {}};
        for (int month = 0; month < 16 * kMonths; ++month)
            times.values.push_back(15 + 30.43 * month);
        write_netcdf(folder_ / "years.nc", kYearShape, 16 * kMonths, {{"tmax", "degC", values}},
                     times);
        return folder_ / "years.nc";
    }

    static GridSpec spec_of_years(const std::string& path) {
        GridSpec spec = tmax_spec(path);
        spec.years = YearRange{1999, 1999 + kYears - 1};
        return spec;
    }

    static constexpr int kFirstBand = 4 * kMonths;  // January 1999

    TempFolder folder_;
};

TEST_F(MeansOfYears, AreThePlainMeans) {
    const auto grid = opened(spec_of_years(write_all_years(value_of_band)));
    EXPECT_TRUE(grid->warnings().empty()) << grid->warnings().front();
    EXPECT_EQ(grid->files(), std::vector<std::string>{folder_ / "years.nc"});
    for (int row = 0; row < kYearShape.rows; row += 3) {
        for (int column = 0; column < kYearShape.columns; column += 5) {
            const GridSample sample = sample_at(*grid, grid->cell_centre(row, column));
            for (int month = 0; month < kMonths; ++month) {
                double sum = 0.0;
                for (int year = 0; year < kYears; ++year)
                    sum += value_of_band(column, row, kFirstBand + year * kMonths + month);
                EXPECT_NEAR(sample.values[static_cast<std::size_t>(month)], sum / kYears, 2e-6)
                    << row << " " << column << " " << month;
            }
        }
    }
}

TEST_F(MeansOfYears, NeedAValueInFourYearsOfFive) {
    // In the cell at column 3, July lacks two years; in that at column 4, three.
    const auto grid = opened(spec_of_years(write_all_years([](int column, int row, int band) {
        const int year = band / kMonths - 4;
        const bool is_july = band % kMonths == 6;
        const bool is_missing = row == 5 && is_july && year >= 0 &&
                                ((column == 3 && year < 2) || (column == 4 && year < 3));
        return is_missing ? std::nan("") : 10.0 + year;
    })));
    const auto july_at = [&](int column) {
        return sample_at(*grid, grid->cell_centre(5, column)).values[6];
    };
    EXPECT_FLOAT_EQ(july_at(2), 14.5F);
    EXPECT_FLOAT_EQ(july_at(3), 15.5F);
    EXPECT_TRUE(std::isnan(july_at(4)));
    EXPECT_FLOAT_EQ(sample_at(*grid, grid->cell_centre(5, 4)).values[7], 14.5F);
    ASSERT_EQ(grid->warnings().size(), 1U);
    EXPECT_EQ(grid->warnings().front(),
              "recipe.toml:12: grid \"Merrow valley\": 1 months of cells are left out, since they "
              "have values in fewer than 8 of the 10 years");
}

TEST_F(MeansOfYears, AnImplausibleValueOfOneYearIsRejected) {
    const auto grid = opened(spec_of_years(write_all_years([](int column, int row, int band) {
        return column == 3 && row == 5 && band == kFirstBand + 6 * kMonths + 2 ? -8888.0 : 10.0;
    })));
    const Placement placement =
        grid->place(std::vector<LatLon>{grid->cell_centre(5, 3), grid->cell_centre(5, 8)});
    const Result<GridWindow> window = grid->read(placement);
    ASSERT_TRUE(window);
    ASSERT_EQ(window->rejections().listed.size(), 1U);
    const RejectedCell& cell = window->rejections().listed.front();
    EXPECT_EQ(cell.column, 3);
    EXPECT_EQ(cell.row, 5);
    EXPECT_EQ(cell.month, 2);
    EXPECT_FLOAT_EQ(cell.value, -8888.0F);
    EXPECT_TRUE(std::isnan(window->sample(placement, 0, 0).values[2]));
    EXPECT_FLOAT_EQ(window->sample(placement, 0, 1).values[2], 10.0F);
}

TEST_F(MeansOfYears, FilesOfYearsWithScalesOfTheirOwn) {
    for (int year = 0; year < kYears; ++year) {
        RasterOptions packed;
        packed.type = GDT_Int16;
        packed.scale = year % 2 == 0 ? 0.01 : 0.02;
        packed.offset = year;
        packed.missing_mark = -32768;
        write_raster(
            folder_.numbered("y", 1999 + year, ".tif"), kYearShape, kMonths,
            [year](int column, int /*row*/, int month) {
                return column == 7 ? std::nan("") : 10.0 + year + 0.5 * month;
            },
            packed);
    }
    const auto grid = opened(spec_of_years(folder_ / "y{year}.tif"));
    EXPECT_EQ(grid->files().size(), static_cast<std::size_t>(kYears));
    EXPECT_TRUE(grid->is_scale_of_file());
    const GridSample sample = sample_at(*grid, grid->cell_centre(20, 3));
    for (int month = 0; month < kMonths; ++month)
        EXPECT_NEAR(sample.values[static_cast<std::size_t>(month)], 14.5 + 0.5 * month, 1e-5);
    EXPECT_TRUE(std::isnan(sample_at(*grid, grid->cell_centre(20, 7)).values[0]));
}

TEST_F(MeansOfYears, AFileForEachMonth) {
    for (int year = 0; year < kYears; ++year) {
        for (int month = 1; month <= kMonths; ++month) {
            std::string stem = "m" + std::to_string(1999 + year);
            stem += month < 10 ? "0" : "";
            write_raster(folder_.numbered(stem, month, ".tif"), kYearShape, 1,
                         [year, month](int column, int row, int /*band*/) {
                             return value_of_band(column, row, year * kMonths + month - 1);
                         });
        }
    }
    const auto grid = opened(spec_of_years(folder_ / "m{year}{month:02}.tif"));
    EXPECT_EQ(grid->files().size(), static_cast<std::size_t>(kYears * kMonths));
    const GridSample sample = sample_at(*grid, grid->cell_centre(11, 6));
    for (int month = 0; month < kMonths; ++month) {
        double sum = 0.0;
        for (int year = 0; year < kYears; ++year)
            sum += value_of_band(6, 11, year * kMonths + month);
        EXPECT_NEAR(sample.values[static_cast<std::size_t>(month)], sum / kYears, 2e-6);
    }
}

TEST_F(MeansOfYears, Errors) {
    testing::internal::CaptureStderr();
    const auto message_of = [](const GridSpec& spec) {
        const std::string message = open_error(spec).message;
        EXPECT_EQ(message.find("recipe.toml:12: grid \"Merrow valley\": "), 0U) << message;
        EXPECT_EQ(message.find('\n'), std::string::npos) << message;
        return message;
    };
    const auto expect = [&](const GridSpec& spec, const std::string& end) {
        const std::string message = message_of(spec);
        EXPECT_NE(message.find(end), std::string::npos) << message;
    };
    const std::string years = write_all_years(value_of_band);
    expect(tmax_spec(years), "has more than 12 bands, and a monthly grid needs 12");
    GridSpec beyond = tmax_spec(years);
    beyond.years = YearRange{1991, 2020};
    expect(beyond,
           "has the months from January 1995 to December 2010, and the period 1991-2020 "
           "needs all from January 1991 to December 2020");

    const CellValues values = [](int, int, int) { return 10.0; };
    write_raster(folder_ / "undated.tif", kYearShape, 120, values);
    expect(spec_of_years(folder_ / "undated.tif"), "months of several years need dates");

    GridSpec files = spec_of_years(folder_ / "y{year}.tif");
    expect(files, "of the period 1999-2008, 10 of 10 files are not there: ");
    for (int year = 1999; year < 2009; ++year)
        write_raster(folder_.numbered("y", year, ".tif"), kYearShape, year == 2003 ? 11 : 12,
                     values);
    expect(files, "y2003.tif has 11 bands, and a monthly grid needs 12");
    write_raster(folder_.numbered("y", 2003, ".tif"), north_up(8.5, 48.0, 0.5, 16, 40), 12, values);
    expect(files, "y2003.tif has other cells than ");
    VSIUnlink((folder_ / "y2003.tif").c_str());
    expect(files, "of the period 1999-2008, 1 of 10 files are not there: ");
    EXPECT_EQ(static_cast<int>(open_error(files).code), static_cast<int>(ErrorCode::io));

    for (int year = 1999; year < 2009; ++year) {
        NetcdfTimes times{"days since " + std::to_string(year == 2005 ? 2004 : year) + "-01-01",
                          {}};
        for (int month = 0; month < kMonths; ++month) times.values.push_back(15 + 30.43 * month);
        write_netcdf(folder_.numbered("n", year, ".nc"), kYearShape, 12, {{"tmax", "degC", values}},
                     times);
    }
    expect(spec_of_years(folder_ / "n{year}.nc"), "n2005.nc has a time in January 2004");
    EXPECT_EQ(testing::internal::GetCapturedStderr(), "") << "a library spoke to the user";
}

}  // namespace
}  // namespace thirstline
