// Keys of [[stations]] for tables as they are published: separators, lines before the header,
// decimal commas, units beside numbers, scale and offset, choice of rows, flags, missing columns,
// archives.
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

const std::string kMonthColumns =
    "jan = \"1\", feb = \"2\", mar = \"3\", apr = \"4\", may = \"5\", jun = \"6\", jul = \"7\", "
    "aug = \"8\", sep = \"9\", oct = \"10\", nov = \"11\", dec = \"12\"";

/// The first lines of the source are its own; `columns` are in addition to those of the months.
std::string wide(const std::string& lines, const std::string& columns) {
    return "path = \"a.csv\"\nlayout = \"wide\"\n" + lines + "columns = { " + columns + ", " +
           kMonthColumns + " }\n";
}

const std::string kPlace = "name = \"name\", lat = \"lat\", lon = \"lon\", elevation = \"z\"";

double value(const StationSet& set, const std::string& name, Variable variable, int month) {
    return values_of(station(set, name), variable)[static_cast<std::size_t>(month - 1)];
}

void expect_refusal(const StationTables& tables, const std::string& message,
                    const std::string& hint = "") {
    const Error error = tables.error();
    EXPECT_EQ(static_cast<int>(error.code), static_cast<int>(ErrorCode::bad_input));
    EXPECT_TRUE(error.message.starts_with("merrow.toml:")) << error.message;
    EXPECT_NE(error.message.find(message), std::string::npos) << error.message;
    EXPECT_NE(error.hint.find(hint), std::string::npos) << error.hint;
}

TEST(StationKeys, SeparatorHeaderAndDecimalComma) {
    StationTables tables;
    tables.add_file("a.csv",
                    "Valley; \"normals\nof 1991-2020\n\n"
                    "name;lat;lon;z;1;2;3;4;5;6;7;8;9;10;11;12;\n"
                    "Quay;44,1;-38,2;26,5;-0,5;,2;1,5;4;5;6;7;8;9;10;11;12;\n"
                    "\x1A");
    tables.add_source({"Cold", wide("variable = \"tmin\"\nunit = \"degC\"\nseparator = \";\"\n"
                                    "header = \"name;\"\ndecimal = \",\"\n",
                                    kPlace)});
    const StationSet set = tables.stations();
    const Station& quay = station(set, "Quay");
    EXPECT_NEAR(quay.position.lat_deg, 44.1, 1e-9);
    EXPECT_NEAR(quay.position.lon_deg, -38.2, 1e-9);
    EXPECT_EQ(quay.elevation_m, 26.5);
    EXPECT_EQ(value(set, "Quay", Variable::tmin, 1), -0.5);
    EXPECT_EQ(value(set, "Quay", Variable::tmin, 2), 0.2);
    EXPECT_EQ(quay.normals[0].lines[0].line, 5);
    EXPECT_EQ(rejected(set), 0);
}

TEST(StationKeys, ALineOfNamesThatIsNotThere) {
    const auto refuse = [](const std::string& key, const std::string& message,
                           const std::string& hint = "") {
        StationTables tables;
        tables.add_file("a.csv", "Valley\nname,lat,lon,z,1,2,3,4,5,6,7,8,9,10,11,12\n");
        tables.add_source({"Cold", wide("variable = \"tmin\"\nunit = \"degC\"\n" + key, kPlace)});
        expect_refusal(tables, message, hint);
    };
    refuse("header = \"station\"\n", "no line of a.csv begins with \"station\"",
           "write the first characters of the line of column names to header");
    refuse("skip_rows = 2\n", "a.csv has only 2 lines, and the recipe skips 2",
           "correct skip_rows");
    refuse("separator = \"|\"\nskip_rows = 1\n", "a.csv has no column \"name\"");
    refuse("", "a.csv has no column \"name\"");
}

