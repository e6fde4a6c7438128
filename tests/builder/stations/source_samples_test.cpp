// Samples of published normals, each read by the recipe that its users need, against a reading by
// read_source_samples.py, which shares no code with the builder. Skipped where the open data or
// Python are not at hand.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <sstream>

#include "builder/postal/postal_table.hpp"
#include "tests/support/open_climate.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/small_worlds.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::example;
using test::rejected;
using test::station;
using test::StationTables;

const std::string kTestFolder = THIRSTLINE_TEST_FOLDER;
const std::string kPython = THIRSTLINE_TEST_PYTHON;

/// What the independent reading has of one station and variable.
struct Published {
    std::string station;
    Variable variable = Variable::tmax;
    LatLon position;
    double elevation_m = 0.0;
    Monthly<double> values{};
};

/// By source, in its order.
using Readings = std::map<std::string, std::vector<Published>>;

double next_number(std::istream& fields) {
    std::string text;
    std::getline(fields, text, '\t');
    return std::strtod(text.c_str(), nullptr);  // "nan", too
}

std::istringstream independent_lines(const std::string& samples) {
    const auto output = test::output_of(kPython + " -B " + kTestFolder +
                                        "/builder/stations/read_source_samples.py " + samples);
    EXPECT_TRUE(output);
    return std::istringstream(output.value_or(""));
}

Readings independent_readings(const std::string& samples) {
    Readings readings;
    std::istringstream lines = independent_lines(samples);
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("postal\t")) continue;
        std::istringstream fields(line);
        Published reading;
        std::string source;
        std::string variable;
        std::getline(fields, source, '\t');
        std::getline(fields, reading.station, '\t');
        std::getline(fields, variable, '\t');
        reading.variable = *variable_by_name(variable);
        reading.position.lat_deg = next_number(fields);
        reading.position.lon_deg = next_number(fields);
        reading.elevation_m = next_number(fields);
        for (double& value : reading.values) value = next_number(fields);
        readings[source].push_back(reading);
    }
    return readings;
}

class SourceSamples : public testing::Test {
  protected:
    void SetUp() override {
        const std::string data = test::open_data_folder({"source-samples"});
        if (data.empty() || kPython.empty()) GTEST_SKIP() << test::kNoOpenData;
        samples_ = data + "/source-samples/";
    }

    /// Every value of the independent reading, and no other station.
    void expect_as_published(const std::string& source) const {
        static const Readings readings = independent_readings(samples_);
        ASSERT_TRUE(readings.contains(source));
        const StationSet set = tables_.stations();
        std::map<std::string, int> stations;
        for (const Published& reading : readings.at(source)) {
            SCOPED_TRACE(reading.station + " " + std::string(variable_name(reading.variable)));
            ++stations[reading.station];
            const Station& found = station(set, reading.station);
            EXPECT_NEAR(found.position.lat_deg, reading.position.lat_deg, 1e-6);
            EXPECT_NEAR(found.position.lon_deg, reading.position.lon_deg, 1e-6);
            EXPECT_EQ(found.elevation_m, reading.elevation_m);
            const Monthly<double>& values = values_of(found, reading.variable);
            for (std::size_t month = 0; month < kMonths; ++month) {
                if (std::isnan(reading.values[month])) {
                    EXPECT_TRUE(std::isnan(values[month])) << month;
                } else {
                    EXPECT_NEAR(values[month], reading.values[month], 1e-9) << month;
                }
            }
        }
        EXPECT_EQ(set.stations.size(), stations.size());
    }

    void convert(const std::string& format, const std::string& files) {
        const auto table = test::output_of(kPython + " -B " + kTestFolder +
                                           "/../builder/converters/station-pages.py " + format +
                                           " " + samples_ + files);
        ASSERT_TRUE(table);
        tables_.add_file("pages.csv", *table);
    }

    RecordLength length(const std::string& name, Variable variable) const {
        const StationSet set = tables_.stations();
        return normals_of(station(set, name), variable)->length;
    }

    std::string samples_;
    StationTables tables_;
};

const std::string kNceiColumns =
    "station = \"STATION\", name = \"NAME\", lat = \"LATITUDE\", lon = \"LONGITUDE\", elevation = "
    "\"ELEVATION\", tmax = \"MLY-TMAX-NORMAL\", tmin = \"MLY-TMIN-NORMAL\", rain = "
    "\"MLY-PRCP-NORMAL\"";
const std::string kNceiUnits = "units = { tmax = \"degF\", tmin = \"degF\", rain = \"in\" }\n";

