// Values against each other, against the terrain and against the other stations.
#include "builder/stations/station_checks.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::example;
using test::rejected;
using test::station_index;
using test::StationTables;
using test::twelve_rows;
using test::used;

using enum Variable;

/// One station with all temperatures and vapour pressure, sound in every month.
class StationChecks : public testing::Test {
  protected:
    void SetUp() override {
        StationTables tables;
        tables.add_long_table(
            "valley", "tmax tmin tmean vapour_pressure dew_point",
            "tmax = \"degC\", tmin = \"degC\", tmean = \"degC\", "
            "vapour_pressure = \"kPa\", dew_point = \"degC\"",
            twelve_rows("Quay,XM,44.1,-38.2,26", "2{m}.0,1{m}.0,1{m}.5,1.0{m},5.{m}"));
        set_ = tables.stations();
        ASSERT_EQ(set_.stations.size(), 1U);
        for (std::size_t month = 0; month < kMonths; ++month) {
            // An even climate, whatever the table made of two digits.
            put(tmax, month, 20.0);
            put(tmin, month, 10.0);
            put(tmean, month, 15.0);
            put(vapour_pressure, month, 1.2);
            put(dew_point, month, 9.0);
        }
        for (SourceTally& tally : set_.tallies)
            tally = {.used = 60, .rejected = {}, .doubtful = {}, .examples = {}};
    }
    void put(Variable variable, std::size_t month, double value) {
        normals_of(set_.stations[0], variable)->values[month] = value;
    }
    double value(Variable variable, std::size_t month) const {
        return values_of(set_.stations[0], variable)[month];
    }
    void check(double terrain_m = 30.0) {
        const std::vector<double> terrain{terrain_m};
        check_stations(set_, terrain, {});
    }
    StationSet set_;
};

TEST_F(StationChecks, ASoundStationHasNothingSuspect) {
    check();
    EXPECT_EQ(rejected(set_), 0);
    EXPECT_EQ(used(set_), 60);
    check_stations(set_, {}, {});
    EXPECT_EQ(rejected(set_), 0);
}

TEST_F(StationChecks, MinimumNotBelowTheMaximum) {
    put(tmin, 2, 20.0);
    put(tmin, 3, 21.0);
    check();
    EXPECT_EQ(rejected(set_, "minimum temperature not below the maximum"), 4);  // two of each
    for (const std::size_t month : {2U, 3U}) {
        EXPECT_TRUE(std::isnan(value(tmax, month)) && std::isnan(value(tmin, month)));
        EXPECT_EQ(value(tmean, month), 15.0);
    }
    EXPECT_EQ(value(tmax, 1), 20.0);
    EXPECT_EQ(used(set_), 56);
    const Suspect found = example(set_, "minimum temperature not below the maximum");
    EXPECT_EQ(found.station, "Quay");
    EXPECT_EQ(found.file, "valley.csv");
    EXPECT_EQ(found.line, 4);
    EXPECT_EQ(found.month, 3);
    EXPECT_EQ(found.variable, "tmax");
    EXPECT_EQ(found.value, "20.0 and 20.0 degC");
}

TEST_F(StationChecks, RejectsAnImplausibleRange) {
    put(tmin, 2, 19.6);
    put(tmax, 4, 35.1);
    put(tmin, 4, 5.0);
    put(tmean, 4, 20.0);
    put(tmean, 2, 19.8);
    check();
    EXPECT_EQ(rejected(set_, "implausible daily range"), 4);
    EXPECT_EQ(rejected(set_), 4);
    EXPECT_EQ(value(tmean, 4), 20.0);
}

