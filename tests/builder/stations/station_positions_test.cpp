// Positions of stations from a second table.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::example;
using test::rejected;
using test::station;
using test::StationTables;

const std::string kHeader = "id,name,m,tx\n";

std::string months(const std::string& beginning) {
    std::string rows;
    for (int month = 1; month <= kMonths; ++month)
        rows += beginning + "," + std::to_string(month) + "," + std::to_string(month) + "\n";
    return rows;
}

class StationPositionsOf : public testing::Test {
  protected:
    void add(const std::string& rows, const std::string& places, const std::string& positions) {
        tables_.add_file("a.csv", kHeader + rows);
        tables_.add_file("places.csv", places);
        tables_.add_source(
            {"Two tables",
             "path = \"a.csv\"\nlayout = \"long\"\ncolumns = { name = \"name\", month "
             "= \"m\", tmax = \"tx\" }\nunits = { tmax = \"degC\" }\n"
             "positions = { path = \"places.csv\", " +
                 positions + " }\n"});
    }
    void expect_error(const std::string& message) const {
        const Error error = tables_.error();
        EXPECT_EQ(static_cast<int>(error.code), static_cast<int>(ErrorCode::bad_input));
        // The line of positions.
        EXPECT_TRUE(error.message.starts_with("merrow.toml:29: ")) << error.message;
        EXPECT_NE(error.message.find(message), std::string::npos) << error.message;
    }
    StationTables tables_;
};

const std::string kPlaces =
    "code;y;x;z;land\n"
    "0007;44° 06' N;38° 12' W;26,5;XM\n"
    "Banff;44,5;-38,2;90 m;XM\n";

TEST_F(StationPositionsOf, KeysAreFoundWhateverTheirZerosAndCase) {
    add(months("7,Quay") + months("BANFF,Bank"), kPlaces,
        "key = { id = \"code\" }, lat = \"y\", lon = \"x\", elevation = \"z\", country = \"land\", "
        "separator = \";\", decimal = \",\"");
    const StationSet set = tables_.stations();
    ASSERT_EQ(set.stations.size(), 2U);
    EXPECT_NEAR(station(set, "Quay").position.lat_deg, 44.1, 1e-6);
    EXPECT_NEAR(station(set, "Quay").position.lon_deg, -38.2, 1e-6);
    EXPECT_EQ(station(set, "Quay").elevation_m, 26.5);
    EXPECT_EQ(station(set, "Quay").country, "XM");
    EXPECT_EQ(station(set, "Bank").elevation_m, 90.0);
    EXPECT_EQ(rejected(set), 0);
    EXPECT_EQ(set.inputs[0], (std::vector{tables_.path("a.csv"), tables_.path("places.csv")}));
}

TEST_F(StationPositionsOf, AKeyWithoutAPositionIsReportedOnce) {
    add(months("1,Quay") + months("2,Lost"), "id,y,x\n1,44.1,-38.2\n",
        "key = \"id\", lat = \"y\", lon = \"x\"");
    const StationSet set = tables_.stations();
    ASSERT_EQ(set.stations.size(), 1U);
    EXPECT_EQ(rejected(set, "no position for its key"), 1);
    const Suspect lost = example(set, "no position for its key");
    EXPECT_EQ(lost.value, "2");
    EXPECT_EQ(lost.station, "Lost");
    EXPECT_EQ(lost.line, 14);
    EXPECT_EQ(lost.action, "its rows are not used");
}

TEST_F(StationPositionsOf, SeveralRowsOfAKey) {
    add(months("1,Near") + months("2,Far"),
        "id,y,x\n1,44.10,-38.20\n1,44.11,-38.21\n2,44.1,-38.2\n2,45.1,-38.2\n",
        "key = \"id\", lat = \"y\", lon = \"x\"");
    const StationSet set = tables_.stations();
    ASSERT_EQ(set.stations.size(), 1U);
    EXPECT_NEAR(station(set, "Near").position.lat_deg, 44.10, 1e-9);  // the first
    EXPECT_EQ(example(set, "several positions for its key").value, "2");
}

TEST_F(StationPositionsOf, KeysOfTwoColumnsAndRowsChosen) {
    add(months("1,Quay") + months("1,Bank"),
        "nr,n,y,x,kind\n1,Quay,44.1,-38.2,new\n1,Quay,40.1,-38.2,old\n1,Bank,44.5,-38.2,new\n",
        "key = { id = \"nr\", name = \"n\" }, lat = \"y\", lon = \"x\", where = { kind = \"new\" "
        "}");
    const StationSet set = tables_.stations();
    EXPECT_NEAR(station(set, "Quay").position.lat_deg, 44.1, 1e-9);
    EXPECT_NEAR(station(set, "Bank").position.lat_deg, 44.5, 1e-9);
}

TEST_F(StationPositionsOf, ColumnsOfFixedWidth) {
    add(months("M1,Quay"), "M1   44.1000 -38.2000   26.0\n",
        "key = { id = \"ID\" }, lat = \"LAT\", lon = \"LON\", elevation = \"Z\", fixed_width = { "
        "ID "
        "= \"1-4\", LAT = \"5-12\", LON = \"13-21\", Z = \"22-28\" }");
    const StationSet set = tables_.stations();
    EXPECT_NEAR(station(set, "Quay").position.lon_deg, -38.2, 1e-9);
    EXPECT_EQ(station(set, "Quay").elevation_m, 26.0);
}

TEST_F(StationPositionsOf, NoKeyFound) {
    add(months("1,Quay"), "id,y,x\nM1,44.1,-38.2\n", "key = \"id\", lat = \"y\", lon = \"x\"");
    expect_error(
        "places.csv has no position of any station: no value of \"id\" is in its column "
        "\"id\" (the first is \"1\")");
}

TEST_F(StationPositionsOf, UnknownColumnOfTheFirstTable) {
    add(months("1,Quay"), "id,y,x\n1,44.1,-38.2\n",
        "key = { idd = \"id\" }, lat = \"y\", lon = \"x\"");
    expect_error("a.csv has no column \"idd\"; did you mean \"id\"?");
}

TEST_F(StationPositionsOf, UnknownColumnOfTheSecondTable) {
    add(months("1,Quay"), "id,lat,x\n1,44.1,-38.2\n", "key = \"id\", lat = \"Lat\", lon = \"x\"");
    expect_error("places.csv has no column \"Lat\"; did you mean \"lat\"?");
}

TEST_F(StationPositionsOf, BothTablesNameThePosition) {
    tables_.add_source(
        {"Two tables",
         "path = \"a.csv\"\nlayout = \"long\"\ncolumns = { name = \"name\", lat = "
         "\"y\", month = \"m\", tmax = \"tx\" }\nunits = { tmax = \"degC\" }\n"
         "positions = { path = \"p.csv\", key = \"id\", lat = \"y\", lon = \"x\" }\n"});
    EXPECT_NE(
        tables_.error().message.find("columns and positions of [[stations]] both name \"lat\""),
        std::string::npos)
        << tables_.error().message;
}

}  // namespace
}  // namespace thirstline