TEST_F(SourceSamples, UnitedStates1991) {
    tables_.add_source(
        {"NCEI", "path = \"" + samples_ + "ncei-normals-csv/monthly_1991-2020_*.csv\"\n" +
                     "layout = \"long\"\nmissing = [-9999]\nflags = \"ncei-1991\"\ncolumns = { " +
                     kNceiColumns +
                     ", month = \"month\", flag_tmax = \"comp_flag_MLY-TMAX-NORMAL\", years_rain = "
                     "\"years_MLY-PRCP-NORMAL\" }\n" +
                     kNceiUnits});
    expect_as_published("ncei-1991");
    EXPECT_EQ(length("LEBANON MUNI AP, NH US", Variable::tmax), RecordLength::short_record);
    EXPECT_EQ(length("LEBANON MUNI AP, NH US", Variable::rain), RecordLength::short_record);
}

// Two files with different columns (131 and 157); the month is in DATE, numbers have no point.
TEST_F(SourceSamples, UnitedStates1981) {
    tables_.add_source(
        {"NCEI", "path = \"" + samples_ + "ncei-normals-csv/monthly_1981-2010_*.csv\"\n" +
                     "layout = \"long\"\nmissing = [-9999, -8888, -6666, -5555]\nzero = [-7777]\n"
                     "flags = \"ncei-1981\"\nscale = { tmax = 0.1, tmin = 0.1, rain = 0.01 }\n"
                     "columns = { " +
                     kNceiColumns +
                     ", month = \"DATE\", flag_tmax = \"MLY-TMAX-NORMAL_ATTRIBUTES\" }\n" +
                     kNceiUnits});
    expect_as_published("ncei-1981");
    EXPECT_EQ(length("RICHMOND INTERNATIONAL AIRPORT, VA US", Variable::tmax),
              RecordLength::standard_normal);
    EXPECT_EQ(length("LEBANON MUNICIPAL AIRPORT, NH US", Variable::tmax),
              RecordLength::short_record);
}

// The archive by variable has no positions; the inventory's lines are of fixed width, and the three
// of the sample do not include the one station of the table's.
TEST_F(SourceSamples, UnitedStatesByVariableWithAnInventory) {
    const std::string source =
        "layout = \"long\"\ncolumns = { station = \"GHCN_ID\", month = \"month\", tmax = "
        "\"MLY-TMAX-NORMAL\" }\nunits = { tmax = \"degF\" }\npositions = { path = \"" +
        samples_ +
        "ncei-normals-csv/inventory_30yr.lines.txt\", key = { GHCN_ID = \"ID\" }, lat = \"LAT\", "
        "lon = \"LON\", elevation = \"ELEV\", name = \"NAME\", fixed_width = { ID = \"1-11\", LAT "
        "= "
        "\"13-20\", LON = \"22-30\", ELEV = \"32-37\", NAME = \"42-71\" } }\n";
    const std::string sample = samples_ + "ncei-normals-csv/mly-normal-allall.layout.csv";
    StationTables lacking;
    lacking.add_source({"NCEI", "path = \"" + sample + "\"\n" + source});
    EXPECT_NE(
        lacking.error().message.find("inventory_30yr.lines.txt has no position of any station"),
        std::string::npos)
        << lacking.error().message;
    std::string rows = test::content_of(sample);
    for (auto at = rows.find("USW00094765"); at != std::string::npos; at = rows.find("USW00094765"))
        rows.replace(at, 11, "USW00013958");
    tables_.add_file("mly-normal-allall.csv", rows);
    tables_.add_source({"NCEI", "path = \"mly-normal-allall.csv\"\n" + source});
    const StationSet set = tables_.stations();
    const Station& austin = station(set, "AUSTIN MABRY");
    EXPECT_NEAR(austin.position.lat_deg, 30.29, 1e-9);
    EXPECT_NEAR(austin.position.lon_deg, -97.74, 1e-9);
    EXPECT_EQ(austin.elevation_m, 189.0);
    EXPECT_NEAR(values_of(austin, Variable::tmax)[0], (30.3 - 32.0) / 1.8, 1e-9);
}

const std::string kMonths13 =
    "jan = \"Jan\", feb = \"Feb\", mar = \"Mar\", apr = \"Apr\", may = \"May\", jun = \"Jun\", jul "
    "= \"Jul\", aug = \"Aug\", sep = \"Sep\", oct = \"Oct\", nov = \"Nov\", dec = \"Dec\"";

