// Records as a recipe names them: bad input is reported and never used, and a network whose truth
// is known gives that truth.
#include "builder/stations/record_table.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "builder/records/calendar_days.hpp"
#include "builder/stations/record_dates.hpp"
#include "tests/support/fusion_samples.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::example;
using test::rejected;
using test::SeededRandom;
using test::StationTables;

const std::string kRecordColumns =
    "columns = { name = \"name\", lat = \"lat\", lon = \"lon\", elevation = \"z\", date = "
    "\"date\", tmax = \"tmax\", rain = \"rain\" }\n"
    "units = { tmax = \"degC\", rain = \"mm\" }\n";
const std::string kRecordHeader = "name,lat,lon,z,date,tmax,rain\n";
const std::string kOstrey = "Ostrey,44.6,-37.8,300";

std::string record_row(const std::string& place, const std::string& date,
                       const std::string& values) {
    return place + "," + date + "," + values + "\n";
}

std::string iso_date(int year, int month, int day) {
    char text[48];
    std::snprintf(text, sizeof text, "%04d-%02d-%02d", year, month + 1, day);
    return text;
}

/// Every day of the years with the same values.
std::string equal_days(int first_year, int last_year, const std::string& values,
                       const std::string& place = kOstrey) {
    std::string rows;
    for (int year = first_year; year <= last_year; ++year)
        for (int month = 0; month < kMonths; ++month)
            for (int day = 1; day <= days_in_month(year, month); ++day)
                rows += record_row(place, iso_date(year, month, day), values);
    return rows;
}

/// The tables of one record of the years 2001 to 2012; of days, if `more` does not state a step.
struct RecordOf {
    explicit RecordOf(const std::string& rows, const std::string& more = "",
                      const std::string& columns = kRecordColumns,
                      const std::string& header = kRecordHeader) {
        const bool has_step = more.find("step") != std::string::npos;
        tables.add_file("record.csv", header + rows);
        tables.add_record({"Merrow record",
                           std::string("path = \"record.csv\"\n") +
                               (has_step ? "" : "step = \"day\"\n") + more + "\n" + columns,
                           "2001-2012"});
    }
    [[nodiscard]] StationSet stations() const { return tables.stations(); }
    [[nodiscard]] Error error() const { return tables.error(); }

    StationTables tables;
};

StationSet record_stations(const std::string& rows, const std::string& more = "") {
    return RecordOf(rows, more).stations();
}

TEST(RecordTables, GiveNormalsWithTheirYears) {
    const StationSet set = record_stations(equal_days(2001, 2012, "20.5,2.0"));
    const Station& ostrey = test::station(set, "Ostrey");
    const StationNormals& rain = *normals_of(ostrey, Variable::rain);
    EXPECT_DOUBLE_EQ(rain.values[0], 62.0);
    EXPECT_DOUBLE_EQ(rain.values[1], 2.0 * (9 * 28 + 3 * 29) / 12.0);
    EXPECT_DOUBLE_EQ(values_of(ostrey, Variable::tmax)[6], 20.5);
    EXPECT_EQ(rain.years, 12.0);
    EXPECT_EQ(rain.length, RecordLength::short_record);
    EXPECT_EQ(rejected(set), 0);
    EXPECT_EQ(set.records[0].months_used, 2 * 144);
}

TEST(RecordTables, ReportADayGivenTwice) {
    const std::string all = equal_days(2001, 2012, "20.0,2.0");
    const StationSet same = record_stations(all + record_row(kOstrey, "2012-12-03", "20.0,2.0"));
    EXPECT_EQ(rejected(same, "day given twice"), 2);
    EXPECT_DOUBLE_EQ(values_of(test::station(same, "Ostrey"), Variable::rain)[11], 62.0);

    const StationSet other = record_stations(all + record_row(kOstrey, "2012-12-03", "20.0,5.0"));
    const Suspect found = example(other, "day given with different values");
    EXPECT_EQ(found.action, "day not used");
    EXPECT_EQ(found.year, 2012);
    EXPECT_EQ(found.month, 12);
    const VariableFindings& rain = other.records[0].stations[0].variables[1];
    ASSERT_EQ(rain.voids.size(), 1U);
    EXPECT_EQ(rain.voids[0].months, (std::vector<YearAndMonth>{{2012, 11}}));
    EXPECT_EQ(rain.years[11], 11);
}

