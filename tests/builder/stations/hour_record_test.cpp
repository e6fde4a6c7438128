// Records of hours as recipes name them: in local standard time and UTC, stamped at the start and
// the end; and what must not be used silently.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <functional>

#include "builder/records/hours_of_day.hpp"
#include "builder/stations/record_dates.hpp"
#include "tests/support/open_climate.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::example;
using test::rejected;
using test::StationTables;

constexpr double kHalfTurn = 3.14159265358979;

/// An hour of the network's truth, by local standard time of 3 hours behind UTC.
struct TrueHour {
    RecordDay day;
    int hour = 0;
};
using RowOf = std::function<std::string(const TrueHour&)>;

const std::string kHourHeader = "name,lat,lon,z,date,hour,t,td,u,rs,p\n";
const std::string kHourColumns =
    "columns = { name = \"name\", lat = \"lat\", lon = \"lon\", elevation = \"z\", date = "
    "\"date\", hour = \"hour\", tmean = \"t\", dew_point = \"td\", wind = \"u\", radiation = "
    "\"rs\", rain = \"p\" }\n"
    "units = { tmean = \"degC\", dew_point = \"degC\", wind = \"m/s\", radiation = \"W/m2\", rain "
    "= \"mm\" }\nheight_m = 2\n";
const std::string kLocal = "time = \"local\"\nutc_offset_hours = -3\nhour_stamp = \"start\"\n";

/// Noon of the sun is at 11.5 h at 37.8° W in this zone.
std::string values_of(const TrueHour& at) {
    const double warmth = std::cos((at.hour - 13) * kHalfTurn / 12.0);
    const double sun = std::max(0.0, std::cos((at.hour + 0.5 - 11.5) * kHalfTurn / 14.0));
    char text[96];
    std::snprintf(text, sizeof text, "%.3f,6.0,%.1f,%.1f,0.1", 15.0 + 8.0 * warmth + at.day.month,
                  2.0 + 0.5 * warmth, 700.0 * sun);
    return text;
}

std::string stamp(const RecordDay& day, int hour) {
    char text[64];
    std::snprintf(text, sizeof text, "%04d-%02d-%02d,%d", day.year, day.month + 1, day.day, hour);
    return text;
}

std::string row_at(const RecordDay& day, int hour, const std::string& values) {
    return "Ostrey,44.6,-37.8,300," + stamp(day, hour) + "," + values + "\n";
}

std::string local_row(const TrueHour& at) {
    return row_at(at.day, at.hour, values_of(at));
}

/// All of 2003 and 2004, and the days beside them.
std::string two_years(const RowOf& row) {
    std::string rows;
    const RecordDay end{2005, 0, 2};
    for (RecordDay day{2002, 11, 31}; !(day == end); day = days_later(day, 1))
        for (int hour = 0; hour < kHoursOfDay; ++hour) rows += row({day, hour});
    return rows;
}

struct HourRecord {
    explicit HourRecord(const std::string& rows, const std::string& times = kLocal,
                        const std::string& columns = kHourColumns,
                        const std::string& header = kHourHeader) {
        tables.add_file("hours.csv", header + rows);
        tables.add_record({"Merrow hours",
                           "path = \"hours.csv\"\nstep = \"hour\"\n" + times +
                               "completeness = { min_years = 1 }\n" + columns,
                           "2003-2004"});
    }
    StationTables tables;
};

const Monthly<double>& normal_of(const StationSet& set, Variable variable) {
    return normals_of(test::station(set, "Ostrey"), variable)->values;
}