// The inventory's columns as the provider names them; its rows here are from memory.
TEST_F(SourceSamples, Canada1991) {
    tables_.add_file(
        "inventory.csv",
        "\"COMPOSITE_STATION_NAME\",\"NORMALS_CODE\",\"STATION_NAME\",\"CLIMATE_ID\","
        "\"PROVINCE_OR_TERRITORY\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION(m)\"\n"
        "\"BANFF\",\"A\",\"BANFF CS\",\"3050519\",\"ALBERTA\",\"51.19\",\"-115.55\",\"1396.9\"\n"
        "\"BANFF\",\"A\",\"BANFF\",\"3050520\",\"ALBERTA\",\"51.18\",\"-115.57\",\"1383.7\"\n"
        "\"BRETON\",\"A\",\"BRETON "
        "PLOTS\",\"301A001\",\"ALBERTA\",\"53.08\",\"-114.42\",\"847\"\n");
    tables_.add_source(
        {"ECCC",
         "path = \"" + samples_ + "eccc-normals-1991-2020/*.csv\"\nlayout = \"wide\"\n" +
             "flags = \"eccc\"\nwhere = { PERIOD_OF_RECORD = \"Normal\", tmax = { NORMALS_ELEMENT "
             "= "
             "\"Daily Maximum (°C)\" }, tmin = { NORMALS_ELEMENT = \"Daily Minimum (°C)\" }, tmean "
             "= "
             "{ NORMALS_ELEMENT = \"Daily Average (°C)\" }, rain = { NORMALS_ELEMENT = "
             "\"Precipitation (mm)\" }, vapour_pressure = { NORMALS_ELEMENT = \"Average Vapour "
             "Pressure (kPa)\" } }\nunits = { tmax = \"degC\", tmin = \"degC\", tmean = \"degC\", "
             "rain = \"mm\", vapour_pressure = \"kPa\" }\ncolumns = { name = \"LOCATION_NAME\", "
             "flag "
             "= \"Code\", " +
             kMonths13 +
             " }\npositions = { path = \"inventory.csv\", key = { LOCATION_NAME = "
             "\"COMPOSITE_STATION_NAME\" }, lat = \"LATITUDE\", lon = \"LONGITUDE\", elevation = "
             "\"ELEVATION(m)\" }\n"});
    expect_as_published("eccc-1991");
    // Code A of temperature is a normal, code C of precipitation has at least 20 years.
    EXPECT_EQ(length("BANFF", Variable::tmax), RecordLength::standard_normal);
    EXPECT_EQ(length("BANFF", Variable::rain), RecordLength::short_record);
    EXPECT_EQ(rejected(tables_.stations()), 0);
}

TEST_F(SourceSamples, Canada1981FromPages) {
    convert("eccc", "eccc-normals-1981-2010/*-1981-2010.csv");
    tables_.add_source(
        {"ECCC",
         "path = \"pages.csv\"\nlayout = \"long\"\nheight_m = 10\nflags = \"eccc\"\ncolumns = { "
         "station = \"station\", name = \"name\", lat = \"lat\", lon = \"lon\", elevation = "
         "\"elevation_m\", month = \"month\", tmax = \"tmax_c\", tmin = \"tmin_c\", rain = "
         "\"rain_mm\", wind = \"wind_km_h\", flag_tmax = \"flag_tmax_c\" }\nunits = { tmax = "
         "\"degC\", tmin = \"degC\", rain = \"mm\", wind = \"km/h\" }\n"});
    expect_as_published("eccc-1981");
    EXPECT_EQ(length("BRANDON A", Variable::tmax), RecordLength::standard_normal);
    EXPECT_EQ(length("FARO A", Variable::tmax), RecordLength::short_record);
}

// The sample's element, days of summer, is none of the builder's variables; all elements have this
// layout. The list of stations is in the form of the provider's.
TEST_F(SourceSamples, Germany1991) {
    tables_.add_file("list.txt",
                     "Stations_id;Stationsname;Breite;Laenge;Hoehe;Bundesland;\r\n"
                     "400;Berlin-Buch;52,6325;13,5039;60;Berlin;\r\n"
                     "403;Berlin-Dahlem (FU);52,4537;13,3017;51;Berlin;\r\n"
                     "433;Berlin-Tempelhof;52,4675;13,4021;48;Berlin;\r\n");
    tables_.add_source(
        {"DWD",
         "path = \"" + samples_ + "dwd-multi-annual/*.txt\"\nlayout = \"wide\"\nvariable = " +
             "\"rain_days\"\nunit = \"day\"\nencoding = \"latin1\"\nseparator = \";\"\nwhere = { "
             "Datenquelle = [\"44\", \"46\"] }\ncolumns = { station = \"Stations_id\", jan = "
             "\"Jan.\", "
             "feb = \"Feb.\", mar = \"März\", apr = \"Apr.\", may = \"Mai\", jun = \"Jun.\", jul = "
             "\"Jul.\", aug = \"Aug.\", sep = \"Sept.\", oct = \"Okt.\", nov = \"Nov.\", dec = "
             "\"Dez.\" }\npositions = { path = \"list.txt\", key = \"Stations_id\", lat = "
             "\"Breite\", lon = \"Laenge\", elevation = \"Hoehe\", separator = \";\", decimal = "
             "\",\" }\n"});
    expect_as_published("dwd");
}