TEST(StationKeys, FilesOfAnArchiveThatAreNotThere) {
    StationTables tables;
    tables.add_file("x", "name\n");
    copy_file(tables.path("x"), "/vsizip/" + tables.path("all.zip") + "/a.csv");
    tables.add_source(
        {"All", "path = \"all.zip/*.txt\"\nlayout = \"long\"\ncolumns = { " + kPlace +
                    ", month = \"m\", tmax = \"tx\" }\nunits = { tmax = \"degC\" }\n"});
    const Error error = tables.error();
    EXPECT_EQ(static_cast<int>(error.code), static_cast<int>(ErrorCode::io));
    EXPECT_TRUE(error.message.starts_with("merrow.toml:20: no file in ")) << error.message;
    EXPECT_TRUE(error.message.ends_with("all.zip fits *.txt")) << error.message;
}

// A column of days passes for months until the thirteenth.
TEST(StationKeys, AColumnWithoutMonthsIsAnError) {
    StationTables tables;
    std::string rows = "name,lat,lon,z,number,tx\n";
    for (int number = 1; number <= 31; ++number)
        rows += "Quay,44.1,-38.2,26," + std::to_string(number) + ",5\n";
    tables.add_file("a.csv", rows);
    tables.add_source(
        {"Days", "path = \"a.csv\"\nlayout = \"long\"\ncolumns = { " + kPlace +
                     ", month = \"number\", tmax = \"tx\" }\nunits = { tmax = \"degC\" }\n"});
    expect_refusal(tables, "has no month (1 to 12) in most rows (the first is \"13\" at a.csv:14)",
                   "name the column of the month's number");
}

TEST(StationKeys, AnUnnamedSeparatorIsSuggested) {
    StationTables tables;
    tables.add_file("a.csv", "name;lat;lon;z;1;2\nQuay;44.1;-38.2;26;1;2\n");
    tables.add_source({"Cold", wide("variable = \"tmin\"\nunit = \"degC\"\n", kPlace)});
    expect_refusal(tables, "a.csv has no column \"name\"", "set separator = \";\"");
}

TEST(StationKeys, UnitsBesideNumbersMustBeTheRecipes) {
    StationTables tables;
    tables.add_file("a.csv",
                    "name,lat,lon,z,1,2,3,4,5,6,7,8,9,10,11,12\n"
                    "Quay,44.1 °,-38.2 °,409.4 m,-11.1C,1.5 °C,2 degC,36 F,5,6,7,8,9,10*,11,12\n"
                    "Bank,44.3,-38.4,1890.8 msnm,1,2,3,4,5,6,7,8,9,10,11,12\n"
                    "Hill,44.5,-38.4,900 ft,1,2,3,4,5,6,7,8,9,10,11,12\n");
    tables.add_source({"Warm", wide("variable = \"tmean\"\nunit = \"degC\"\n", kPlace)});
    const StationSet set = tables.stations();
    EXPECT_EQ(station(set, "Quay").elevation_m, 409.4);
    EXPECT_EQ(station(set, "Bank").elevation_m, 1890.8);
    EXPECT_TRUE(std::isnan(station(set, "Hill").elevation_m));
    EXPECT_EQ(example(set, "elevation cannot be read").value, "900 ft");
    EXPECT_EQ(value(set, "Quay", Variable::tmean, 1), -11.1);
    EXPECT_EQ(value(set, "Quay", Variable::tmean, 2), 1.5);
    EXPECT_EQ(value(set, "Quay", Variable::tmean, 3), 2.0);
    const std::string rule = "the text after the number is not the recipe's unit";
    EXPECT_EQ(rejected(set, rule), 2);
    EXPECT_EQ(example(set, rule).value, "36 F");
    EXPECT_EQ(example(set, rule).line, 2);
    EXPECT_EQ(example(set, rule).month, 4);
}