void expect_truth(const StationSet& set) {
    for (int month = 0; month < kMonths; ++month) {
        const auto m = static_cast<std::size_t>(month);
        EXPECT_NEAR(normal_of(set, Variable::tmax)[m], 23.0 + month, 1e-9);
        EXPECT_NEAR(normal_of(set, Variable::tmin)[m], 7.0 + month, 1e-9);
        EXPECT_NEAR(normal_of(set, Variable::tmean)[m], 15.0 + month, 1e-3);
        EXPECT_NEAR(normal_of(set, Variable::vapour_pressure)[m], 0.935,
                    0.001);  // e°(6 °C), FAO-56
        EXPECT_NEAR(normal_of(set, Variable::wind)[m], 2.0, 0.01);
        const double days = (days_in_month(2003, month) + days_in_month(2004, month)) / 2.0;
        EXPECT_NEAR(normal_of(set, Variable::rain)[m], 2.4 * days, 1e-9);
    }
    // 700 W/m² at noon, a cosine over 14 hours: 700 · 2 · 14 / π / 24 W/m² over the day.
    EXPECT_NEAR(normal_of(set, Variable::radiation)[6], 700.0 * 28.0 / kHalfTurn / 24.0 * 0.0864,
                0.1);
}

TEST(HourRecords, InLocalTime) {
    const StationSet set = HourRecord(two_years(local_row)).tables.stations();
    EXPECT_EQ(rejected(set), 0);
    expect_truth(set);
    ASSERT_EQ(set.records.size(), 1U);
    EXPECT_EQ(set.records[0].step, RecordStep::hours);
    const StationFindings& ostrey = set.records[0].stations.at(0);
    EXPECT_GT(ostrey.daily_eto_mm_per_day, 3.0);
    EXPECT_NEAR(ostrey.daily_eto_mm_per_day / ostrey.monthly_eto_mm_per_day, 1.0, 0.08);
}

TEST(HourRecords, InUtcStampedAtTheEnd) {
    const std::string rows = two_years([](const TrueHour& at) {
        const int hours = at.hour + 3 + 1;
        return row_at(days_later(at.day, hours / 24), hours % 24, values_of(at));
    });
    for (const char* zone : {"utc_offset_hours = -3\n", ""}) {
        const StationSet set =
            HourRecord(rows, std::string("time = \"utc\"\nhour_stamp = \"end\"\n") + zone)
                .tables.stations();
        EXPECT_EQ(rejected(set), 0) << zone;
        expect_truth(set);
    }
}

TEST(HourRecords, HoursOfWritingAsOneText) {
    const std::string rows = two_years([](const TrueHour& at) {
        char text[64];
        std::snprintf(text, sizeof text, "%d/%d/%d %02d:00", at.day.month + 1, at.day.day,
                      at.day.year, at.hour);
        return "Ostrey,44.6,-37.8,300," + std::string(text) + "," + values_of(at) + "\n";
    });
    std::string columns = kHourColumns;
    columns.erase(columns.find("hour = \"hour\", "), 15);
    const HourRecord record(rows, kLocal + "date_order = \"month-day-year\"\n", columns,
                            "name,lat,lon,z,date,t,td,u,rs,p\n");
    expect_truth(record.tables.stations());
}

TEST(HourRecords, AnotherTimeZoneIsAnError) {
    const std::string rows = two_years(local_row);
    const Error seven =
        HourRecord(rows, "time = \"local\"\nutc_offset_hours = 4\nhour_stamp = \"start\"\n")
            .tables.error();
    EXPECT_NE(seven.message.find("by the hours of \"Ostrey\" in "), std::string::npos)
        << seven.message;
    EXPECT_NE(seven.message.find("it is brightest 7.0 hours before solar noon"), std::string::npos)
        << seven.message;
    EXPECT_NE(HourRecord(rows, "time = \"utc\"\nhour_stamp = \"start\"\n")
                  .tables.error()
                  .message.find("it is brightest 3.0 hours before solar noon"),
              std::string::npos);
    // Without radiation the temperature tells.
    std::string columns = kHourColumns;
    columns.erase(columns.find("radiation = \"rs\", "), 18);
    columns.erase(columns.find("radiation = \"W/m2\", "), 20);
    expect_truth(HourRecord(rows, kLocal, kHourColumns).tables.stations());
    const Error warm =
        HourRecord(rows, "time = \"local\"\nutc_offset_hours = 4\nhour_stamp = \"start\"\n",
                   columns)
            .tables.error();
    EXPECT_NE(warm.message.find("it is warmest "), std::string::npos) << warm.message;
}

