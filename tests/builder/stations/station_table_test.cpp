// Tables of stations as people publish them, and what no row can be.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

using test::example;
using test::rejected;
using test::station;
using test::StationTables;
using test::twelve_rows;
using test::used;

const std::string kMonthKeys =
    "jan = \"Jan\", feb = \"Feb\", mar = \"Mar\", apr = \"Apr\", may = \"May\", jun = \"Jun\", "
    "jul = \"Jul\", aug = \"Aug\", sep = \"Sep\", oct = \"Oct\", nov = \"Nov\", dec = \"Dec\"";
const std::string kWideHeader =
    "ID ,  Station   , Country ,Lat , Lon,  Elev , Jan  , Feb  , Mar , Apr , May , Jun , Jul , "
    "Aug , Sep , Oct , Nov , Dec ,Years,Flag\n";

std::string wide_source(const std::string& file, const std::string& variable,
                        const std::string& unit, const std::string& more = "") {
    return "path = \"" + file + "\"\nlayout = \"wide\"\nvariable = \"" + variable +
           "\"\nunit = \"" + unit + "\"\nmissing = [-99.9, -9999, \"NA\"]\n" + more +
           "\ncolumns = { station = \"ID\", name = \"Station\", country = \"Country\", lat = "
           "\"Lat\", lon = \"Lon\", elevation = \"Elev\", years_" +
           variable + " = \"Years\", flag_" + variable + " = \"Flag\", " + kMonthKeys + " }\n";
}

TEST(StationTable, PaddingMissingCodesAndUnits) {
    StationTables tables;
    tables.add_file("tmax.csv",
                    kWideHeader +
                        "M01 , Merrow Quay  , Merrow , 44.1010 ,-38.2265 ,  26.0, 50.0, 59.0 , "
                        "-99.9, -9999,NA,  ,68,68.9,67,60,55,51,30,C\n");
    tables.add_source({"Heat", wide_source("tmax.csv", "tmax", "degF")});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 1U);
    const Station& quay = set.stations[0];
    EXPECT_EQ(quay.id, "M01");
    EXPECT_EQ(quay.name, "Merrow Quay");
    EXPECT_EQ(quay.country, "Merrow");
    EXPECT_NEAR(quay.position.lat_deg, 44.101, 1e-9);
    EXPECT_NEAR(quay.position.lon_deg, -38.2265, 1e-9);
    EXPECT_EQ(quay.elevation_m, 26.0);
    ASSERT_EQ(quay.normals.size(), 1U);
    const StationNormals& tmax = quay.normals[0];
    EXPECT_EQ(tmax.variable, Variable::tmax);
    EXPECT_NEAR(tmax.values[0], 10.0, 1e-9);
    EXPECT_NEAR(tmax.values[1], 15.0, 1e-9);
    for (std::size_t month = 2; month < 6; ++month) EXPECT_TRUE(std::isnan(tmax.values[month]));
    EXPECT_NEAR(tmax.values[7], 20.5, 1e-9);
    EXPECT_EQ(tmax.lines[0].line, 2);
    EXPECT_EQ(tmax.lines[2].line, 0);
    EXPECT_EQ(tmax.years, 30.0);
    EXPECT_EQ(tmax.length, RecordLength::standard_normal);
    EXPECT_EQ(rejected(set), 0);
    EXPECT_EQ(used(set), 8);
    EXPECT_EQ(set.rows_read, std::vector<std::int64_t>{1});
    EXPECT_EQ(set.names, std::vector<std::string>{"Heat"});
    EXPECT_TRUE(set.files.at(0).at(0).ends_with("/tmax.csv"));
}

