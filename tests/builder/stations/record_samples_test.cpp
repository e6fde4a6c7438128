// Samples of published records: tables of years, days or hours that somebody may take for normals.
// Each is named in the recipe that its columns suggest, and the builder must say what it is and
// what to do.
#include <gtest/gtest.h>

#include <algorithm>

#include "builder/stations/record_signs.hpp"
#include "schema/base/words.hpp"
#include "tests/support/open_climate.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::StationTables;

TEST(StatedTimes, AreReadAsTheyAreWritten) {
    using enum TimeStep;
    const std::vector<std::pair<const char*, StatedTime>> cases{
        {"2021-06", {months, true}},
        {"202106", {months, true}},
        {"2021/6", {months, true}},
        {"2021-06-01", {days, true}},
        {"2021/6/1", {days, true}},
        {"20210601", {days, true}},
        {"6/1/2021", {days, true}},
        {"31.12.2021", {days, true}},
        {"01-01", {days, false}},
        {"2021-06-01T00:00", {hours, true}},
        {"2021-06-01 13:00:00", {hours, true}},
        {"2021060113", {hours, true}},
        {"202106011300", {hours, true}},
        {"01-01T00:00:00", {hours, false}},
    };
    for (const auto& [text, time] : cases) {
        EXPECT_EQ(stated_time(text).step, time.step) << text;
        EXPECT_EQ(stated_time(text).has_year, time.has_year) << text;
    }
    for (const char* text :
         {"", "1", "12", "99", "2021", "1013.2", "12.5", "-9999", "1:30", "13:00", "Jan", "202113",
          "20210632", "99999999", "99999999999999999999", "2021-", "1991-2020", "44.12.3",
          "1/2/3/4/5/6/7/8/9"})
        EXPECT_EQ(stated_time(text), StatedTime{}) << text;
}

class RecordSamples : public testing::Test {
  protected:
    void SetUp() override {
        const std::string data = test::open_data_folder({"source-samples"});
        if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
        samples_ = data + "/source-samples/";
    }

    /// A [[stations]] table over the sample. A second table places the station `id`, if one is
    /// given.
    static Error refusal(const std::string& path, const std::string& lines,
                         const std::string& columns, const std::string& units,
                         const std::string& layout = "long") {
        StationTables tables;
        tables.add_file("places.csv", "id,lat,lon,z\n" + kIds);
        tables.add_source({"Record", "path = \"" + path + "\"\nlayout = \"" + layout + "\"\n" +
                                         lines + "columns = { " + columns + " }\n" + units});
        return tables.error();
    }

    static void expect_record(const Error& error, const std::string& what) {
        EXPECT_EQ(static_cast<int>(error.code), static_cast<int>(ErrorCode::bad_input));
        EXPECT_TRUE(error.message.starts_with("merrow.toml:")) << error.message;
        EXPECT_NE((error.message + "\n" + error.hint).find(what), std::string::npos)
            << error.message << "\n"
            << error.hint;
        const bool says_what_to_do =
            error.hint.find("name it in a [[records]] table") != std::string::npos ||
            error.hint.find("calculate its normals first") != std::string::npos;
        EXPECT_TRUE(says_what_to_do) << error.hint;
    }

    /// All station ids of samples that have no positions.
    static inline const std::string kIds =
        "6,38.5,-121.8,18\nhyk02,40.65,-102.4,1140\n260,52.1,5.18,2\n8137,-30.9,116.7,283\n"
        "USC00244364,48.0,-114.0,900\nUSC00011084,31.0,-87.0,26\nBB000078954,13.1,-59.5,50\n"
        "ACW00011604,57.8,11.9,18\n62,25.8,-80.3,2\n2021,-27.85,150.05,254\n";
    static std::string places(const std::string& key) {
        return "positions = { path = \"places.csv\", key = { \"" + key +
               "\" = \"id\" }, lat = \"lat\", lon = \"lon\", elevation = \"z\" }\n";
    }

    std::string samples_;
};

const std::string kCelsius = "units = { tmax = \"degC\" }\n";
const std::string kFahrenheit = "units = { tmax = \"degF\" }\n";

