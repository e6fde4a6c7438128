// Which rows are one station, and which of their normals are kept.
#include "builder/stations/station_identity.hpp"

#include <gtest/gtest.h>

#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::example;
using test::rejected;
using test::station;

Monthly<double> year_of(double january, double step = 1.0) {
    Monthly<double> values{};
    for (std::size_t month = 0; month < kMonths; ++month)
        values[month] = january + step * static_cast<double>(month);
    return values;
}

/// Two sources, "A" and "B", of one file each; every row has one variable.
class Rows {
  public:
    Rows() {
        for (const char* name : {"A", "B"}) {
            set_.names.emplace_back(name);
            set_.files.push_back({std::string("/folder/") + name + ".csv"});
            set_.tallies.emplace_back();
            set_.rows_read.push_back(0);
        }
    }
    Rows& add(const std::string& name, LatLon position, double elevation_m, int source,
              Variable variable, const Monthly<double>& values,
              RecordLength length = RecordLength::not_stated,
              const std::string& country = "Merrow") {
        Station row;
        row.name = name;
        row.country = country;
        row.position = position;
        row.elevation_m = elevation_m;
        StationNormals normals;
        normals.variable = variable;
        normals.source = source;
        normals.values = values;
        normals.length = length;
        normals.lines.fill({0, ++line_});
        row.normals.push_back(normals);
        set_.tallies[static_cast<std::size_t>(source)].used += known_months(values);
        set_.stations.push_back(row);
        return *this;
    }
    StationSet merged() {
        merge_stations(set_);
        std::int64_t in_use = 0;
        for (const Station& each : set_.stations)
            for (const StationNormals& normals : each.normals)
                in_use += known_months(normals.values);
        EXPECT_EQ(in_use, test::used(set_));  // the tally keeps count
        return set_;
    }

  private:
    StationSet set_;
    std::int32_t line_ = 1;
};

constexpr LatLon kQuay{44.101, -38.2265};
/// Some km to the north.
LatLon north(LatLon from, double km) {
    return {from.lat_deg + km / 111.195, from.lon_deg};
}

using enum Variable;

TEST(StationIdentity, NamesakesWithinFiveKilometresAreOneStation) {
    const StationSet set = Rows()
                               .add("Merrow Quay", kQuay, 26, 0, tmax, year_of(10))
                               .add("MERROW_QUAY", north(kQuay, 4.9), 30, 0, tmin, year_of(3))
                               .add("merrowquay", north(kQuay, -2), 26, 1, rain, year_of(90))
                               .add("Merrow Quay", north(kQuay, 5.2), 26, 1, rain, year_of(200))
                               .merged();
    ASSERT_EQ(set.stations.size(), 2U);
    EXPECT_EQ(set.stations[0].normals.size(), 3U);
    EXPECT_EQ(set.stations[0].position, kQuay);
    EXPECT_EQ(set.stations[1].normals.size(), 1U);
    EXPECT_EQ(rejected(set), 0);
}

TEST(StationIdentity, IgnoresStationIds) {
    Rows rows;
    rows.add("", kQuay, 26, 0, tmax, year_of(10)).add("", north(kQuay, 4), 26, 0, tmin, year_of(3));
    EXPECT_EQ(rows.merged().stations.size(), 2U);
}

TEST(StationIdentity, CountriesSeparateStationsOfOneName) {
    const auto stations = [](const std::string& a, const std::string& b, double km) {
        return Rows()
            .add("Ford", kQuay, 26, 0, tmax, year_of(10), RecordLength::not_stated, a)
            .add("Ford", north(kQuay, km), 26, 0, tmin, year_of(3), RecordLength::not_stated, b)
            .merged()
            .stations.size();
    };
    EXPECT_EQ(stations("Merrow", "Thessle", 3), 2U);
    EXPECT_EQ(stations("Merrow", "merrow ", 3), 1U);
    EXPECT_EQ(stations("Merrow", "", 3), 1U);
    EXPECT_EQ(stations("Merrow", "Thessle", 0.5), 1U);  // one place after all
}

TEST(StationIdentity, FindsNeighboursAcrossPolesAndAntimeridian) {
    EXPECT_EQ(Rows()
                  .add("Edge", {10.0, 179.99}, 5, 0, tmax, year_of(10))
                  .add("Edge", {10.0, -179.99}, 5, 0, tmin, year_of(3))
                  .merged()
                  .stations.size(),
              1U);
    EXPECT_EQ(Rows()
                  .add("Pole", {-89.99, 10.0}, 2800, 0, tmax, year_of(-40))
                  .add("Pole", {-89.99, -170.0}, 2800, 0, tmin, year_of(-50))
                  .merged()
                  .stations.size(),
              1U);
}