TEST_F(StationChecks, ExtremesThatContradictTheMean) {
    put(tmean, 6, 19.1);
    put(tmean, 7, 18.9);
    check();
    EXPECT_EQ(rejected(set_, "maximum and minimum contradict the mean"), 3);
    EXPECT_TRUE(std::isnan(value(tmax, 6)) && std::isnan(value(tmin, 6)));
    EXPECT_TRUE(std::isnan(value(tmean, 6)));
    EXPECT_EQ(value(tmean, 7), 18.9);
    EXPECT_EQ(example(set_, "maximum and minimum contradict the mean").value,
              "20 degC and 10 degC, mean 19.1 degC");
}

TEST_F(StationChecks, AMeanThatIsTheMinimum) {
    put(tmin, 0, 17.0);
    put(tmean, 0, 17.0);
    check();
    EXPECT_EQ(rejected(set_, "maximum and minimum contradict the mean"), 3);
}

TEST_F(StationChecks, ThreeBadMonthsRejectTheYear) {
    for (const std::size_t month : {1U, 4U}) put(tmean, month, 10.0);
    StationSet two = set_;
    check_stations(two, {}, {});
    EXPECT_EQ(used(two), 60 - 6);
    put(tmean, 9, 10.0);
    check();
    EXPECT_EQ(rejected(set_, "maximum and minimum contradict the mean"), 3);  // a line a variable
    EXPECT_EQ(used(set_), 60 - 36);
    const Suspect found = example(set_, "maximum and minimum contradict the mean");
    EXPECT_FALSE(found.month.has_value());
    EXPECT_EQ(found.value, "20 degC and 10 degC, mean 10 degC in February, and so in 3 months");
    EXPECT_EQ(found.action, "the year's values not used");
}

TEST_F(StationChecks, ChecksAMeanAgainstTheKnownExtreme) {
    put(tmin, 0, kUnknown);
    put(tmean, 0, 20.5);
    put(tmax, 1, kUnknown);
    put(tmean, 1, 9.0);
    put(tmax, 2, kUnknown);
    check();
    EXPECT_EQ(rejected(set_, "maximum and minimum contradict the mean"), 4);
    EXPECT_TRUE(std::isnan(value(tmax, 0)) && std::isnan(value(tmean, 0)));
    EXPECT_TRUE(std::isnan(value(tmin, 1)) && std::isnan(value(tmean, 1)));
    EXPECT_EQ(value(tmin, 2), 10.0);
}

TEST_F(StationChecks, HumidityOverSaturationAboveFreezing) {
    // FAO-56 example 3's equations: e°(20) = 2.338, e°(10) = 1.228, mean 1.783 kPa.
    put(vapour_pressure, 1, 1.86);
    put(vapour_pressure, 2, 1.89);
    put(dew_point, 3, 16.4);  // 1.865 kPa
    put(dew_point, 4, 16.9);  // 1.925 kPa
    // Frozen: 0.4 kPa is far over e°(−10) = 0.28 kPa.
    put(tmax, 5, -5.0);
    put(tmin, 5, -15.0);
    put(tmean, 5, -10.0);
    put(vapour_pressure, 5, 0.4);
    put(dew_point, 5, -5.0);
    check();
    EXPECT_EQ(rejected(set_, "humidity over saturation"), 2);
    EXPECT_TRUE(std::isnan(value(vapour_pressure, 2)));
    EXPECT_TRUE(std::isnan(value(dew_point, 4)));
    EXPECT_EQ(rejected(set_), 2);
    EXPECT_EQ(example(set_, "humidity over saturation").value, "1.89 kPa, saturation 1.78 kPa");
}