TEST(StationTable, NamesAndDegreeSignsOfAnotherEncoding) {
    StationTables tables;
    const std::string row =
        ",Merrow,44\xB0"
        "06'36\"N,38\xB0"
        "12'W,100,1,2,3,4,5,6,7,8,9,10,11,12,,\n";
    tables.add_file("tmax.csv", kWideHeader + "M01,\xC9verby" + row);
    tables.add_source({"Heat", wide_source("tmax.csv", "tmax", "degC", "encoding = \"latin1\"")});
    tables.add_source({"Again", wide_source("tmax.csv", "tmean", "degC")});  // not UTF-8 either
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 1U);
    EXPECT_EQ(set.stations[0].name, "Éverby");
    EXPECT_NEAR(set.stations[0].position.lat_deg, 44.11, 1e-7);
    EXPECT_NEAR(set.stations[0].position.lon_deg, -38.2, 1e-7);
    EXPECT_EQ(set.stations[0].normals.size(), 2U);
}

TEST(StationTable, RowsThatCannotBeAreReportedByLine) {
    StationTables tables;
    const std::string values = ",1,2,3,4,5,6,7,8,9,10,11,12,,\n";
    tables.add_file(
        "tmin.csv",
        kWideHeader + "1,Good,Merrow,44.1,-38.2,26" + values + "2,Nowhere,Merrow,-98.6,-986.6,26" +
            values + "3,Null,Merrow,0,0,26" + values + "4,Words,Merrow,north,-38.2,26" + values +
            "5,Comma, here,Merrow,44.3,-38.2,26" + values + "6,Short,Merrow,44.3,-38.2,26,1,2,3\n" +
            "7,Spare,Merrow,44.4,-38.2,26,1,2,3,4,5,6,7,8,9,10,11,12,,, ,\n");
    tables.add_source({"Cold", wide_source("tmin.csv", "tmin", "degC")});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 1U);
    EXPECT_EQ(set.stations[0].name, "Good");
    EXPECT_EQ(rejected(set, "position is impossible"), 2);
    EXPECT_EQ(rejected(set, "position cannot be read"), 1);
    EXPECT_EQ(rejected(set, "not as many fields as the header has"), 3);
    EXPECT_EQ(rejected(set), 6);
    const Suspect nowhere = example(set, "position is impossible");
    EXPECT_EQ(nowhere.source, "Cold");
    EXPECT_EQ(nowhere.file, "tmin.csv");
    EXPECT_EQ(nowhere.line, 3);
    EXPECT_EQ(nowhere.station, "Nowhere");
    EXPECT_EQ(nowhere.variable, "tmin");
    EXPECT_EQ(nowhere.value, "-98.6,-986.6");
    EXPECT_EQ(nowhere.action, "row not used");
}

TEST(StationTable, ImpossibleElevationsAreUnknown) {
    StationTables tables;
    const std::string values = ",1,2,3,4,5,6,7,8,9,10,11,12,,\n";
    tables.add_file("tmin.csv", kWideHeader + "1,Deep,Merrow,44.1,-38.2,-876.5" + values +
                                    "2,Code,Merrow,44.2,-38.2,-9999" + values +
                                    "3,Blank,Merrow,44.3,-38.2," + values +
                                    "4,Words,Merrow,44.4,-38.2,high" + values +
                                    "5,Shore,Merrow,44.5,-38.2,-430" + values +
                                    "6,Sky,Merrow,44.6,-38.2,6600" + values);
    tables.add_source({"Cold", wide_source("tmin.csv", "tmin", "degC")});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 6U);
    for (const char* name : {"Deep", "Code", "Blank", "Words", "Sky"})
        EXPECT_TRUE(std::isnan(station(set, name).elevation_m)) << name;
    EXPECT_EQ(station(set, "Shore").elevation_m, -430.0);
    EXPECT_EQ(rejected(set, "elevation is impossible"), 2);
    EXPECT_EQ(rejected(set, "elevation cannot be read"), 1);
    EXPECT_EQ(rejected(set), 3);
    EXPECT_EQ(example(set, "elevation is impossible").value, "-876.5 m");
    EXPECT_EQ(example(set, "elevation is impossible").variable, "elevation");
}