TEST(StationIdentity, OnePlaceIsOneStationWhateverTheName) {
    const auto stations = [](double km, double rise_m) {
        return Rows()
            .add("Quay", kQuay, 26, 0, tmax, year_of(10))
            .add("Harbour", north(kQuay, km), 26 + rise_m, 0, tmin, year_of(3))
            .merged()
            .stations.size();
    };
    EXPECT_EQ(stations(0.9, 50), 1U);
    EXPECT_EQ(stations(1.1, 0), 2U);
    EXPECT_EQ(stations(0.5, 70), 2U);
    EXPECT_EQ(stations(0.5, kUnknown), 1U);
}

TEST(StationIdentity, PrefersTheSameNameToANearerNeighbour) {
    const StationSet set = Rows()
                               .add("Harbour", kQuay, 26, 0, tmax, year_of(10))
                               .add("Quay", north(kQuay, 3), 26, 0, tmax, year_of(12))
                               .add("Quay", north(kQuay, 0.1), 26, 0, tmin, year_of(3))
                               .merged();
    ASSERT_EQ(set.stations.size(), 2U);
    EXPECT_EQ(station(set, "Quay").normals.size(), 2U);
}

TEST(StationIdentity, RowsThatAgreeFillEachOthersGaps) {
    Monthly<double> first = year_of(10);
    Monthly<double> second = year_of(10.1);
    first[3] = first[4] = second[7] = kUnknown;
    const StationSet set = Rows()
                               .add("Quay", kQuay, 26, 0, tmax, first)
                               .add("Quay", kQuay, 26, 0, tmax, second)
                               .merged();
    ASSERT_EQ(set.stations.size(), 1U);
    const StationNormals& tmax_of = set.stations[0].normals.at(0);
    EXPECT_EQ(known_months(tmax_of.values), 12);
    EXPECT_EQ(tmax_of.values[0], second[0]);  // the fuller
    EXPECT_EQ(tmax_of.values[7], first[7]);
    EXPECT_EQ(tmax_of.lines[7].line, 2);
    EXPECT_EQ(rejected(set, "duplicate station"), 1);
    EXPECT_EQ(example(set, "duplicate station").line, 3);
    EXPECT_EQ(example(set, "duplicate station").file, "A.csv");
}

TEST(StationIdentity, RowsThatDifferLeaveTheFuller) {
    Monthly<double> fuller = year_of(10);
    Monthly<double> other = year_of(10);
    other[2] = kUnknown;
    other[5] += 0.7;
    other[6] += 0.3;
    const StationSet set = Rows()
                               .add("Quay", kQuay, 26, 0, tmax, other)
                               .add("Quay", kQuay, 26, 0, tmax, fuller)
                               .merged();
    ASSERT_EQ(set.stations.size(), 1U);
    EXPECT_EQ(set.stations[0].normals[0].values, fuller);
    const Suspect found = example(set, "two rows of one station differ");
    EXPECT_EQ(found.line, 2);
    EXPECT_EQ(found.value, "15.7 degC and 15 degC in June");
    EXPECT_EQ(found.variable, "tmax");
}

TEST(StationIdentity, RejectsBothRowsOfOneStationThatContradictEachOther) {
    const StationSet set = Rows()
                               .add("Quay", kQuay, 26, 0, tmax, year_of(10))
                               .add("Quay", kQuay, 26, 0, tmax, year_of(14))
                               .add("Quay", kQuay, 26, 0, rain, year_of(50))
                               .merged();
    EXPECT_EQ(rejected(set, "two rows of one station contradict each other"), 2);
    EXPECT_EQ(known_months(values_of(set.stations[0], tmax)), 0);
    EXPECT_EQ(known_months(values_of(set.stations[0], rain)), 12);
}

TEST(StationIdentity, RejectsBothOfTwoClimatesInOnePlace) {
    const StationSet set = Rows()
                               .add("Quay", kQuay, 26, 0, tmax, year_of(10))
                               .add("Moor", kQuay, 26, 0, tmax, year_of(6))
                               .add("Quay", kQuay, 26, 0, rain, year_of(50))
                               .add("Moor", kQuay, 26, 0, rain, year_of(50))
                               .merged();
    EXPECT_EQ(set.stations.size(), 2U);
    EXPECT_EQ(rejected(set, "two stations in one place contradict each other"), 4);
    EXPECT_EQ(test::used(set), 0);
    EXPECT_EQ(example(set, "two stations in one place contradict each other").value,
              "in the place of Moor");
}