TEST(HourRecords, TheOtherStampIsDoubted) {
    const StationSet set =
        HourRecord(two_years(local_row),
                   "time = \"local\"\nutc_offset_hours = -3\nhour_stamp = \"end\"\n")
            .tables.stations();
    const Suspect found = example(set, "hours are brightest off solar noon: is hour_stamp right?");
    EXPECT_TRUE(found.is_used);
    EXPECT_NE(found.value.find("hours before solar noon"), std::string::npos) << found.value;
}

TEST(HourRecords, DaylightSavingTimeIsAnError) {
    const Error error =
        HourRecord(two_years([](const TrueHour& at) {
            // Clocks go from 2 to 3 h on 30 March and from 3 to 2 h on 26 October 2003.
            const bool is_after_start = at.day.month > 2 ||
                                        (at.day.month == 2 && at.day.day >= 31) ||
                                        (at.day.month == 2 && at.day.day == 30 && at.hour >= 2);
            const bool is_before_end = at.day.month < 9 ||
                                       (at.day.month == 9 && at.day.day <= 25) ||
                                       (at.day.month == 9 && at.day.day == 26 && at.hour < 2);
            const int ahead = at.day.year == 2003 && is_after_start && is_before_end ? 1 : 0;
            const int hour = at.hour + ahead;
            return row_at(days_later(at.day, hour / 24), hour % 24, values_of(at));
        })).tables.error();
    EXPECT_NE(error.message.find(" follow daylight-saving time: an hour is missing on 2003-03-30, "
                                 "and one is there twice on 2003-10-26"),
              std::string::npos)
        << error.message;
    EXPECT_NE(error.hint.find("standard time or UTC"), std::string::npos);
}

TEST(HourRecords, BadRowsAreReportedAndNotUsed) {
    const RecordDay tenth{2003, 6, 10};
    std::string rows = two_years([&](const TrueHour& at) {
        if (at.day == tenth && at.hour == 14) return row_at(tenth, 14, "-9999,6.0,2.0,400,0.1");
        if (at.day == tenth && at.hour == 15)
            return local_row(at) + row_at(tenth, 15, "44.0,6.0,2.0,400,0.1");
        return local_row(at);
    });
    rows += row_at({2003, 1, 29}, 3, "1,1,1,1,1");
    rows += row_at({2003, 5, 1}, 25, "1,1,1,1,1");
    const StationSet set = HourRecord(rows).tables.stations();
    EXPECT_EQ(example(set, "outside the plausible range").action, "value not used");
    EXPECT_EQ(example(set, "hour given with different values").action, "hour not used");
    EXPECT_EQ(rejected(set, "no such day"), 1);
    EXPECT_EQ(rejected(set, "hour is not 0 to 24"), 1);
    // 22 hours of temperature are enough: the true maximum of that day is at 13 h.
    EXPECT_NEAR(normal_of(set, Variable::tmax)[6], 29.0, 1e-9);
    EXPECT_NEAR(normal_of(set, Variable::tmin)[6], 13.0, 1e-9);
}

TEST(HourRecords, HalfHoursAreAnError) {
    const Error error = HourRecord(two_years([](const TrueHour& at) {
                            return local_row(at) + local_row(at);
                        })).tables.error();
    EXPECT_NE(error.message.find("repeat a station and hour"), std::string::npos) << error.message;
    EXPECT_NE(error.hint.find("shorter than an hour"), std::string::npos) << error.hint;
}

TEST(HourRecords, TimesWithinAnHourAreNoEnds) {
    const std::string rows = two_years([](const TrueHour& at) {
        std::string row = local_row(at);
        const std::string plain = stamp(at.day, at.hour) + ",";
        return row.replace(row.find(plain), plain.size(), stamp(at.day, at.hour) + ":53,");
    });
    expect_truth(HourRecord(rows).tables.stations());
    const Error error =
        HourRecord(rows, "time = \"local\"\nutc_offset_hours = -3\nhour_stamp = \"end\"\n")
            .tables.error();
    EXPECT_NE(error.message.find("have no date of an hour"), std::string::npos) << error.message;
}