TEST(StationKeys, OffsetAndCodesOfZero) {
    StationTables tables;
    tables.add_long_table("long", "rain tmax", "rain = \"in\", tmax = \"K\"",
                          "Quay,XM,44.1,-38.2,26,1,-7777,100\nQuay,XM,44.1,-38.2,26,2,T,200\n"
                          "Quay,XM,44.1,-38.2,26,3,304,300\n",
                          "scale = { rain = 0.01, tmax = 0.1 }\noffset = { tmax = 253.15 }\n"
                          "zero = [-7777, \"T\"]\n");
    const StationSet set = tables.stations();
    EXPECT_EQ(value(set, "Quay", Variable::rain, 1), 0.0);
    EXPECT_EQ(value(set, "Quay", Variable::rain, 2), 0.0);
    EXPECT_NEAR(value(set, "Quay", Variable::rain, 3), 3.04 * 25.4, 1e-9);
    EXPECT_NEAR(value(set, "Quay", Variable::tmax, 1), -10.0, 1e-9);
    EXPECT_NEAR(value(set, "Quay", Variable::tmax, 3), 10.0, 1e-9);
    EXPECT_EQ(rejected(set), 0);
}

TEST(StationKeys, AScaleThatMakesValuesImplausibleIsNamed) {
    StationTables tables;
    tables.add_long_table("long", "tmax", "tmax = \"degC\"",
                          twelve_rows("Quay,XM,44.1,-38.2,26", "2{m}"), "scale = { tmax = 10 }\n");
    expect_refusal(tables,
                   "are not plausible in degC with the recipe's scale and offset (the first "
                   "is 21 at long.csv:2); correct the scale, the offset or the unit");
    // The line is that of the scale, not of the table.
    EXPECT_TRUE(tables.error().message.starts_with("merrow.toml:30: ")) << tables.error().message;
}

const std::string kElementTable =
    "name,lat,lon,z,kind,element,1,2,3,4,5,6,7,8,9,10,11,12,code\n"
    "Quay,44.1,-38.2,26,Normal,Maximum (C),11,12,13,14,15,16,17,18,19,20,21,22,A\n"
    "Quay,44.1,-38.2,26,Extreme,Maximum (C),41,42,43,44,45,46,47,48,49,50,51,52,\n"
    "Quay,44.1,-38.2,26,Normal,Rain (mm),1,2,3,4,5,6,7,8,9,10,11,12,C\n"
    "Quay,44.1,-38.2,26,Normal,Dates,1/2,3/4,,,,,,,,,,,\n"
    "Bank,44.5,-38.2,90,Normal,Rain (mm),2,3,4,5,6,7,8,9,10,11,12,13,A\n"
    "Lost,north,west,90,Normal,Dates,1,2,3,4,5,6,7,8,9,10,11,12,A\n";

std::string elements(const std::string& conditions, const std::string& more = "") {
    return wide(
        "where = { " + conditions + " }\nunits = { tmax = \"degC\", rain = \"mm\" }\n" + more,
        kPlace + ", flag = \"code\"");
}
const std::string kSoundConditions =
    "kind = \"Normal\", tmax = { element = \"Maximum (C)\" }, rain = { element = [\"Rain (mm)\", "
    "\"Precipitation (mm)\"] }";

TEST(StationKeys, RowsByVariable) {
    StationTables tables;
    tables.add_file("a.csv", kElementTable);
    tables.add_source({"Elements", elements(kSoundConditions, "flags = \"eccc\"\n")});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 2U);  // and nothing is said of rows that are not wanted
    EXPECT_EQ(rejected(set), 0);
    EXPECT_EQ(value(set, "Quay", Variable::tmax, 1), 11.0);
    EXPECT_EQ(value(set, "Quay", Variable::rain, 12), 12.0);
    EXPECT_EQ(value(set, "Bank", Variable::rain, 12), 13.0);
    EXPECT_EQ(normals_of(station(set, "Quay"), Variable::tmax)->length,
              RecordLength::standard_normal);
    EXPECT_EQ(normals_of(station(set, "Quay"), Variable::rain)->length, RecordLength::short_record);
    EXPECT_EQ(normals_of(station(set, "Quay"), Variable::rain)->lines[0].line, 4);
}