TEST(StationIdentity, WhatContradicts) {
    const auto of = [](Variable variable, const Monthly<double>& values) {
        StationNormals normals;
        normals.variable = variable;
        normals.values = values;
        return normals;
    };
    EXPECT_FALSE(contradict(of(tmax, year_of(10)), of(tmax, year_of(11.4))));
    EXPECT_TRUE(contradict(of(tmax, year_of(10)), of(tmax, year_of(11.6))));
    // Over the year: seasons that make up for each other are no excuse.
    EXPECT_TRUE(contradict(of(tmin, year_of(0, 1)), of(tmin, year_of(11, -1))));
    EXPECT_TRUE(contradict(of(rain, year_of(50, 0)), of(rain, year_of(80, 0))));
    EXPECT_FALSE(contradict(of(rain, year_of(50, 0)), of(rain, year_of(74, 0))));
    EXPECT_FALSE(contradict(of(rain, year_of(1, 0)), of(rain, year_of(9, 0))));  // 96 mm
    EXPECT_FALSE(contradict(of(wind, year_of(1, 0)), of(wind, year_of(9, 0))));
    EXPECT_FALSE(contradict(of(tmax, kUnknownYear), of(tmax, year_of(9))));
}

TEST(StationIdentity, TheBetterRecordOfTwoSourcesIsKept) {
    using enum RecordLength;
    const auto kept = [](RecordLength a, RecordLength b, int months_missing_in_a = 0) {
        Monthly<double> of_a = year_of(10);
        for (int month = 0; month < months_missing_in_a; ++month)
            of_a[static_cast<std::size_t>(month)] = kUnknown;
        const StationSet set = Rows()
                                   .add("Quay", kQuay, 26, 0, tmax, of_a, a)
                                   .add("Quay", kQuay, 26, 1, tmax, year_of(10.5), b)
                                   .merged();
        EXPECT_EQ(rejected(set, "another source has a better record"), 1);
        return set.stations.at(0).normals.at(0).source;
    };
    EXPECT_EQ(kept(typical_year, not_stated), 1);
    EXPECT_EQ(kept(short_record, standard_normal), 1);
    EXPECT_EQ(kept(not_stated, short_record), 0);
    EXPECT_EQ(kept(not_stated, not_stated), 0);
    EXPECT_EQ(kept(not_stated, not_stated, 1), 1);
    EXPECT_EQ(kept(standard_normal, not_stated, 3), 0);
}

TEST(StationIdentity, ElevationsThatContradictEachOtherAreReported) {
    StationSet set = Rows()
                         .add("Quay", kQuay, kUnknown, 0, tmax, year_of(10))
                         .add("Quay", kQuay, 26, 0, tmin, year_of(3))
                         .add("Quay", kQuay, 260, 1, rain, year_of(50))
                         .merged();
    EXPECT_EQ(set.stations.at(0).elevation_m, 26.0);
    EXPECT_EQ(rejected(set, "two elevations of one station"), 1);
    EXPECT_EQ(example(set, "two elevations of one station").value, "26 m and 260 m");
    EXPECT_EQ(example(set, "two elevations of one station").file, "B.csv");
}

/// As where a service gives all its unknown places one position.
TEST(StationIdentity, ThousandsOfContradictingStationsInOnePlace) {
    Rows rows;
    constexpr int kMany = 40'000;
    for (int i = 0; i < kMany; ++i) {
        rows.add("Place " + std::to_string(i), {45.0, 10.0}, 100.0, 0, Variable::tmax,
                 year_of(i % 2 == 0 ? 0.0 : 20.0));
    }
    const StationSet set = rows.merged();
    EXPECT_EQ(set.stations.size(), static_cast<std::size_t>(kMany));
    EXPECT_EQ(test::used(set), 0);
}

/// Where cells of the index meet the nearest is found, too, and names are told apart.
TEST(StationIdentity, JoinsTheNearestNamesakeOnEitherSide) {
    for (const double lon : {-180.0, -179.99999, 0.0, 10.0, 179.99999}) {
        for (const double step : {-0.04, -0.02, 0.02, 0.04}) {
            const auto at = [&](double steps) {
                double east = lon + steps * step;
                if (east >= 180.0) east -= 360.0;
                if (east < -180.0) east += 360.0;
                return LatLon{0.0, east};
            };
            Rows rows;
            rows.add("Ford", at(1.0), 10.0, 0, Variable::tmax, year_of(1.0))
                .add("Mill", at(0.2), 90.0, 0, Variable::tmax, year_of(9.0))
                .add("Ford", at(0.0), 10.0, 1, Variable::rain, year_of(50.0));
            EXPECT_EQ(rows.merged().stations.size(), 2U) << lon << " " << step;
        }
    }
}

}  // namespace
}  // namespace thirstline
