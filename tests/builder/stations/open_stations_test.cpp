// Real stations: the world's 1991–2020 normals (NCEI accession 0253808) and the monthly means of
// the TMY3 sites (NREL), against the CRU CL 1.0 climatology. Skipped where the data are not at
// hand: the folder is named by THIRSTLINE_OPEN_DATA.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <set>

#include "builder/stations/station_checks.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::rejected;
using test::StationTables;

struct WmoTable {
    const char* file;
    const char* variable;
    const char* unit;
};
constexpr WmoTable kWmo[] = {
    {"TMAX", "tmax", "degC"},           {"TMIN", "tmin", "degC"},
    {"TAVG", "tmean", "degC"},          {"PRCP", "rain", "mm"},
    {"MNVP", "vapour_pressure", "hPa"}, {"TSUN", "sunshine_hours", "h/month"},
    {"DP01", "rain_days", "day"}};
constexpr std::size_t kWmoSources = std::size(kWmo);

/// What the checks need, read once for all tests.
struct World {
    StationSet read;     ///< as read and merged
    StationSet checked;  ///< … and checked
    std::vector<Monthly<double>> background_range_c;
};

class OpenStations : public testing::Test {
  protected:
    static std::filesystem::path root() {
        const char* named = std::getenv("THIRSTLINE_OPEN_DATA");
        return named != nullptr ? named : THIRSTLINE_OPEN_DATA_DEFAULT;
    }
    void SetUp() override {
        if (!std::filesystem::exists(root() / "wmo-normals-1991-2020"))
            GTEST_SKIP() << "no open data: name their folder in THIRSTLINE_OPEN_DATA";
    }

    static StationSet read_all() {
        StationTables tables;
        for (const WmoTable& table : kWmo) {
            std::string lines =
                "path = \"" +
                (root() / "wmo-normals-1991-2020" / (std::string(table.file) + ".csv")).string() +
                "\"\nlayout = \"wide\"\nvariable = \"" + table.variable + "\"\nunit = \"" +
                table.unit + "\"\nmissing = [-99.9]\n" +
                "columns = { station = \"ID\", name = \"Station\", country = \"Country\", lat = "
                "\"Latitude\", lon = \"Longitude\", elevation = \"Elevation\"";
            for (std::size_t month = 0; month < kMonths; ++month) {
                std::string key(kMonthAbbreviations[month]);
                key[0] = static_cast<char>(key[0] | 0x20);
                lines += ", " + key + " = \"" + std::string(kMonthAbbreviations[month]) + "\"";
            }
            tables.add_source({std::string("WMO normals, ") + table.variable, lines + " }\n"});
        }
        tables.add_source(
            {"TMY3 sites",
             "path = \"" + (root() / "tmy3-monthly" / "tmy3_monthly.csv").string() +
                 "\"\nlayout = \"long\"\ncountry = \"United States of America\"\n"
                 "columns = { station = \"usaf\", name = \"name\", lat = \"lat\", lon = \"lon\", "
                 "elevation = \"elev_m\", month = \"month\", tmax = \"tmax_c\", tmin = \"tmin_c\", "
                 "dew_point = \"dewpoint_c\", wind = \"wind_ms\", radiation = \"ghi_mj_m2_d\" }\n"
                 "units = { tmax = \"degC\", tmin = \"degC\", dew_point = \"degC\", wind = "
                 "\"m/s\", radiation = \"MJ/m2/day\" }\nheight_m = 10\n",
             "typical year, source years 1976-2005"});
        return tables.stations();
    }

    static std::unique_ptr<Grid> cru(const std::string& file, Variable variable) {
        return opened(spec_of(variable, "degC", (root() / "cru-cl1-1961-1990" / file).string()));
    }