TEST(StationTable, ElevationsInFeet) {
    StationTables tables;
    tables.add_file("tmin.csv",
                    kWideHeader + "1,High,Merrow,44.1,-38.2,10000,1,2,3,4,5,6,7,8,9,10,11,12,,\n");
    tables.add_source(
        {"Cold", wide_source("tmin.csv", "tmin", "degC", "units = { elevation = \"ft\" }")});
    EXPECT_NEAR(tables.stations().stations.at(0).elevation_m, 3048.0, 1e-9);
}

TEST(StationTable, RecordsOfYearsAreRefused) {
    std::string rows;
    for (int year = 0; year < 4; ++year) {
        for (const char* station : {"1,Wet,Merrow,44.1,-38.2,26", "2,Dry,Merrow,44.9,-38.2,26"}) {
            rows += station;
            for (int month = 1; month <= kMonths; ++month)
                rows += "," + std::to_string(month) + std::to_string(year);
            rows += ",,\n";
        }
    }
    StationTables tables;
    tables.add_file("rain.csv", kWideHeader + rows);
    tables.add_source({"Rain", wide_source("rain.csv", "rain", "mm")});
    const Error error = tables.error();
    EXPECT_NE(error.message.find("a record of years"), std::string::npos) << error.message;
}

TEST(StationTable, AScaleIsAppliedBeforeTheUnit) {
    StationTables tables;
    tables.add_file("rain.csv",
                    kWideHeader + "1,Wet,Merrow,44.1,-38.2,26,304,2,3,4,5,6,7,8,9,10,11,12,,\n");
    tables.add_source({"Rain", wide_source("rain.csv", "rain", "in", "scale = 0.01")});
    EXPECT_NEAR(values_of(tables.stations().stations.at(0), Variable::rain)[0], 3.04 * 25.4, 1e-9);
}

TEST(StationTable, RejectsOnlyImplausibleValues) {
    StationTables tables;
    tables.add_file("rain.csv", kWideHeader +
                                    "1,Wet,Merrow,44.1,-38.2,26,-5,2,3,9999,5,6,x,8,9,10,11,12,,\n"
                                    "2,Next,Merrow,44.9,-38.2,26,1,2,3,4,5,6,7,8,9,10,11,12,,\n");
    tables.add_source({"Rain", wide_source("rain.csv", "rain", "mm")});
    const StationSet set = tables.stations();
    EXPECT_EQ(rejected(set, "negative rain"), 1);
    EXPECT_EQ(rejected(set, "outside the plausible range"), 1);
    EXPECT_EQ(rejected(set, "not a number"), 1);
    EXPECT_EQ(used(set), 21);
    const Suspect negative = example(set, "negative rain");
    EXPECT_EQ(negative.month, 1);
    EXPECT_EQ(negative.value, "-5");
    EXPECT_EQ(negative.line, 2);
    EXPECT_EQ(known_months(values_of(station(set, "Wet"), Variable::rain)), 9);
}

TEST(StationTable, TwelveEqualMonthsAreAPlaceholder) {
    StationTables tables;
    tables.add_file("rain.csv", kWideHeader +
                                    "1,Flat,Merrow,44.1,-38.2,26,5,5,5,5,5,5,5,5,5,5,5,5,,\n"
                                    "2,Desert,Merrow,44.4,-38.2,26,0,0,0,0,0,0,0,0,0,0,0,0,,\n"
                                    "3,Gap,Merrow,44.7,-38.2,26,5,5,5,5,5,5,5,5,5,5,5,NA,,\n");
    tables.add_source({"Rain", wide_source("rain.csv", "rain", "mm")});
    const StationSet set = tables.stations();
    EXPECT_EQ(rejected(set, "twelve equal months"), 1);
    EXPECT_EQ(example(set, "twelve equal months").station, "Flat");
    EXPECT_EQ(example(set, "twelve equal months").value, "5 mm");
    ASSERT_EQ(set.stations.size(), 2U);  // nothing is left of Flat
    EXPECT_EQ(known_months(values_of(station(set, "Desert"), Variable::rain)), 12);
    EXPECT_EQ(used(set), 23);
}