TEST(StationKeys, RowsOfALongTable) {
    StationTables tables;
    std::string rows = "name,lat,lon,z,m,element,value\n";
    for (int month = 1; month <= kMonths; ++month) {
        const std::string row = "Quay,44.1,-38.2,26," + std::to_string(month);
        rows += row + ",TX," + std::to_string(month) + "\n" + row + ",PR,5" +
                std::to_string(month) + "\n" + row + ",SN,x\n";
    }
    tables.add_file("a.csv", rows);
    tables.add_source(
        {"Elements",
         "path = \"a.csv\"\nlayout = \"long\"\nwhere = { tmax = { element = \"TX\" }, "
         "rain = { element = \"PR\" } }\ncolumns = { " +
             kPlace +
             ", month = \"m\", tmax = \"value\", rain = \"value\" }\n"
             "units = { tmax = \"degC\", rain = \"mm\" }\n"});
    const StationSet set = tables.stations();
    EXPECT_EQ(value(set, "Quay", Variable::tmax, 7), 7.0);
    EXPECT_EQ(value(set, "Quay", Variable::rain, 7), 57.0);
    EXPECT_EQ(rejected(set), 0);
}

TEST(StationKeys, ConditionsThatChooseNothing) {
    const auto with = [](const std::string& conditions) {
        StationTables tables;
        tables.add_file("a.csv", kElementTable);
        tables.add_source({"Elements", elements(conditions)});
        return tables.error();
    };
    const Error value = with(
        "kind = \"Normal\", tmax = { element = \"Maximum C\" }, rain = { "
        "element = \"Rain (mm)\" }");
    EXPECT_NE(value.message.find("has \"Maximum C\" in column \"element\"; did you mean \"Maximum "
                                 "(C)\"?"),
              std::string::npos)
        << value.message;
    EXPECT_TRUE(value.message.starts_with("merrow.toml:27: no row of ")) << value.message;
    const std::string rain = ", rain = { element = \"Rain (mm)\" }";
    const Error column = with("knd = \"Normal\", tmax = { element = \"Maximum (C)\" }" + rain);
    EXPECT_NE(column.message.find("a.csv has no column \"knd\"; did you mean \"kind\"?"),
              std::string::npos)
        << column.message;
    const Error together = with("kind = \"Extreme\", tmax = { element = \"Maximum (C)\" }" + rain);
    EXPECT_NE(together.message.find("has \"Rain (mm)\" in column \"element\""), std::string::npos)
        << together.message;
}

TEST(StationKeys, FlagsWithoutAMeaningAreReported) {
    StationTables tables;
    tables.add_file("a.csv", kElementTable);
    tables.add_source(
        {"Elements", elements(kSoundConditions, "flags = { A = \"standard\", B = \"short\" }\n")});
    const StationSet set = tables.stations();
    EXPECT_EQ(rejected(set, "flag without a meaning in the recipe"), 1);
    const Suspect unknown = example(set, "flag without a meaning in the recipe");
    EXPECT_EQ(unknown.value, "C");
    EXPECT_EQ(unknown.line, 4);
    EXPECT_EQ(unknown.variable, "rain");
    EXPECT_EQ(unknown.action, "record length not stated");
    EXPECT_EQ(normals_of(station(set, "Quay"), Variable::rain)->length, RecordLength::not_stated);
    EXPECT_EQ(normals_of(station(set, "Bank"), Variable::rain)->length,
              RecordLength::standard_normal);
}

// C is a full normal in the U.S. notation, and fewer than 25 years in Canada's. A letter that the
// first does not have shows that the table is in another.
TEST(StationKeys, WithoutAStatementOneForeignFlagMakesAllDoubtful) {
    StationTables tables;
    tables.add_file("a.csv", kElementTable);
    tables.add_source({"Elements", elements(kSoundConditions)});
    const StationSet set = tables.stations();
    EXPECT_EQ(rejected(set, "flag without a meaning in the recipe"), 2);
    EXPECT_EQ(normals_of(station(set, "Quay"), Variable::rain)->length, RecordLength::not_stated);
}