    static const World& world() {
        static const World kWorld = [] {
            const TempFolder sets_gdal_up;
            World made;
            made.read = read_all();
            std::vector<LatLon> places;
            for (const Station& station : made.read.stations) places.push_back(station.position);
            const auto tmax = samples_at(*cru("tmx.tif", Variable::tmax), nullptr, places);
            const auto tmin = samples_at(*cru("tmn.tif", Variable::tmin), nullptr, places);
            const auto elevation = opened(
                spec_of(Variable::elevation, "m", (root() / "elevation" / "etopo5.tif").string()));
            const auto terrain = elevations_at(*elevation, places, {});
            if (!tmax || !tmin || !terrain) throw std::runtime_error("no background");
            for (std::size_t s = 0; s < places.size(); ++s) {
                Monthly<double>& range = made.background_range_c.emplace_back(kUnknownYear);
                for (std::size_t m = 0; m < kMonths; ++m) {
                    range[m] = static_cast<double>((*tmax)[s].sample.values[m]) -
                               static_cast<double>((*tmin)[s].sample.values[m]);
                }
            }
            made.checked = made.read;
            check_stations(made.checked, *terrain, made.background_range_c);
            return made;
        }();
        return kWorld;
    }
};

/// Over the seven tables of normals, of the values or rows of one rule.
std::int64_t in_wmo(const StationSet& set, const std::string& rule) {
    std::int64_t count = 0;
    for (std::size_t source = 0; source < kWmoSources; ++source) {
        const auto& rejected_by_rule = set.tallies[source].rejected;
        const auto found = rejected_by_rule.find(rule);
        if (found != rejected_by_rule.end()) count += found->second;
    }
    return count;
}

std::set<std::string> stations_under(const StationSet& set, const std::string& rule) {
    std::set<std::string> names;
    for (const SourceTally& tally : set.tallies)
        for (const Suspect& suspect : tally.examples)
            if (suspect.rule == rule) names.insert(suspect.station.value_or(""));
    return names;
}

TEST_F(OpenStations, RowsAreAsManyAsTheTablesHave) {
    // `wc -l`, less the header.
    EXPECT_EQ(world().read.rows_read,
              (std::vector<std::int64_t>{3950, 3986, 3640, 4296, 2607, 1301, 3744, 8484}));
    for (const char* rule : {"not a number", "not as many fields as the header has",
                             "a quote is not closed", "outside the plausible range"})
        EXPECT_EQ(rejected(world().read, rule), 0) << rule;
}

TEST_F(OpenStations, ManyTablesAreOneSetOfStations) {
    const StationSet& set = world().read;
    // 4,658 pairs of country and name stand in the seven tables.
    std::size_t of_wmo = 0;
    std::size_t of_both = 0;
    std::size_t with_all_three = 0;
    for (const Station& station : set.stations) {
        const bool in_wmo_tables = std::any_of(
            station.normals.begin(), station.normals.end(),
            [](const StationNormals& n) { return n.source < static_cast<int>(kWmoSources); });
        const bool in_tmy3 = std::any_of(
            station.normals.begin(), station.normals.end(),
            [](const StationNormals& n) { return n.source == static_cast<int>(kWmoSources); });
        of_wmo += in_wmo_tables ? 1 : 0;
        of_both += in_wmo_tables && in_tmy3 ? 1 : 0;
        with_all_three += normals_of(station, Variable::tmax) != nullptr &&
                                  normals_of(station, Variable::tmin) != nullptr &&
                                  normals_of(station, Variable::rain) != nullptr
                              ? 1
                              : 0;
    }
    RecordProperty("stations", static_cast<int>(set.stations.size()));
    EXPECT_NEAR(static_cast<double>(of_wmo), 4630.0, 15.0);
    EXPECT_NEAR(static_cast<double>(set.stations.size() - of_wmo + of_both), 707.0, 2.0);
    EXPECT_GT(of_both, 100U);
    EXPECT_GT(with_all_three, 3600U);
}