TEST(StationTable, PrefersYearsToFlags) {
    StationTables tables;
    const std::string values = ",1,2,3,4,5,6,7,8,9,10,11,12,";
    tables.add_file("tmin.csv", kWideHeader + "1,Years,Merrow,44.1,-38.2,26" + values + "23,C\n" +
                                    "2,Flag,Merrow,44.3,-38.2,26" + values + ",S\n" +
                                    "3,Short,Merrow,44.5,-38.2,26" + values + "-9999,P\n" +
                                    "4,None,Merrow,44.7,-38.2,26" + values + ",\n");
    tables.add_source({"Cold", wide_source("tmin.csv", "tmin", "degC")});
    const StationSet set = tables.stations();
    using enum RecordLength;
    EXPECT_EQ(station(set, "Years").normals[0].length, short_record);
    EXPECT_EQ(station(set, "Flag").normals[0].length, standard_normal);
    EXPECT_EQ(station(set, "Short").normals[0].length, short_record);
    EXPECT_EQ(station(set, "None").normals[0].length, not_stated);
    const StationCounts counts = station_counts(set).at(0);
    EXPECT_EQ(counts.stations, 4);
    EXPECT_EQ(counts.normals_by_length, (std::array{1, 1, 2, 0}));
}

TEST(StationTable, AColumnThatIsNotThereNamesTheNearest) {
    StationTables tables;
    tables.add_file("tmin.csv", "ID,Station,Country,Lat,Lon,Elevation,Years,Flag\n");
    tables.add_source({"Cold", wide_source("tmin.csv", "tmin", "degC")});
    const Error error = tables.error();
    EXPECT_EQ(error.code, ErrorCode::bad_input);
    EXPECT_NE(error.message.find("tmin.csv has no column \"Elev\"; did you mean \"Elevation\"?"),
              std::string::npos)
        << error.message;
    EXPECT_TRUE(error.message.find("merrow.toml:") != std::string::npos) << error.message;
}

TEST(StationTable, AUnitThatCannotBeRightIsAnError) {
    StationTables tables;
    tables.add_file("tmax.csv",
                    kWideHeader +
                        "1,Warm,Merrow,44.1,-38.2,26,280,281,282,283,284,285,286,287,288,"
                        "289,290,291,,\n");
    tables.add_source({"Heat", wide_source("tmax.csv", "tmax", "degC")});
    const Error error = tables.error();
    EXPECT_EQ(error.code, ErrorCode::bad_input);
    EXPECT_NE(error.message.find("correct the unit"), std::string::npos) << error.message;
    EXPECT_NE(error.message.find("280 at tmax.csv:2"), std::string::npos) << error.message;
}

TEST(StationTable, ATableWithoutAStationIsAnError) {
    for (const std::string& rows :
         {std::string(), std::string("1,No,Merrow,0,0,26,1,2,3,4,5,6,7,8,9,10,11,12,,\n"),
          std::string("1,No,Merrow,44,-38,26,NA,NA,NA,NA,NA,NA,NA,NA,NA,NA,NA,NA,,\n")}) {
        StationTables tables;
        tables.add_file("tmin.csv", kWideHeader + rows);
        tables.add_source({"Cold", wide_source("tmin.csv", "tmin", "degC")});
        const Error error = tables.error();
        EXPECT_EQ(error.code, ErrorCode::bad_input);
        EXPECT_NE(error.message.find("can be used as a station"), std::string::npos);
    }
    StationTables tables;
    tables.add_source({"Cold", wide_source("none.csv", "tmin", "degC")});
    EXPECT_EQ(tables.error().code, ErrorCode::io);
}