TEST_F(SourceSamples, MexicoFromPages) {
    convert("smn", "smn-conagua-mexico/nor9120_*.txt");
    tables_.add_source(
        {"SMN",
         "path = \"pages.csv\"\nlayout = \"long\"\ncolumns = { station = \"station\", name = "
         "\"name\", lat = \"lat\", lon = \"lon\", elevation = \"elevation_m\", month = \"month\", "
         "tmax = \"tmax_c\", tmin = \"tmin_c\", rain = \"rain_mm\", relative_humidity = "
         "\"relative_humidity_percent\", years_tmax = \"years_tmax_c\" }\nunits = { tmax = "
         "\"degC\", tmin = \"degC\", rain = \"mm\", relative_humidity = \"%\" }\n"});
    expect_as_published("smn");
    const StationSet set = tables_.stations();
    EXPECT_EQ(normals_of(station(set, "AGUASCALIENTES (OBS)"), Variable::tmax)->years, 28.0);
}

TEST_F(SourceSamples, PowerFromPages) {
    convert("power", "nasa-power/climatology_ag_point.csv");
    tables_.add_source(
        {"POWER",
         "path = \"pages.csv\"\nlayout = \"long\"\ncolumns = { name = \"name\", lat = "
         "\"lat\", lon = \"lon\", elevation = \"elevation_m\", month = \"month\", "
         "tmean = \"T2M\" }\nunits = { tmean = \"degC\" }\n"});
    expect_as_published("power");
}

// Rows of the United States, Puerto Rico and American Samoa in one file. The code of two rows is at
// the median of its places.
TEST_F(SourceSamples, PostalCodesOfGeoNames) {
    PostalRecipe postal;
    postal.country = "US";
    postal.path = samples_ + "geonames-postal/US-PR-AS.excerpt.txt";
    postal.layout = PostalLayout::geonames;
    postal.where = "merrow.toml:7";
    const auto table = read_postal_tables(test::recipe_of_postal_codes({postal}));
    ASSERT_TRUE(table) << table.error().message;
    std::map<std::string, std::vector<LatLon>> published;
    std::istringstream lines = independent_lines(samples_);
    for (std::string line; std::getline(lines, line);) {
        std::istringstream fields(line);
        std::array<std::string, 4> texts;
        for (std::string& text : texts) std::getline(fields, text, '\t');
        if (texts[0] != "postal" || texts[1] != "US") continue;
        const double lat = next_number(fields);
        published[texts[2]].push_back({lat, next_number(fields)});
    }
    ASSERT_EQ(published.size(), 3U);
    ASSERT_EQ(table->places.size(), 3U);
    for (const PostalPlace& place : table->places) {
        SCOPED_TRACE(place.code);
        const std::vector<LatLon>& rows = published.at(place.code);
        const double lat = (rows.front().lat_deg + rows.back().lat_deg) / 2;
        const double lon = (rows.front().lon_deg + rows.back().lon_deg) / 2;
        EXPECT_NEAR(to_degrees(place.position).lat_deg, lat, 1e-6);
        EXPECT_NEAR(to_degrees(place.position).lon_deg, lon, 1e-6);
    }
    EXPECT_EQ(table->tallies[0].rejected.size(), 1U);  // rows of other countries
}

// The first three lines of each: the separator is a tab until 2024, and "|" since 2025.
TEST_F(SourceSamples, PostalCodesOfBothEditionsOfTheGazetteer) {
    for (const auto& [file, codes, lat, lon] :
         {std::tuple{"2021_Gaz_zcta_national.like.txt", 2U, 18.180555, -66.749961},
          std::tuple{"2026_Gaz_zcta_national.head.txt", 4U, 18.180621, -66.749931}}) {
        PostalRecipe postal;
        postal.country = "US";
        postal.path = samples_ + "census-gazetteer-zcta/" + file;
        postal.layout = PostalLayout::census_gazetteer;
        postal.where = "merrow.toml:7";
        const auto table = read_postal_tables(test::recipe_of_postal_codes({postal}));
        ASSERT_TRUE(table) << table.error().message;
        ASSERT_EQ(table->places.size(), codes);
        EXPECT_EQ(table->places[0].code, "00601");
        EXPECT_EQ(table->places[0].position, to_e7({lat, lon}));
        EXPECT_TRUE(table->tallies[0].rejected.empty());
    }
}

}  // namespace
}  // namespace thirstline