TEST_F(OpenStations, OneStationOfSeveralTablesIsOne) {
    const StationSet& set = world().read;
    const Station& algiers = test::station(set, "AlgerDarElBeida");
    EXPECT_EQ(algiers.normals.size(), 7U);
    EXPECT_EQ(values_of(algiers, Variable::tmax)[0], 17.1);
    EXPECT_EQ(values_of(algiers, Variable::tmin)[0], 5.5);
    EXPECT_EQ(values_of(algiers, Variable::rain)[0], 84.2);
    EXPECT_NEAR(values_of(algiers, Variable::vapour_pressure)[0], 1.03, 1e-9);
    EXPECT_NEAR(values_of(algiers, Variable::sunshine_hours)[0], 174.3 / 31.0, 1e-9);
    EXPECT_TRUE(std::isnan(values_of(algiers, Variable::sunshine_hours)[3]));
    EXPECT_EQ(normals_of(algiers, Variable::tmax)->lines[0].line, 2);
    // Two of one name, 2,500 km apart, stay two.
    EXPECT_EQ(std::count_if(set.stations.begin(), set.stations.end(),
                            [](const Station& s) { return s.name == "JINGHE"; }),
              2);
}

TEST_F(OpenStations, WhatIsWrongInSingleRowsIsFound) {
    const StationSet& set = world().checked;
    // "-98.600,-986.600" in five tables.
    EXPECT_EQ(in_wmo(set, "position is impossible"), 5);
    EXPECT_EQ(stations_under(set, "position is impossible"),
              (std::set<std::string>{"BUGARAMA_RIZ"}));
    // −876.5 and −9999, which stand for "missing" without being said to.
    EXPECT_EQ(in_wmo(set, "elevation is impossible"), 54);
    EXPECT_EQ(in_wmo(set, "elevation is not known"), 11);
    for (const char* name : {"SharmElSheikhAP", "BASRA", "KHANAQIN", "BRUNEI"}) {
        EXPECT_TRUE(std::isnan(test::station(world().read, name).elevation_m)) << name;
        EXPECT_FALSE(std::isnan(test::station(set, name).elevation_m)) << name;
    }
    // Twelve months of 26.9 °C where Tmax moves by 8 °C.
    EXPECT_EQ(stations_under(set, "twelve equal months"), (std::set<std::string>{"Jalingo"}));
}

TEST_F(OpenStations, ValuesThatContradictEachOtherAreFound) {
    const StationSet& set = world().checked;
    EXPECT_EQ(stations_under(set, "maximum and minimum contradict the mean"),
              (std::set<std::string>{"AMARA", "Gusau", "Han_Pijesak", "Kamarang", "Senanga"}));
    // Sesheke, the sixth, stands in the place of another station and is out already.
    EXPECT_EQ(stations_under(set, "humidity over saturation"),
              (std::set<std::string>{"Khasab_Port"}));
    EXPECT_EQ(in_wmo(set, "minimum temperature not below the maximum"), 0);
    EXPECT_EQ(in_wmo(set, "implausible daily range"), 0);
}

// Seven places hold two stations of quite different climates: most likely one row was given the
// position of another. (Serenje, for one, lies 700 km north-east of Sesheke.)
TEST_F(OpenStations, TwoClimatesInOnePlaceAreFound) {
    const std::set<std::string> names =
        stations_under(world().checked, "two stations in one place contradict each other");
    EXPECT_EQ(names.size(), 14U);
    for (const char* name : {"Serenje", "Sesheke", "Atbara", "Babnousa", "Masirah", "Salalah_port",
                             "Belmopan", "PuntaGorda", "La_Aurora", "Insivumeh_NA"}) {
        EXPECT_TRUE(names.contains(name)) << name;
        EXPECT_EQ(known_months(values_of(test::station(world().checked, name), Variable::rain)), 0);
    }
}