TEST(RecordTables, ListAYearWithoutRows) {
    const StationSet set =
        record_stations(equal_days(2001, 2006, "20.0,2.0") + equal_days(2008, 2012, "20.0,2.0"));
    const VariableFindings& tmax = set.records[0].stations[0].variables[0];
    ASSERT_EQ(tmax.voids.size(), 1U);
    EXPECT_EQ(tmax.voids[0].reason, VoidReason::no_data);
    EXPECT_EQ(tmax.voids[0].months.size(), 12U);
    EXPECT_EQ(tmax.voids[0].months[0], (YearAndMonth{2007, 0}));
    EXPECT_EQ(tmax.years[3], 11);
}

TEST(RecordTables, RejectDaysThatDoNotExist) {
    const StationSet set = record_stations(equal_days(2001, 2012, "20.0,2.0") +
                                           record_row(kOstrey, "2001-02-29", "20.0,2.0") +
                                           record_row(kOstrey, "2001-04-31", "20.0,2.0") +
                                           record_row(kOstrey, "2001-13-01", "20.0,2.0"));
    EXPECT_EQ(rejected(set, "no such day"), 3);
    EXPECT_EQ(example(set, "no such day").value, "2001-02-29");
    EXPECT_EQ(set.records[0].months_used, 2 * 144);
}

// A code of missing values that the recipe does not name must not become part of a sum.
TEST(RecordTables, NeverAddUpACodeOfMissingValues) {
    std::string rows = equal_days(2001, 2011, "20.0,2.0");
    for (int month = 0; month < kMonths; ++month)
        for (int day = 1; day <= days_in_month(2012, month); ++day)
            rows += record_row(kOstrey, iso_date(2012, month, day),
                               day == 7 ? "-9999,-9999" : "20.0,2.0");
    const StationSet set = record_stations(rows);
    EXPECT_EQ(rejected(set, "negative rain"), 12);
    EXPECT_EQ(rejected(set, "outside the plausible range"), 12);
    const RecordFindings& findings = set.records[0];
    EXPECT_EQ(findings.months_void[static_cast<std::size_t>(VoidReason::days_of_sum_missing)], 12);
    EXPECT_DOUBLE_EQ(values_of(test::station(set, "Ostrey"), Variable::rain)[0], 62.0);
    EXPECT_DOUBLE_EQ(values_of(test::station(set, "Ostrey"), Variable::tmax)[0], 20.0);
}

TEST(RecordTables, SplitAStationThatMoved) {
    const std::string moved = "Ostrey,44.78,-37.8,300";  // 20 km to the north
    const std::string near = "Ostrey,44.605,-37.8,310";  // half a kilometre: the same place
    const StationSet set = record_stations(equal_days(2001, 2003, "10.0,2.0") +
                                               equal_days(2004, 2005, "10.0,2.0", near) +
                                               equal_days(2006, 2012, "20.0,2.0", moved),
                                           "completeness = { min_years = 1 }");
    ASSERT_EQ(set.stations.size(), 2U);
    EXPECT_EQ(values_of(set.stations[0], Variable::tmax)[0], 10.0);
    EXPECT_EQ(values_of(set.stations[1], Variable::tmax)[0], 20.0);
    EXPECT_EQ(normals_of(set.stations[0], Variable::tmax)->years, 5.0);
    const Suspect found = example(set, "the station has moved, or its id is shared");
    EXPECT_EQ(found.value, "20.0 km");
    EXPECT_EQ(found.action, "used as another station");
}

TEST(RecordTables, RejectUnitsBesideNumbersAndYearsInAnotherUnit) {
    const StationSet beside =
        record_stations(equal_days(2001, 2012, "20.0,2.0") +
                        record_row("Lyde,44.9,-37.8,300", "2001-01-01", "68 F,2.0"));
    EXPECT_EQ(rejected(beside, "the text after the number is not the recipe's unit"), 1);

    // 9 degC as 48.2 degF is a possible temperature.
    const StationSet years =
        record_stations(equal_days(2001, 2010, "9.0,2.0") + equal_days(2011, 2012, "48.2,2.0"));
    const RecordFindings& findings = years.records[0];
    EXPECT_EQ(findings.months_void[static_cast<std::size_t>(VoidReason::far_from_other_years)], 24);
    EXPECT_DOUBLE_EQ(values_of(test::station(years, "Ostrey"), Variable::tmax)[0], 9.0);
}