TEST_F(StationChecks, OtherFormsOfHumidityHaveTheSameLimits) {
    for (const auto& [variable, usual] :
         {std::pair{specific_humidity, 0.0075}, std::pair{vapour_pressure_deficit, 0.6},
          std::pair{relative_humidity_max, 80.0}, std::pair{relative_humidity_min, 40.0}}) {
        StationNormals normals = set_.stations[0].normals.front();
        normals.variable = variable;
        normals.values.fill(usual);
        set_.stations[0].normals.push_back(normals);
    }
    // e°(20) and e°(10): mean 1.783 kPa, with 5 % 1.872: q = 0.622 e / (p − 0.378 e) = 0.0116.
    put(specific_humidity, 1, 0.0115);
    put(specific_humidity, 2, 0.0117);
    put(vapour_pressure_deficit, 3, 1.9);
    put(relative_humidity_max, 4, 35.0);
    check();
    EXPECT_EQ(value(specific_humidity, 1), 0.0115);
    EXPECT_TRUE(std::isnan(value(specific_humidity, 2)));
    EXPECT_TRUE(std::isnan(value(vapour_pressure_deficit, 3)));
    EXPECT_TRUE(std::isnan(value(relative_humidity_max, 4)));
    EXPECT_TRUE(std::isnan(value(relative_humidity_min, 4)));
    EXPECT_EQ(rejected(set_, "humidity over saturation"), 2);
    EXPECT_EQ(rejected(set_, "minimum of humidity or its deficit over the maximum"), 2);
    EXPECT_EQ(rejected(set_), 4);
}

TEST_F(StationChecks, SaturationFromTheMeanAlone) {
    for (const Variable variable : {tmax, tmin})
        normals_of(set_.stations[0], variable)->values = kUnknownYear;
    put(vapour_pressure, 1, 1.80);  // e°(15) = 1.705 kPa
    put(vapour_pressure, 2, 1.78);
    check();
    EXPECT_EQ(rejected(set_, "humidity over saturation"), 1);
    EXPECT_TRUE(std::isnan(value(vapour_pressure, 1)));
}

TEST_F(StationChecks, UnknownElevationIsTheTerrains) {
    set_.stations[0].elevation_m = kUnknown;
    check(812.0);
    EXPECT_EQ(set_.stations[0].elevation_m, 812.0);
    const Suspect found = example(set_, "elevation is not known");
    EXPECT_EQ(found.action, "the terrain model's 812 m was taken");
    EXPECT_EQ(found.variable, "elevation");
    EXPECT_EQ(found.line, 2);
    EXPECT_EQ(used(set_), 60);
}

TEST_F(StationChecks, WithoutAnyElevationAStationIsNotUsed) {
    set_.stations[0].elevation_m = kUnknown;
    check(kUnknown);
    EXPECT_EQ(example(set_, "elevation is not known").action, "station not used");
    EXPECT_EQ(used(set_), 0);
    EXPECT_EQ(known_months(values_of(set_.stations[0], tmax)), 0);
}

TEST_F(StationChecks, FarFromTheTerrainIsReportedAndUsed) {
    check(525.0);
    EXPECT_EQ(rejected(set_), 0);
    check(526.0);
    EXPECT_EQ(rejected(set_, "elevation far from the terrain model"), 1);
    EXPECT_EQ(example(set_, "elevation far from the terrain model").value,
              "26 m, terrain model 526 m");
    EXPECT_EQ(set_.stations[0].elevation_m, 26.0);
    EXPECT_EQ(used(set_), 60);
}

TEST_F(StationChecks, OtherChecksMayRejectValues) {
    const StationFinding finding{"9.9 degC", "far from its neighbours", "value not used"};
    reject_station_value(set_, 0, tmax, 4, finding);
    reject_station_value(set_, 0, tmax, 4, finding);  // gone already
    reject_station_value(set_, 0, rain, 4, finding);  // never was
    EXPECT_EQ(rejected(set_, "far from its neighbours"), 1);
    EXPECT_TRUE(std::isnan(value(tmax, 3)));
    EXPECT_EQ(used(set_), 59);
    reject_station_value(set_, 0, tmax, std::nullopt, finding);
    EXPECT_EQ(rejected(set_, "far from its neighbours"), 2);
    EXPECT_EQ(used(set_), 48);
    EXPECT_EQ(station_counts(set_).at(0).stations, 1);
    replace_station_elevation(set_, 0, 900.0, "elevation contradicts the temperature");
    EXPECT_EQ(set_.stations[0].elevation_m, 900.0);
    EXPECT_EQ(example(set_, "elevation contradicts the temperature").value, "26 m");
}

