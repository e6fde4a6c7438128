// Open samples of records: the normals and the void months of every station and month against
// those of normals_of_records.py, which shares no code with the builder; and reference ET by day
// against the values of the networks. Skipped where the open data or Python are not at hand.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <map>
#include <set>
#include <sstream>

#include "tests/support/open_climate.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/small_worlds.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::StationTables;

struct NormalAndYears {
    double value = 0.0;
    int years = 0;
};

/// By station and variable.
using Key = std::pair<std::string, std::string>;
struct Reading {
    std::map<Key, Monthly<NormalAndYears>> normals;
    std::set<std::string> voids;  ///< "Fallon tmax 2015-02"
};

std::map<std::string, Reading> readings_of_records(const std::string& samples) {
    const auto output =
        test::output_of(std::string(THIRSTLINE_TEST_PYTHON) + " -B " + THIRSTLINE_TEST_FOLDER +
                        "/builder/stations/normals_of_records.py " + samples);
    EXPECT_TRUE(output);
    std::map<std::string, Reading> readings;
    std::istringstream lines(output.value_or(""));
    for (std::string line; std::getline(lines, line);) {
        std::istringstream fields(line);
        std::string source, station, variable, kind, cell;
        for (std::string* field : {&source, &station, &variable, &kind})
            std::getline(fields, *field, '\t');
        Reading& reading = readings[source];
        if (kind == "void") {
            std::getline(fields, cell, '\t');
            reading.voids.insert(station + " " + variable + " " + cell);
            continue;
        }
        for (NormalAndYears& of_month : reading.normals[{station, variable}]) {
            std::getline(fields, cell, '\t');
            of_month.value = std::strtod(cell.c_str(), nullptr);
            of_month.years = std::atoi(cell.c_str() + cell.find(':') + 1);
        }
    }
    return readings;
}

class OpenRecords : public testing::Test {
  protected:
    void SetUp() override {
        const std::string data = test::open_data_folder({"source-samples"});
        if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
        samples_ = data + "/source-samples/";
        tables_.add_file("places.csv",
                         "id,lat,lon,z\nhyk02,40.65,-102.4,1140\n"
                         "260,52.1,5.18,2\n8137,-30.8917,116.7186,283\n");
    }