TEST_F(OpenStations, FiveCountriesHoldAnotherStatistic) {
    const StationSet& set = world().checked;
    std::map<std::string, int> by_country;
    for (const std::string& name : stations_under(set, "not a mean daily maximum or minimum")) {
        const Station& station = test::station(set, name);
        ++by_country[station.country];
        EXPECT_EQ(known_months(values_of(station, Variable::tmax)), 0) << name;
        EXPECT_EQ(known_months(values_of(station, Variable::tmin)), 0) << name;
    }
    std::set<std::string> countries;
    for (const auto& [country, count] : by_country) countries.insert(country);
    EXPECT_EQ(countries,
              (std::set<std::string>{"Armenia", "Mongolia", "Niger", "Oman", "Turkmenistan"}));
    // Yerevan's "Tmax" of July is 38.5 °C; its mean temperature stays.
    EXPECT_GT(known_months(values_of(test::station(set, "YerevanAgro"), Variable::tmean)), 0);
}

TEST_F(OpenStations, NothingGoodIsThrownAwayWithoutALine) {
    // Every value read is in use or stands under a rule.
    const StationSet& set = world().checked;
    std::int64_t in_use = 0;
    for (const Station& station : set.stations)
        for (const StationNormals& normals : station.normals)
            in_use += known_months(normals.values);
    EXPECT_EQ(in_use, test::used(set));
    for (const SourceTally& tally : set.tallies) {
        std::int64_t reported = 0;
        for (const auto& [rule, count] : tally.rejected) reported += count;
        EXPECT_EQ(reported, static_cast<std::int64_t>(tally.examples.size()));
        for (const Suspect& suspect : tally.examples) {
            EXPECT_TRUE(suspect.line.has_value()) << suspect.rule;
            EXPECT_FALSE(suspect.action.empty()) << suspect.rule;
        }
    }
    // And little of it: not one in thirty of what the tables hold.
    const std::int64_t read = test::used(world().read);
    EXPECT_GT(test::used(set) * 30, read * 29);
}

// One station a file, in °F and inches, with years of record and flags.
TEST_F(OpenStations, NceiFilesByPattern) {
    StationTables tables;
    tables.add_source(
        {"NCEI normals",
         "path = \"" + (root() / "ncei-normals-samples" / "tabular_monthly_*.csv").string() +
             "\"\nlayout = \"long\"\ncountry = \"US\"\nmissing = [-9999, -7777]\n"
             "columns = { station = \"STATION\", name = \"NAME\", lat = \"LATITUDE\", lon = "
             "\"LONGITUDE\", elevation = \"ELEVATION\", month = \"month\", tmax = "
             "\"MLY-TMAX-NORMAL\", years_tmax = \"years_MLY-TMAX-NORMAL\", flag_tmax = "
             "\"comp_flag_MLY-TMAX-NORMAL\", rain = \"MLY-PRCP-NORMAL\", flag_rain = "
             "\"comp_flag_MLY-PRCP-NORMAL\" }\nunits = { tmax = \"degF\", rain = \"in\" }\n"});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 1U);
    const Station& lebanon = set.stations[0];
    EXPECT_EQ(lebanon.name, "LEBANON MUNI AP, NH US");
    EXPECT_EQ(lebanon.id, "USW00094765");
    EXPECT_EQ(lebanon.elevation_m, 182.3);
    // January: 30.3 °F, 2.29 in, 22 years.
    EXPECT_NEAR(values_of(lebanon, Variable::tmax)[0], (30.3 - 32.0) / 1.8, 1e-9);
    EXPECT_NEAR(values_of(lebanon, Variable::rain)[0], 58.166, 1e-9);
    EXPECT_EQ(normals_of(lebanon, Variable::tmax)->years, 22.0);
    EXPECT_EQ(normals_of(lebanon, Variable::tmax)->length, RecordLength::short_record);
    EXPECT_EQ(normals_of(lebanon, Variable::rain)->length, RecordLength::short_record);
    EXPECT_EQ(rejected(set), 0);
}

}  // namespace
}  // namespace thirstline