TEST(LongTables, SeveralVariablesInTheirUnits) {
    StationTables tables;
    tables.add_long_table("long", "tmax tmin rain sunshine_hours",
                          "tmax = \"degC\", tmin = \"K\", rain = \"in\", sunshine_hours = "
                          "\"h/month\"",
                          twelve_rows("Quay,XM,44.1,-38.2,26", "1{m},27{m},{m},31"));
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 1U);
    const Station& quay = set.stations[0];
    EXPECT_EQ(quay.country, "XM");
    EXPECT_EQ(values_of(quay, Variable::tmax)[1], 12.0);
    EXPECT_NEAR(values_of(quay, Variable::tmin)[8], 279.0 - 273.15, 1e-9);
    EXPECT_NEAR(values_of(quay, Variable::rain)[2], 76.2, 1e-9);
    EXPECT_NEAR(values_of(quay, Variable::sunshine_hours)[0], 1.0, 1e-9);
    EXPECT_NEAR(values_of(quay, Variable::sunshine_hours)[1], 31.0 / 28.25, 1e-9);
    // "110", "111" and "112" °C, and as many K with four digits.
    EXPECT_EQ(rejected(set, "outside the plausible range"), 6);
    EXPECT_EQ(used(set), 42);
}

TEST(LongTables, ConvertsWindToTwoMetres) {
    StationTables tables;
    tables.add_long_table("long", "wind", "wind = \"km/h\"",
                          twelve_rows("Quay,XM,44.1,-38.2,26", "{m}"),
                          "height_m = 10\nexposure = 0.8\n");
    // FAO-56 example 14: a factor of 0.748 from 10 m (second hand).
    EXPECT_NEAR(values_of(tables.stations().stations[0], Variable::wind)[8], 9 / 3.6 * 0.8 * 0.748,
                0.001);
}

TEST(LongTables, AcceptsMonthsInAnyOrder) {
    StationTables tables;
    const std::string quay = twelve_rows("Quay,XM,44.1,-38.2,26", "{m}");
    const std::string moor = twelve_rows("Moor,XM,44.7,-38.0,833", "{m}");
    std::string rows;  // January of both, February of both …
    for (std::size_t at_quay = 0, at_moor = 0; at_quay < quay.size();) {
        const std::size_t end_quay = quay.find('\n', at_quay) + 1;
        const std::size_t end_moor = moor.find('\n', at_moor) + 1;
        rows += quay.substr(at_quay, end_quay - at_quay) + moor.substr(at_moor, end_moor - at_moor);
        at_quay = end_quay;
        at_moor = end_moor;
    }
    tables.add_long_table("long", "tmax", "tmax = \"degC\"", rows);
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 2U);
    for (const Station& each : set.stations) {
        for (std::size_t month = 0; month < kMonths; ++month)
            EXPECT_EQ(values_of(each, Variable::tmax)[month], static_cast<double>(month) + 1);
    }
    EXPECT_EQ(set.stations[1].normals[0].lines[11].line, 25);
    EXPECT_EQ(rejected(set), 0);
}

TEST(LongTables, MonthsThatAreNoneAndMonthsGivenTwice) {
    StationTables tables;
    tables.add_long_table("long", "tmax", "tmax = \"degC\"",
                          twelve_rows("Quay,XM,44.1,-38.2,26", "{m}") +
                              "Quay,XM,44.1,-38.2,26,13,9\nQuay,XM,44.1,-38.2,26,1.5,9\n"
                              "Quay,XM,44.1,-38.2,26,,9\nQuay,XM,44.1,-38.2,26,3,9\n");
    const StationSet set = tables.stations();
    EXPECT_EQ(rejected(set, "month is not 1 to 12"), 3);
    EXPECT_EQ(rejected(set, "month given twice"), 1);
    EXPECT_EQ(example(set, "month given twice").line, 17);
    EXPECT_EQ(values_of(set.stations[0], Variable::tmax)[2], 3.0);
}