    static std::string places(const std::string& key) {
        return "positions = { path = \"places.csv\", key = { \"" + key +
               "\" = \"id\" }, lat = \"lat\", lon = \"lon\", elevation = \"z\" }\n";
    }
    void add(const std::string& name, const std::string& period, const std::string& path,
             const std::string& lines) {
        tables_.add_record({name, "path = \"" + samples_ + path + "\"\n" + lines, period});
    }
    void add_days(const std::string& name, const std::string& period, const std::string& path,
                  const std::string& lines) {
        add(name, period, path, "step = \"day\"\ncompleteness = { min_years = 1 }\n" + lines);
    }
    void add_canada_daily() {
        add_days("Canada daily", "2014-2014", "eccc-monthly-daily-records/daily_51423_2014.csv",
                 "columns = { name = \"Station Name\", lat = \"Latitude (y)\", lon = \"Longitude "
                 "(x)\", date = \"Date/Time\", tmax = \"Max Temp (°C)\", flag_tmax = \"Max Temp "
                 "Flag\", tmin = \"Min Temp (°C)\", flag_tmin = \"Min Temp Flag\", tmean = \"Mean "
                 "Temp (°C)\", flag_tmean = \"Mean Temp Flag\", rain = \"Total Precip (mm)\", "
                 "flag_rain = \"Total Precip Flag\" }\nrejected_flags = [\"M\"]\n"
                 "units = { tmax = \"degC\", tmin = \"degC\", tmean = \"degC\", rain = \"mm\" }");
    }
    void add_milan() {
        add_days(
            "Milan", "1763-1764", "ghcn-daily-monthly/by_year_1763-1764.head.csv",
            "columns = { station = \"ID\", lat = \"LATITUDE\", lon = \"LONGITUDE\", elevation "
            "= \"ELEVATION\", date = \"YEAR/MONTH/DAY\", tmax = \"DATA VALUE\", tmin = \"DATA "
            "VALUE\", flag = \"Q-FLAG\" }\naccepted_flags = [\"\"]\n"
            "where = { tmax = { ELEMENT = \"TMAX\" }, tmin = { ELEMENT = \"TMIN\" } }\n"
            "scale = { tmax = 0.1, tmin = 0.1 }\nunits = { tmax = \"degC\", tmin = \"degC\" }");
    }
    void add_colorado() {
        add_days("Colorado", "2020-2020", "coagmet-daily/et_coagmet.txt",
                 places("name") +
                     "columns = { station = \"name\", date = \"date\", tmax = \"tmax\", tmin = "
                     "\"tmin\", relative_humidity_max = \"rhmax\", relative_humidity_min = "
                     "\"rhmin\", radiation = \"solar\", wind = \"windrun\", eto = \"et_asce0\" }\n"
                     "units = { tmax = \"degC\", tmin = \"degC\", relative_humidity_max = "
                     "\"fraction\", relative_humidity_min = \"fraction\", radiation = \"W/m2\", "
                     "wind = \"km/day\", eto = \"mm\" }\nheight_m = 2\nreference = \"short\"\n"
                     "equation = \"ASCE-EWRI 2005\"");
    }
    void add_fallon() {
        add_days("Fallon", "2015-2015", "agrimet-daily/FALN_Agrimet_daily_raw_2015.csv",
                 "station = { name = \"Fallon\", lat = 39.4575, lon = -118.77388, elevation_m = "
                 "1208.5 }\nmissing = [\"NO RECORD\"]\n"
                 "columns = { year = \"YEAR\", month = \"MONTH\", day = \"DAY\", tmax = \"MX\", "
                 "tmin = \"MN\", dew_point = \"YM\", radiation = \"SR\", wind = \"UA\", eto = "
                 "\"ETOS\" }\nunits = { tmax = \"degF\", tmin = \"degF\", dew_point = \"degF\", "
                 "radiation = \"Ly/day\", wind = \"mph\", eto = \"in\" }\nheight_m = 2\n"
                 "reference = \"short\"\nequation = \"ASCE-EWRI 2005\"");
    }
    void add_wongan_hills() {
        add_days("Wongan Hills", "2021-2021",
                 "silo-australia/silo_get_patched_point_daily_values_0.csv",
                 places("station") +
                     "columns = { station = \"station\", date = \"YYYY-MM-DD\", tmax = "
                     "\"max_temp\", tmin = \"min_temp\", rain = \"daily_rain\", vapour_pressure = "
                     "\"vp\", radiation = \"radiation\" }\n"
                     "units = { tmax = \"degC\", tmin = \"degC\", rain = \"mm\", vapour_pressure = "
                     "\"hPa\", radiation = \"MJ/m2/day\" }");
    }
    void add_de_bilt() {
        add_days("De Bilt", "1980-1980", "knmi-daily/etmgeg_260.head.txt",
                 "header = \"# STN,\"\n" + places("# STN") +
                     "columns = { station = \"# STN\", date = \"YYYYMMDD\", tmax = \"TX\", tmin = "
                     "\"TN\" }\nscale = { tmax = 0.1, tmin = 0.1 }\n"
                     "units = { tmax = \"degC\", tmin = \"degC\" }");
    }
    void add_canada_monthly() {
        add("Canada monthly", "1951-1980", "eccc-monthly-daily-records/monthly_5401.csv",
            "step = \"month\"\ncompleteness = { min_years = 1 }\n"
            "columns = { name = \"Station Name\", lat = \"Latitude (y)\", lon = \"Longitude (x)\", "
            "date = \"Date/Time\", tmax = \"Mean Max Temp (°C)\", flag_tmax = \"Mean Max Temp "
            "Flag\", tmin = \"Mean Min Temp (°C)\", flag_tmin = \"Mean Min Temp Flag\", rain = "
            "\"Total Precip (mm)\", flag_rain = \"Total Precip Flag\" }\n"
            "rejected_flags = [\"M\"]\n"
            "units = { tmax = \"degC\", tmin = \"degC\", rain = \"mm\" }");
    }

    std::string samples_;
    StationTables tables_;
};