TEST_F(RecordSamples, OfMonths) {
    expect_record(
        refusal(samples_ + "eccc-monthly-daily-records/monthly_5401.csv", "",
                "name = \"Station Name\", lat = \"Latitude (y)\", lon = \"Longitude (x)\", "
                "month = \"Month\", tmax = \"Mean Max Temp (°C)\"",
                kCelsius),
        "monthly_5401.csv is a record of months of single years, not a table of normals "
        "(\"Date/Time\" is 1948-01): most values of tmax repeat a station and month");
}

// Lines of fixed width, each of another station: they could be normals but for the year in them.
// With a second year, they are known to be a record.
TEST_F(RecordSamples, OfYears) {
    const std::string sample = samples_ + "ghcn-daily-monthly/dly_and_ghcnm_v4.lines.txt";
    std::string lines =
        "variable = \"tmean\"\nunit = \"degC\"\nscale = 0.01\nmissing = [-9999]\n"
        "where = { element = \"TAVG\" }\nfixed_width = { station = \"1-11\", year = "
        "\"12-15\", element = \"16-19\"";
    std::string columns = "station = \"station\"";
    for (int month = 0; month < 12; ++month) {
        const std::string name = "m" + std::to_string(month + 1);
        lines += ", " + name + " = \"" + std::to_string(20 + 8 * month) + "-" +
                 std::to_string(24 + 8 * month) + "\"";
        columns += ", " + ascii_lower(kMonthAbbreviations[static_cast<std::size_t>(month)]) +
                   " = \"" + name + "\"";
    }
    lines += " }\n" + places("station");
    StationTables tables;
    tables.add_file("places.csv", "id,lat,lon,z\n" + kIds);
    tables.add_source({"Record", "path = \"" + sample + "\"\nlayout = \"wide\"\n" + lines +
                                     "columns = { " + columns + " }\n"});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 2U);
    const Suspect single = test::example(set, "a single year is stated, as in a record");
    EXPECT_EQ(single.value, "1943");
    EXPECT_EQ(single.action, "used");
    // Its October, 2642 hundredths.
    EXPECT_NEAR(values_of(test::station(set, "BB000078954"), Variable::tmean)[9], 26.42, 1e-9);

    std::string more = test::content_of(sample);
    std::string next = more.substr(more.find("ACW00011604"));
    next.replace(11, 4, "1994");
    for (auto at = next.find("7  "); at != std::string::npos; at = next.find("7  ", at + 1))
        next[at] = '8';
    StationTables two;
    two.add_file("places.csv", "id,lat,lon,z\n" + kIds);
    const std::string path = two.add_file("ghcnm.dat", more + "\n" + next);
    two.add_source({"Record", "path = \"" + path + "\"\nlayout = \"wide\"\n" + lines +
                                  "columns = { " + columns + " }\n"});
    expect_record(two.error(),
                  "is a record of years, not a table of normals (\"year\" is 1943): most "
                  "values of tmean repeat a station and month");
}