TEST(RecordTables, RefuseHoursAndMonthsAsDays) {
    std::string hours;
    for (int day = 1; day <= 28; ++day)
        for (int hour = 0; hour < 24; ++hour)
            hours += record_row(kOstrey, iso_date(2001, 1, day), std::to_string(hour) + ".0,0.1");
    EXPECT_NE(RecordOf(hours).error().message.find("most values of tmax"), std::string::npos);

    std::string months;
    for (int year = 2001; year <= 2012; ++year)
        for (int month = 1; month <= 12; ++month)
            months += record_row(kOstrey, iso_date(year, month - 1, 1).substr(0, 7), "20.0,62.0");
    const Error error = RecordOf(months).error();
    EXPECT_EQ(error.message.substr(0, 10), "merrow.tom");
    EXPECT_NE(
        error.message.find("have no date of a day (the first is \"2001-01\" at record.csv:2)"),
        std::string::npos)
        << error.message;
    EXPECT_NE(error.hint.find("step = \"month\""), std::string::npos);
    const StationSet set = RecordOf(months, "step = \"month\"").stations();
    EXPECT_DOUBLE_EQ(values_of(test::station(set, "Ostrey"), Variable::rain)[0], 62.0);
    // Days as months: most repeat.
    EXPECT_NE(RecordOf(equal_days(2001, 2002, "20.0,2.0"), "step = \"month\"")
                  .error()
                  .message.find("most rows of"),
              std::string::npos);
}

TEST(RecordTables, SayWhatIsLackingIfNoNormalIsMade) {
    const Error few = RecordOf(equal_days(2001, 2003, "20.0,2.0")).error();
    EXPECT_NE(few.message.find("a normal needs 10 years of a calendar month"), std::string::npos)
        << few.message;
    const Error outside = RecordOf(equal_days(1991, 1992, "20.0,2.0")).error();
    EXPECT_NE(outside.message.find("no usable month from 2001 to 2012"), std::string::npos)
        << outside.message;
}

TEST(RecordTables, RejectFlaggedValues) {
    const std::string columns =
        "columns = { name = \"name\", lat = \"lat\", lon = \"lon\", elevation = \"z\", date = "
        "\"date\", tmax = \"tmax\", flag_tmax = \"flag\" }\nunits = { tmax = \"degC\" }\n";
    const std::string header = "name,lat,lon,z,date,tmax,flag\n";
    std::string rows = equal_days(2001, 2012, "20.0,");
    rows += record_row(kOstrey, "2001-01-01", "99.0,S");
    EXPECT_EQ(rejected(RecordOf(rows, "rejected_flags = [\"S\"]", columns, header).stations(),
                       "rejected by its flag"),
              1);
    EXPECT_EQ(rejected(RecordOf(rows, "accepted_flags = [\"\", \"E\"]", columns, header).stations(),
                       "rejected by its flag"),
              1);
    EXPECT_NE(RecordOf(rows, "", columns, header).error().message.find("column of flags"),
              std::string::npos);
}

TEST(RecordDates, AreReadInTheOrderOfTheRecipe) {
    using enum DateOrder;
    const auto day = [](const char* text, DateOrder order = year_month_day) {
        const auto found = date_of_text(text, RecordStep::days, order);
        return found ? *found : RecordDay{0, 0, 0};
    };
    const RecordDay third_of_may{2001, 4, 3};
    EXPECT_EQ(day("2001-05-03"), third_of_may);
    EXPECT_EQ(day("2001/5/3"), third_of_may);
    EXPECT_EQ(day("20010503"), third_of_may);
    EXPECT_EQ(day("2001-05-03T00:00:00Z"), third_of_may);
    EXPECT_EQ(day("5/3/2001", month_day_year), third_of_may);
    EXPECT_EQ(day("3.5.2001", day_month_year), third_of_may);
    for (const char* text : {"", "2001", "5/3/2001", "2001-05", "2001-05-03 13:00", "2001-05/03",
                             "01-05-03", "2001-05-03x", "99999999999999999999", "2001-02-29"})
        EXPECT_EQ(day(text), (RecordDay{0, 0, 0})) << text;
    const auto month = date_of_text("2001-05", RecordStep::months, year_month_day);
    ASSERT_TRUE(month);
    EXPECT_EQ(*month, (RecordDay{2001, 4, 1}));
    EXPECT_FALSE(date_of_text("2001-05-03", RecordStep::months, year_month_day));
}