/// "Fallon tmax 2015-02"
std::set<std::string> voids_of(const RecordFindings& source) {
    std::set<std::string> voids;
    for (const StationFindings& station : source.stations) {
        for (const VariableFindings& variable : station.variables) {
            for (const VoidMonths& of : variable.voids) {
                for (const YearAndMonth month : of.months) {
                    char text[48];
                    std::snprintf(text, sizeof text, " %04d-%02d", month.year, month.month + 1);
                    voids.insert(station.name + " " +
                                 std::string(variable_name(variable.variable)) + text);
                }
            }
        }
    }
    return voids;
}

/// Compares all records of the set; returns the number of months.
int compare_with_readings(const StationSet& set, const std::map<std::string, Reading>& readings) {
    int compared = 0;
    for (const RecordFindings& findings : set.records) {
        const Reading& reading = readings.at(findings.source);
        std::set<std::string> voids = voids_of(findings);
        // Humidity as measured has no counterpart there, and as calculated no list here.
        const auto is_humidity = [&findings](const std::string& each) {
            const bool is_calculated =
                each.find("vapour") != std::string::npos && findings.source != "Wongan Hills";
            return is_calculated || each.find("dew_point") != std::string::npos ||
                   each.find("relative") != std::string::npos;
        };
        std::set<std::string> expected_voids = reading.voids;
        std::erase_if(voids, is_humidity);
        std::erase_if(expected_voids, is_humidity);
        EXPECT_EQ(voids, expected_voids) << findings.source;
        for (const auto& [key, months] : reading.normals) {
            const Station& station = test::station(set, key.first);
            const Variable variable = *variable_by_name(key.second);
            const Monthly<double>& normals = values_of(station, variable);
            for (std::size_t month = 0; month < kMonths; ++month) {
                ++compared;
                const std::string at =
                    key.first + " " + key.second + " " + std::to_string(month + 1);
                if (std::isnan(months[month].value)) {
                    EXPECT_TRUE(std::isnan(normals[month])) << at;
                } else {
                    EXPECT_NEAR(normals[month], months[month].value, 1e-6) << at;
                }
            }
            for (const VariableFindings& found : findings.stations.front().variables) {
                if (found.variable != variable) continue;
                for (std::size_t month = 0; month < kMonths; ++month)
                    EXPECT_EQ(found.years[month], months[month].years) << key.second;
            }
        }
    }
    return compared;
}

TEST_F(OpenRecords, OfDaysGiveTheNormalsAndVoidMonthsOfAnIndependentCalculation) {
    add_canada_daily();
    add_milan();
    add_colorado();
    add_fallon();
    add_wongan_hills();
    add_de_bilt();
    const StationSet set = tables_.stations();
    ASSERT_EQ(set.records.size(), 6U);
    EXPECT_EQ(compare_with_readings(set, readings_of_records(samples_)),
              12 * (4 + 2 + 6 + 6 + 5 + 2));
}

TEST_F(OpenRecords, OfMonthsGiveTheNormalsAndVoidMonthsOfAnIndependentCalculation) {
    add_canada_monthly();
    const StationSet set = tables_.stations();
    EXPECT_EQ(compare_with_readings(set, readings_of_records(samples_)), 12 * 3);
    EXPECT_GE(set.records[0].stations[0].variables[0].years[0], 27);
}

// Both networks calculate ASCE-EWRI 2005 themselves; AgriMet's position and height of the
// anemometer are from memory.
TEST_F(OpenRecords, GiveReferenceEtByDayNearThatOfTheNetworks) {
    add_colorado();
    add_fallon();
    const StationSet set = tables_.stations();
    const EtoComparison& colorado = set.records[0].stations[0].eto;
    EXPECT_GE(colorado.days, 360);
    EXPECT_NEAR(colorado.ratio(), 1.0, 0.01);
    EXPECT_LT(colorado.spread_mm_per_day(), 0.05);
    const EtoComparison& fallon = set.records[1].stations[0].eto;
    EXPECT_GE(fallon.days, 360);
    EXPECT_NEAR(fallon.ratio(), 0.97, 0.01);
    EXPECT_LT(fallon.spread_mm_per_day(), 0.15);
}

}  // namespace
}  // namespace thirstline