TEST_F(RecordSamples, OfDays) {
    expect_record(
        refusal(samples_ + "agrimet-daily/FALN_Agrimet_daily_raw_2015.csv", "",
                "lat = \"LAT\", lon = \"LON\", month = \"MONTH\", tmax = \"MX\"", kFahrenheit),
        "has no column \"LAT\"\nit looks like a record of days, not a "
        "table of normals (\"YEAR\" is 2015 and \"DAY\" is 01)");
    expect_record(
        refusal(samples_ + "coagmet-daily/et_coagmet.txt", places("name"),
                "station = \"name\", month = \"date\", tmax = \"tmax\"", kCelsius),
        "et_coagmet.txt is a record of days, not a table of normals (\"date\" is 2020-01-01)");
    expect_record(
        refusal(samples_ + "eccc-monthly-daily-records/daily_51423_2014.csv", "",
                "name = \"Station Name\", lat = \"Latitude (y)\", lon = \"Longitude (x)\", "
                "month = \"Month\", tmax = \"Max Temp (°C)\"",
                kCelsius),
        "is a record of days, not a table of normals (\"Date/Time\" is 2014-01-01)");
    expect_record(
        refusal(samples_ + "gsod/gsod.head.csv", "",
                "station = \"STATION\", name = \"NAME\", lat = \"LATITUDE\", lon = "
                "\"LONGITUDE\", month = \"DATE\", tmax = \"MAX\"",
                kFahrenheit),
        "gsod.head.csv is a record of days, not a table of normals (\"DATE\" is 2025-01-01)");
    expect_record(refusal(samples_ + "ghcn-daily-monthly/by_year_1763-1764.head.csv",
                          "where = { ELEMENT = \"TMAX\" }\nscale = { tmax = 0.1 }\n",
                          "station = \"ID\", lat = \"LATITUDE\", lon = \"LONGITUDE\", month = "
                          "\"YEAR/MONTH/DAY\", tmax = \"DATA VALUE\"",
                          kCelsius),
                  "is a record of days, not a table of normals (\"YEAR/MONTH/DAY\" is 17630101)");
    expect_record(refusal(samples_ + "knmi-daily/etmgeg_260.head.txt",
                          "header = \"# STN\"\nscale = { tmax = 0.1 }\n" + places("# STN"),
                          "station = \"# STN\", month = \"YYYYMMDD\", tmax = \"TX\"", kCelsius),
                  "is a record of days, not a table of normals (\"YYYYMMDD\" is 19800101)");
    expect_record(
        refusal(samples_ + "silo-australia/silo_get_data_drill_all_daily_values_0.csv", "",
                "lat = \"latitude\", lon = \"longitude\", name = \"latitude\", month = "
                "\"YYYY-MM-DD\", tmax = \"max_temp\"",
                kCelsius),
        "is a record of days, not a table of normals (\"YYYY-MM-DD\" is 2021-06-01)");
    expect_record(
        refusal(samples_ + "silo-australia/silo_get_patched_point_daily_values_0.csv",
                places("station"),
                "station = \"station\", month = \"YYYY-MM-DD\", tmax = \"max_temp\"", kCelsius),
        "is a record of days, not a table of normals (\"YYYY-MM-DD\" is 2021-06-01)");
    expect_record(
        refusal(samples_ + "smn-conagua-mexico/dia01001.head.txt",
                "header = \"FECHA\"\nseparator = \"\\t\"\n",
                "lat = \"LATITUD\", lon = \"LONGITUD\", month = \"FECHA\", tmax = \"TMAX\"",
                kCelsius),
        "has no column \"LATITUD\"\nit looks like a record of days, not a table of normals "
        "(\"FECHA\" is 1878-01-01)");
}

// A day of the year passes for a month until the thirteenth, and columns of a fixed width have the
// names that the recipe gives them.
TEST_F(RecordSamples, OfDaysOfTheYear) {
    for (const auto& [file, header, lat] :
         {std::tuple{"daymet/single_pixel_demo.head.csv", "year,yday", "Latitude"},
          std::tuple{"nasa-power/daily_ag_point.csv", "YEAR,DOY", "LAT"},
          std::tuple{"nasa-power/adjusted_wind_elevation.csv", "YEAR,DOY", "LAT"}}) {
        const std::string day = std::string(header).substr(5);
        expect_record(refusal(samples_ + file, "header = \"" + std::string(header) + "\"\n",
                              "lat = \"" + std::string(lat) + "\", lon = \"LON\", month = \"" +
                                  day + "\", tmax = \"T2M_MAX\"",
                              kCelsius),
                      "it looks like a record of days, not a table of normals (\"" +
                          std::string(header).substr(0, 4) + "\" is ");
    }
    const std::string apsim = samples_ + "silo-australia/silo_get_data_drill_apsim_0.csv";
    EXPECT_NE(refusal(apsim, "header = \"year\"\n",
                      "lat = \"latitude\", lon = \"longitude\", month = \"day\", tmax = \"maxt\"",
                      kCelsius)
                  .hint.find("give the place of each with fixed_width"),
              std::string::npos);
    expect_record(
        refusal(apsim,
                "skip_rows = 21\nfixed_width = { year = \"1-4\", day = \"5-8\", maxt = "
                "\"16-21\" }\n" +
                    places("year"),
                "month = \"day\", tmax = \"maxt\"", kCelsius),
        "is a record of days, not a table of normals (\"year\" is 2021 and \"day\" is 1)");
}