TEST(StationKeys, AFileMayLackAVariable) {
    StationTables tables;
    std::filesystem::create_directory(tables.path("all"));
    tables.add_file("all/a.csv", "name,lat,lon,z,m,tx,years\nA,44.1,-38.2,26,1,5,30\n");
    tables.add_file("all/b.csv", "pr,name,lat,lon,z,m\n7,B,44.5,-38.2,26,1\n");
    tables.add_file("all/c.csv", "name,lat,lon,z,m\nC,44.7,-38.2,26,1\n");
    const std::string rest =
        "layout = \"long\"\ncolumns = { " + kPlace +
        ", month = \"m\", tmax = \"tx\", rain = \"pr\", years_tmax = \"years\" }\nunits = { tmax = "
        "\"degC\", rain = \"mm\" }\n";
    tables.add_source({"All", "path = \"all\"\n" + rest});
    const StationSet set = tables.stations();
    EXPECT_EQ(value(set, "A", Variable::tmax, 1), 5.0);
    EXPECT_EQ(value(set, "B", Variable::rain, 1), 7.0);
    EXPECT_EQ(rejected(set), 0);
    EXPECT_EQ(set.variables_in_files[0].files, 3);
    EXPECT_EQ(set.variables_in_files[0].without,
              (std::map<std::string, std::int64_t>{{"tmax", 2}, {"rain", 2}}));

    StationTables none;
    std::filesystem::create_directory(none.path("all"));
    none.add_file("all/a.csv", "name,lat,lon,z,m,tx,years\nA,44.1,-38.2,26,1,5,30\n");
    none.add_file("all/c.csv", "name,lat,lon,z,m\nC,44.7,-38.2,26,1\n");
    none.add_source({"All", "path = \"all\"\n" + rest});
    expect_refusal(none, "a.csv has no column \"pr\", nor has any other file of ");
    none.add_file("all/a.csv", "name,lat,lon,z,m,tx,prr,years\nA,44.1,-38.2,26,1,5,7,30\n");
    expect_refusal(none, "a.csv has no column \"pr\"; did you mean \"prr\"? No other file of ");
    none.add_file("all/a.csv", "name,lat,lon,z,month,tx,pr,years\nA,44.1,-38.2,26,1,5,7,30\n");
    expect_refusal(none, "a.csv has no column \"m\"");
}

TEST(StationKeys, AnArchiveIsReadAsAFolder) {
    StationTables tables;
    const std::string zip = "/vsizip/" + tables.path("all.zip") + "/";
    const auto pack = [&](const std::string& name, const std::string& place) {
        tables.add_file("x", "name,lat,lon,z,m,tx\n" + twelve_rows(place + ",26", "{m}"));
        copy_file(tables.path("x"), zip + name);
    };
    pack("b.csv", "B,44.5,-38.2");
    pack("a.csv", "A,44.1,-38.2");
    const std::string rest = "\"\nlayout = \"long\"\ncolumns = { " + kPlace +
                             ", month = \"m\", tmax = \"tx\" }\nunits = { tmax = \"degC\" }\n";
    tables.add_source({"All", "path = \"all.zip" + rest});
    const StationSet set = tables.stations();
    ASSERT_EQ(set.stations.size(), 2U);
    EXPECT_EQ(set.stations[0].name, "A");  // by name, although it comes last
    EXPECT_TRUE(set.files[0].at(0).ends_with("all.zip/b.csv"));
    EXPECT_EQ(set.stations[0].normals[0].lines[0].file, 1);
    EXPECT_EQ(set.inputs[0], std::vector{tables.path("all.zip")});

    tables.add_file("x", "id,lat,lon\nA,44.1,-38.2\n");
    copy_file(tables.path("x"), zip + "inventory.csv");
    expect_refusal(tables,
                   "inventory.csv has no column \"name\"; it is in all.zip, whose b.csv has the "
                   "columns: these are different tables",
                   "such as \"all.zip/b.csv\"");
}

}  // namespace
}  // namespace thirstline