// A year and a month a row, as records are published; two years are enough to see it.
TEST(LongTables, RecordsOfYearsAreRefused) {
    for (const int years : {2, 30}) {
        std::string rows;
        for (int year = 0; year < years; ++year)
            rows += twelve_rows("Quay,XM,44.1,-38.2,26", "{m}" + std::to_string(year));
        StationTables tables;
        tables.add_long_table("long", "rain", "rain = \"mm\"", rows);
        const Error error = tables.error();
        EXPECT_EQ(static_cast<int>(error.code), static_cast<int>(ErrorCode::bad_input));
        EXPECT_NE(error.message.find("a record of years"), std::string::npos) << error.message;
        EXPECT_NE(error.message.find("rain"), std::string::npos) << error.message;
        EXPECT_TRUE(error.message.starts_with("merrow.toml:")) << error.message;
    }
    // The same rows twice are no years.
    StationTables tables;
    const std::string once = twelve_rows("Quay,XM,44.1,-38.2,26", "{m}0");
    tables.add_long_table("long", "rain", "rain = \"mm\"", once + once);
    EXPECT_EQ(rejected(tables.stations(), "month given twice"), 12);
}

TEST(LongTables, AScaleIsAppliedBeforeTheUnit) {
    StationTables tables;
    tables.add_long_table("long", "rain tmax", "rain = \"in\", tmax = \"degF\"",
                          twelve_rows("Quay,XM,44.1,-38.2,26", "30{m},5{m}0"),
                          "scale = { rain = 0.01, tmax = 0.1 }\n");
    const StationSet set = tables.stations();
    // 304 hundredths of an inch in April, and 540 tenths of a degree Fahrenheit.
    EXPECT_NEAR(values_of(set.stations[0], Variable::rain)[3], 3.04 * 25.4, 1e-9);
    EXPECT_NEAR(values_of(set.stations[0], Variable::tmax)[3], (54.0 - 32.0) / 1.8, 1e-9);
}

TEST(LongTables, CompressedFilesAndFoldersOfThem) {
    StationTables tables;
    const std::string header = "name,lat,lon,z,m,tx\n";
    const auto rows = [](const std::string& place) {
        std::string text;
        for (int month = 1; month <= kMonths; ++month)
            text += place + "," + std::to_string(month) + "," + std::to_string(month) + "\n";
        return text;
    };
    const std::string a = tables.add_file("a.csv", header + rows("A,44.1,-38.2,26"));
    const std::string b = tables.add_file("b.csv", header + rows("B,44.3,-38.2,26"));
    const std::string c = tables.add_file("c.csv", header + rows("C,44.5,-38.2,26"));
    std::filesystem::create_directory(tables.path("folder"));
    copy_file(a, "/vsigzip/" + tables.path("folder/a.csv.gz"));
    std::filesystem::copy(b, tables.path("folder/b.csv"));
    copy_file(c, "/vsizip/" + tables.path("c.zip") + "/c.csv");
    const std::string rest =
        "\"\nlayout = \"long\"\ncolumns = { name = \"name\", lat = \"lat\", lon = \"lon\", "
        "elevation = \"z\", month = \"m\", tmax = \"tx\" }\nunits = { tmax = \"degC\" }\n";
    tables.add_source({"Folder", "path = \"folder" + rest});
    tables.add_source({"Archive", "path = \"/vsizip/c.zip/*.csv" + rest});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 3U);
    for (const char* name : {"A", "B", "C"})
        EXPECT_EQ(values_of(station(set, name), Variable::tmax)[11], 12.0) << name;
    EXPECT_EQ(set.files[0].size(), 2U);
    EXPECT_EQ(station(set, "B").normals[0].lines[0].file, 1);
}

/// A table of nothing but rejected rows must not fill the memory; all are counted.
TEST(StationTable, ListsTenThousandRejectedValuesOfARule) {
    StationTables tables;
    std::string rows = twelve_rows("Sound,XM,45.0,-38.0,26", "{m}.5");
    for (int i = 0; i < 12'000; ++i) rows += "Wrong " + std::to_string(i) + ",XM,99,0,10,1,5.0\n";
    tables.add_long_table("many", "tmax", "tmax = \"degC\"", rows);
    const StationSet set = tables.stations();
    EXPECT_EQ(rejected(set, "position is impossible"), 12'000);
    EXPECT_EQ(set.tallies[0].examples.size(), 10'000U);
}

}  // namespace
}  // namespace thirstline