TEST_F(RecordSamples, OfHours) {
    expect_record(
        refusal(samples_ + "cimis/cimis_hourly_metric.head.csv", places("Stn Id"),
                "station = \"Stn Id\", month = \"Date\", tmax = \"Air Temp (C)\"", kCelsius),
        "is a record of hours, not a table of normals (\"Date\" is 7/13/2023 and \"Hour\" is "
        "0100)");
    for (const char* file : {"nrel-tmy3/723170TYA.head.CSV", "nrel-tmy3/703165TY.head.csv"}) {
        expect_record(
            refusal(samples_ + file, "header = \"Date\"\n",
                    "lat = \"Latitude\", lon = \"Longitude\", month = \"Date (MM/DD/YYYY)\", "
                    "tmax = \"Dry-bulb (C)\"",
                    kCelsius),
            "it looks like a record of hours, not a table of normals (\"Date (MM/DD/YYYY)\" "
            "is 01/01/19");
    }
    for (const char* file :
         {"nsrdb-psm/test_read_psm3.head.csv", "nsrdb-psm/test_read_psm4.head.csv"}) {
        expect_record(refusal(samples_ + file, "header = \"Year,Month\"\n",
                              "lat = \"Latitude\", lon = \"Longitude\", month = \"Month\", tmax = "
                              "\"Temperature\"",
                              kCelsius),
                      "it looks like a record of hours, not a table of normals (\"Year\" is 20");
    }
    expect_record(refusal(samples_ + "nrel-tmy3/12839.head.tm2",
                          "skip_rows = 1\nfixed_width = { yr = \"2-3\", month = \"4-5\", day = "
                          "\"6-7\", hour = \"8-9\", t = \"68-71\" }\nscale = { tmax = 0.1 }\n" +
                              places("yr"),
                          "month = \"month\", tmax = \"t\"", kCelsius),
                  "is a record of hours, not a table of normals (\"yr\" is 62, \"day\" is 01 and "
                  "\"hour\" is 01): most values of tmax repeat a station and month");
    expect_record(
        refusal(samples_ + "uscrn/CRNS0101-05-2019-AZ_Tucson_11_W.txt",
                "fixed_width = { station = \"1-5\", UTC_DATE = \"7-14\", UTC_TIME = "
                "\"16-19\", lon = \"42-48\", lat = \"50-56\", t = \"58-64\" }\n",
                "station = \"station\", lat = \"lat\", lon = \"lon\", month = \"UTC_DATE\", "
                "tmax = \"t\"",
                kCelsius),
        "is a record of hours, not a table of normals (\"UTC_DATE\" is 20190101 and "
        "\"UTC_TIME\" is 1610)");
    // Its position has no decimal point.
    expect_record(
        refusal(samples_ + "isd/011490-99999-1986.head",
                "fixed_width = { station = \"5-10\", date = \"16-23\", time = \"24-27\", lat "
                "= \"29-34\", lon = \"35-41\", t = \"88-92\" }\nscale = { tmax = 0.1 }\n",
                "station = \"station\", lat = \"lat\", lon = \"lon\", month = \"date\", tmax "
                "= \"t\"",
                kCelsius),
        "it looks like a record of hours, not a table of normals (\"date\" is 19860101 and "
        "\"time\" is 0000)");
}

TEST_F(RecordSamples, OfTheHoursOfTheYear) {
    expect_record(
        refusal(samples_ + "ncei-normals-hourly/hourly_1981-2010_USW00094746.first48h.csv",
                "scale = { tmean = 0.1 }\n",
                "station = \"STATION\", name = \"NAME\", lat = \"LATITUDE\", lon = "
                "\"LONGITUDE\", month = \"DATE\", tmean = \"HLY-TEMP-NORMAL\"",
                "units = { tmean = \"degF\" }\n"),
        "is a table of the hours of the year, not of months (\"DATE\" is 01-01T00:00:00)");
}

}  // namespace
}  // namespace thirstline