/// Countries of four stations, whose ranges lie a given amount above a background of 10 °C.
class GroupCheck : public testing::Test {
  protected:
    void add_country(const std::string& country, double gap_c, int stations = 4) {
        for (int i = 0; i < stations; ++i) {
            const double lat = 40.0 + static_cast<double>(countries_);
            const double tmax_c = 20.0 + gap_c / 2.0 + (i % 2 == 0 ? 0.1 : -0.1);
            for (int month = 1; month <= kMonths; ++month) {
                const double season = month / 10.0;
                rows_ += country + std::to_string(i) + "," + country + "," + std::to_string(lat) +
                         "," + std::to_string(-38.0 + i) + ",100," + std::to_string(month) + "," +
                         std::to_string(tmax_c + season) + "," +
                         std::to_string(10.0 - gap_c / 2.0 + season) + "," +
                         std::to_string(15.0 + season) + "\n";
            }
        }
        ++countries_;
    }
    StationSet checked(double background_c = 10.0) {
        StationTables tables;
        tables.add_long_table("world", "tmax tmin tmean",
                              "tmax = \"degC\", tmin = \"degC\", tmean = \"degC\"", rows_);
        StationSet set = tables.stations();
        Monthly<double> range{};
        range.fill(background_c);
        const std::vector<Monthly<double>> background(set.stations.size(), range);
        check_stations(set, {}, background);
        return set;
    }
    static bool is_kept(const StationSet& set, const std::string& name, Variable variable) {
        return known_months(values_of(set.stations[station_index(set, name)], variable)) == 12;
    }
    std::string rows_;
    int countries_ = 0;
};
constexpr const char* kRule = "not a mean daily maximum or minimum";

TEST_F(GroupCheck, ACountryOfMonthlyExtremesIsFound) {
    for (const auto& [country, gap] :
         {std::pair{"A", 0.5}, {"B", -0.5}, {"C", 0.2}, {"D", 3.5}, {"E", -0.3}, {"F", 12.0}})
        add_country(country, gap);
    const StationSet set = checked();
    EXPECT_EQ(rejected(set, kRule), 8);
    EXPECT_EQ(rejected(set), 8);
    for (const char* name : {"F0", "F1", "F2", "F3"}) {
        EXPECT_FALSE(is_kept(set, name, tmax) || is_kept(set, name, tmin)) << name;
        EXPECT_TRUE(is_kept(set, name, tmean)) << name;
    }
    EXPECT_TRUE(is_kept(set, "D0", tmax));
    EXPECT_NE(example(set, kRule).value.find("over 4 stations of F"), std::string::npos);
    EXPECT_NE(example(set, kRule).value.find("+11."), std::string::npos);
}

TEST_F(GroupCheck, AcceptsStationsWhereTheBackgroundIsWrongEverywhere) {
    for (const char* country : {"A", "B", "C", "D", "E"}) add_country(country, 9.0);
    EXPECT_EQ(rejected(checked()), 0);
}

TEST_F(GroupCheck, FewGroupsAreComparedWithTheBackground) {
    add_country("A", 12.0);
    EXPECT_EQ(rejected(checked(), kRule), 8);
    add_country("B", 0.0);
    EXPECT_EQ(rejected(checked(), kRule), 8);
    EXPECT_EQ(rejected(checked(kUnknown), kRule), 0);
}

TEST_F(GroupCheck, IgnoresGroupsOfThreeStations) {
    for (const char* country : {"A", "B", "C", "D", "E"}) add_country(country, 0.0);
    add_country("F", 12.0, 3);
    EXPECT_EQ(rejected(checked()), 0);
}

}  // namespace
}  // namespace thirstline