TEST(HourTexts, TimesOfDay) {
    for (const auto& [text, minute] :
         std::vector<std::pair<const char*, int>>{{"0", 0},
                                                  {"7", 420},
                                                  {"24", 1440},
                                                  {"0100", 60},
                                                  {"2400", 1440},
                                                  {"100", 60},
                                                  {"0010", 10},
                                                  {"13:00", 780},
                                                  {"13:30:00", 810},
                                                  {"13:00Z", 780},
                                                  {"13:00:00.000", 780},
                                                  {"14.0", 840}}) {
        const auto found = minute_of_text(text);
        ASSERT_TRUE(found) << text;
        EXPECT_EQ(*found, minute) << text;
    }
    for (const char* text : {"", "25", "2401", "1360", "13:60", "-1", "13:00+02:00", "1 PM", "x",
                             "13:", "10000", "24:01", "14.5"})
        EXPECT_FALSE(minute_of_text(text)) << text;
    const auto found = time_of_text("2004-02-29T24:00:00Z", DateOrder::year_month_day);
    ASSERT_TRUE(found);
    EXPECT_EQ(found->day, (RecordDay{2004, 1, 29}));
    EXPECT_EQ(found->minute, 1440);
    EXPECT_TRUE(time_of_text("20040229 1430", DateOrder::year_month_day));
    for (const char* text : {"2004-02-29", "2003-02-29 01:00", "2004-02-29T01:00+01:00"})
        EXPECT_FALSE(time_of_text(text, DateOrder::year_month_day)) << text;
}

// Two days of NREL TMY3 (Greensboro), as published: the extremes and means of their hours, counted
// apart with awk; e°(dew point) by FAO-56 eq. 11.
TEST(HourRecords, OfATypicalYearAsPublished) {
    const std::string data = test::open_data_folder({"source-samples"});
    if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
    StationTables tables;
    tables.add_record(
        {"TMY3",
         "path = \"" + data + "/source-samples/nrel-tmy3/723170TYA.head.CSV\"\nskip_rows = 1\n" +
             "step = \"hour\"\ntime = \"local\"\nutc_offset_hours = -5\nhour_stamp = \"end\"\n"
             "date_order = \"month-day-year\"\nmissing = [-9900]\n"
             "station = { name = \"Greensboro\", lat = 36.1, lon = -79.95, elevation_m = 273 }\n"
             "completeness = { min_years = 1, max_missing = 30, max_missing_in_a_row = 30 }\n"
             "columns = { date = \"Date (MM/DD/YYYY)\", hour = \"Time (HH:MM)\", tmean = "
             "\"Dry-bulb (C)\", dew_point = \"Dew-point (C)\", wind = \"Wspd (m/s)\", radiation = "
             "\"GHI (W/m^2)\" }\nunits = { tmean = \"degC\", dew_point = \"degC\", wind = \"m/s\", "
             "radiation = \"W/m2\" }\nheight_m = 10\n",
         "1976-2005"});
    const StationSet set = tables.stations();
    const auto january = [&set](Variable variable) {
        return normals_of(test::station(set, "Greensboro"), variable)->values[0];
    };
    EXPECT_NEAR(january(Variable::tmax), (11.7 + 5.0) / 2.0, 1e-9);
    EXPECT_NEAR(january(Variable::tmin), (5.0 + 0.0) / 2.0, 1e-9);
    EXPECT_NEAR(january(Variable::tmean), (8.94167 + 2.5625) / 2.0, 1e-5);
    EXPECT_NEAR(january(Variable::vapour_pressure), (1.02589 + 0.495781) / 2.0, 1e-5);
    EXPECT_NEAR(january(Variable::radiation), (48.25 + 75.5417) / 2.0 * 0.0864, 1e-5);
}

}  // namespace
}  // namespace thirstline