// Thirty years of forty stations: a yearly wave of 8 to 22 degC, years that differ by 1 degC, days
// by 3 degC and correlated, 2 % of the days missing in gaps, and a move of 20 km and 2 degC of
// every fourth station. The error of a normal of n years is that of its years and days, about 1.3 /
// √n degC: 0.24 degC for thirty; of the mean over all stations and months it is 0.1 degC at most,
// because the years are common to all. Rain: 0.3 of the days wet, of 8 mm in the mean.
TEST(NormalsOfANetwork, AreUnbiasedWhereTheTruthIsKnown) {
    constexpr int kStations = 40;
    SeededRandom random(19);
    std::vector<double> year_c;
    for (int year = 0; year < 30; ++year) year_c.push_back(random.normal());
    double mean_year_c = 0.0;
    for (const double each : year_c) mean_year_c += each / 30.0;
    std::string rows;
    for (int s = 0; s < kStations; ++s) {
        double weather_c = 0.0;
        int gap = 0;
        for (int year = 1991; year <= 2020; ++year) {
            const bool has_moved = s % 4 == 0 && year >= 2006;
            char place[128];
            std::snprintf(place, sizeof place, "S%d,%.3f,%.3f,300", s,
                          44.0 + 0.05 * s + (has_moved ? 0.18 : 0.0), -38.5 + 0.03 * s);
            for (int month = 0; month < kMonths; ++month) {
                for (int day = 1; day <= days_in_month(year, month); ++day) {
                    weather_c = 0.7 * weather_c + 3.0 * std::sqrt(0.51) * random.normal();
                    if (gap > 0) --gap;
                    if (gap == 0 && random.uniform(0.0, 1.0) < 0.004)
                        gap = 1 + static_cast<int>(random.uniform(0.0, 8.0));
                    const double tmax = 15.0 - 7.0 * std::cos(month * 0.5236) +
                                        year_c[static_cast<std::size_t>(year - 1991)] + weather_c +
                                        (has_moved ? 2.0 : 0.0);
                    const double rain = random.uniform(0.0, 1.0) < 0.3
                                            ? -8.0 * std::log(random.uniform(1e-9, 1.0))
                                            : 0.0;
                    if (gap > 0) continue;
                    char values[96];
                    std::snprintf(values, sizeof values, "%.2f,%.2f", tmax, rain);
                    rows += record_row(place, iso_date(year, month, day), values);
                }
            }
        }
    }
    StationTables tables;
    tables.add_file("record.csv", kRecordHeader + rows);
    tables.add_record({"Merrow record",
                       "path = \"record.csv\"\nstep = \"day\"\nmax_missing = 2\n" + kRecordColumns,
                       "1991-2020"});
    const StationSet set = tables.stations();
    EXPECT_EQ(rejected(set, "the station has moved, or its id is shared"), 10);
    EXPECT_EQ(set.stations.size(), 50U);
    double bias_c = 0.0;
    double squares = 0.0;
    double rain_share = 0.0;
    int months = 0;
    int rainy = 0;
    for (const Station& station : set.stations) {
        const StationNormals& tmax = *normals_of(station, Variable::tmax);
        const bool is_whole = tmax.years >= 24;
        EXPECT_EQ(tmax.length,
                  is_whole ? RecordLength::standard_normal : RecordLength::short_record);
        for (std::size_t month = 0; month < kMonths && is_whole; ++month) {
            const double error = tmax.values[month] - mean_year_c - 15.0 +
                                 7.0 * std::cos(static_cast<double>(month) * 0.5236);
            bias_c += error;
            squares += error * error;
            ++months;
            const double rain = values_of(station, Variable::rain)[month];
            if (std::isnan(rain)) continue;
            rain_share += rain / (2.4 * kDaysInMonth[month]);
            ++rainy;
        }
    }
    ASSERT_GE(months, 300);
    EXPECT_NEAR(bias_c / months, 0.0, 0.03);
    EXPECT_LT(std::sqrt(squares / months), 0.35);
    EXPECT_NEAR(rain_share / rainy, 1.0, 0.02);
    EXPECT_GT(set.records[0].months_void[static_cast<std::size_t>(VoidReason::days_of_sum_missing)],
              100);
}

}  // namespace
}  // namespace thirstline
