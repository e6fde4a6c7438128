// Postal tables: three layouts, the rows that are used, and those that are reported.
#include "builder/postal/postal_table.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

class PostalTables : public testing::Test {
  protected:
    PostalRecipe table(const std::string& name, const std::string& content,
                       PostalLayout layout = PostalLayout::csv, const std::string& country = "US") {
        test::write_text(folder_ / name, content);
        PostalRecipe postal;
        postal.country = country;
        postal.path = folder_ / name;
        postal.layout = layout;
        postal.code_column = "zip";
        postal.lat_column = "lat";
        postal.lon_column = "lon";
        postal.where = "merrow.toml:7";
        return postal;
    }
    static Result<PostalTable> read(std::vector<PostalRecipe> postal) {
        return read_postal_tables(test::recipe_of_postal_codes(std::move(postal)));
    }
    static PostalTable sound(std::vector<PostalRecipe> postal) {
        auto read_table = read(std::move(postal));
        if (read_table) return std::move(*read_table);
        ADD_FAILURE() << read_table.error().message;
        return {};
    }
    static void expect_error(const PostalRecipe& postal, ErrorCode code, const std::string& says) {
        const auto read_table = read({postal});
        ASSERT_FALSE(read_table) << says;
        EXPECT_EQ(read_table.error().code, code);
        EXPECT_TRUE(read_table.error().message.starts_with("merrow.toml:7: "))
            << read_table.error().message;
        EXPECT_NE(read_table.error().message.find(says), std::string::npos)
            << read_table.error().message;
    }
    static const PostalPlace& place_of(const PostalTable& table, const std::string& code) {
        const auto found = std::find_if(table.places.begin(), table.places.end(),
                                        [&](const PostalPlace& each) { return each.code == code; });
        if (found != table.places.end()) return *found;
        ADD_FAILURE() << "no " << code;
        static const PostalPlace none;
        return none;
    }
    static void expect_at(const PostalPlace& place, double lat_deg, double lon_deg) {
        EXPECT_EQ(place.position, to_e7({lat_deg, lon_deg})) << place.code;
    }
    TempFolder folder_;
};

TEST_F(PostalTables, PlainCsvByItsColumnNames) {
    PostalRecipe postal = table("a.csv",
                                "\xEF\xBB\xBFtown,lon,zip,lat\r\n"
                                "\"Thessle, Lower\",-38.2,04102,44.5\r\n"
                                "Orr\xC3\xABmere,-37.5,00501,44.25\r\n");
    postal.place_column = "town";
    const PostalTable read_table = sound({postal});
    ASSERT_EQ(read_table.places.size(), 2U);
    EXPECT_EQ(read_table.rows_read, 2);
    EXPECT_EQ(read_table.places[0].code, "00501");  // zeros kept, and in order
    EXPECT_EQ(read_table.places[0].place, "Orr\xC3\xABmere");
    EXPECT_EQ(read_table.places[1].place, "Thessle, Lower");
    EXPECT_EQ(read_table.places[1].country, "US");
    expect_at(read_table.places[1], 44.5, -38.2);
    EXPECT_EQ(read_table.tallies[0].used, 2);
    EXPECT_TRUE(read_table.tallies[0].rejected.empty());
}

TEST_F(PostalTables, CodesOutsideTheReachAreCountedAndLeftOut) {
    const auto lattice = lattice_over_box(-39 * 3600, 44 * 3600, -37 * 3600, 46 * 3600, 900);
    Recipe recipe;
    recipe.lattice = *lattice;
    recipe.lattice.reach_m = 30'000;
    // 0.2° of latitude are 22 km, 0.3° are 33 km.
    recipe.postal = {table("a.csv",
                           "zip,lat,lon\n04101,46.2,-38\n04102,46.3,-38\n04103,45,-38\n"
                           "04104,20,-38\n04104,20,-38\n")};
    const auto read_table = read_postal_tables(recipe);
    ASSERT_TRUE(read_table) << read_table.error().message;
    ASSERT_EQ(read_table->places.size(), 2U);
    EXPECT_EQ(read_table->places[0].code, "04101");
    EXPECT_EQ(read_table->places[1].code, "04103");
    EXPECT_EQ(read_table->tallies[0].used, 2);
    EXPECT_EQ(read_table->tallies[0].outside, 2);
    EXPECT_TRUE(read_table->tallies[0].rejected.empty());

    recipe.postal = {table("b.csv", "zip,lat,lon\n04101,-38,45\n")};
    const auto swapped = read_postal_tables(recipe);
    ASSERT_FALSE(swapped);
    EXPECT_EQ(swapped.error().message,
              "merrow.toml:7: no postal code of b.csv is within 30 km of the lattice, but some "
              "would be with latitude and longitude exchanged");
    recipe.postal = {table("c.csv", "zip,lat,lon\n04101,20,-38\n")};
    const auto far = read_postal_tables(recipe);
    ASSERT_TRUE(far) << far.error().message;
    EXPECT_TRUE(far->places.empty());
    EXPECT_EQ(far->tallies[0].outside, 1);
}

// The columns of GeoNames' postal files, from its readme: country, code, place, three pairs of name
// and code, latitude, longitude, accuracy; no header, no quoting.
TEST_F(PostalTables, Geonames) {
    const PostalTable read_table = sound(
        {table("US.txt",
               "US\t04101\t\"Old\" Merrowmouth\tMerrow\tMW\tLow\t013\t\t\t44.1053\t-38.2310\t4\n"
               "US\t04102\tThessle\tMerrow\tMW\t\t\t\t\t44.5214\t-38.2015\t\n"
               "CA\tK1A\tElsewhere\t\t\t\t\t\t\t45.4\t-75.7\t\n",
               PostalLayout::geonames)});
    ASSERT_EQ(read_table.places.size(), 2U);
    EXPECT_EQ(place_of(read_table, "04101").place, "\"Old\" Merrowmouth");
    expect_at(place_of(read_table, "04102"), 44.5214, -38.2015);
    EXPECT_EQ(read_table.tallies[0].rejected.at("of another country than the recipe says"), 1);
}

// Tab-separated, with blanks after the last column's name, as the Census gazetteer has it.
TEST_F(PostalTables, CensusGazetteer) {
    const PostalTable read_table = sound(
        {table("zcta.txt",
               "GEOID\tALAND\tAWATER\tALAND_SQMI\tAWATER_SQMI\tINTPTLAT\tINTPTLONG               \n"
               "00601\t166659749\t799292\t64.3\t0.3\t18.180555\t-66.749961               \n"
               "00602\t79307535\t4428428\t30.6\t1.7\t18.361945\t-67.175597\n",
               PostalLayout::census_gazetteer)});
    ASSERT_EQ(read_table.places.size(), 2U);
    expect_at(read_table.places[0], 18.180555, -66.749961);
    EXPECT_EQ(read_table.places[1].code, "00602");
}

TEST_F(PostalTables, ThroughACompressedFile) {
    PostalRecipe postal = table("a.csv", "zip,lat,lon\n04101,44.1,-38.2\n04102,44.5,-38.1\n");
    copy_file(postal.path, "/vsigzip/" + (folder_ / "a.csv.gz"));
    postal.path = "/vsigzip/" + (folder_ / "a.csv.gz");
    EXPECT_EQ(sound({postal}).places.size(), 2U);
}

// Half a table must not pass for the whole of it.
TEST_F(PostalTables, ACompressedFileThatEndsTooSoonIsAnError) {
    std::string rows = "zip,lat,lon\n";
    for (int i = 10'000; i < 60'000; ++i)
        rows += std::to_string(i) + ",44." + std::to_string(i * 7919 % 100'000) + ",-38.2\n";
    PostalRecipe postal = table("a.csv", rows);
    copy_file(postal.path, "/vsigzip/" + (folder_ / "a.csv.gz"));
    const std::string whole = test::content_of(folder_ / "a.csv.gz");
    for (const double share : {0.3, 0.7, 0.97}) {
        const auto bytes = static_cast<std::size_t>(share * static_cast<double>(whole.size()));
        const std::string name = "cut" + std::to_string(bytes) + ".csv.gz";
        test::write_text(folder_ / name, whole.substr(0, bytes));
        postal.path = "/vsigzip/" + (folder_ / name);
        expect_error(postal, ErrorCode::bad_input, "damaged");
    }
}

TEST_F(PostalTables, CodesAreKeptInNormalForm) {
    PostalRecipe us =
        table("us.csv", "zip,lat,lon\n97401-1234, 44.05 ,+123.5\n 00501 ,40.8,-73.0\n");
    EXPECT_EQ(place_of(sound({us}), "97401").code, "97401");
    expect_at(place_of(sound({us}), "97401"), 44.05, 123.5);
    expect_at(place_of(sound({us}), "00501"), 40.8, -73.0);

    const PostalTable canada =
        sound({table("ca.csv", "zip,lat,lon\nK1A 0B1,45.42,-75.70\nk1b,45.43,-75.60\n",
                     PostalLayout::csv, "CA")});
    ASSERT_EQ(canada.places.size(), 2U);
    EXPECT_EQ(canada.places[0].code, "K1A");
    EXPECT_EQ(canada.places[1].code, "K1B");
    const PostalTable mexico = sound({table(
        "mx.csv", "zip,lat,lon\n01000,19.35,-99.2\n1000,19.4,-99.2\n", PostalLayout::csv, "MX")});
    ASSERT_EQ(mexico.places.size(), 1U);
    EXPECT_EQ(mexico.places[0].code, "01000");
    EXPECT_EQ(mexico.tallies[0].rejected.at("not a postal code of MX"), 1);
}

TEST_F(PostalTables, ARowMayNameItsOwnCountry) {
    PostalRecipe postal = table("a.csv",
                                "zip,lat,lon,cc\n97401,44.05,-123.1,us\nK1A,45.4,-75.7,CA\n"
                                "97401,19.3,-99.2,MX\n11111,1,1,Merrow\n");
    postal.country_column = "cc";
    const PostalTable read_table = sound({postal});
    ASSERT_EQ(read_table.places.size(), 3U);
    EXPECT_EQ(read_table.places[0].country, "MX");
    EXPECT_EQ(read_table.places[1].country, "US");
    EXPECT_EQ(read_table.places[2].country, "CA");
    EXPECT_EQ(read_table.tallies[0].rejected.at("not a country code"), 1);
}

TEST_F(PostalTables, WhatCannotBeAPositionIsReportedByLineAndNotUsed) {
    const PostalTable read_table = sound({table("a.csv",
                                                "zip,lat,lon\n"
                                                "10001,44.1,-38.2\n"
                                                "10002,91,-38.2\n"
                                                "10003,44.1,181\n"
                                                "10004,0,0\n"
                                                "10005,north,-38.2\n"
                                                "10006,nan,-38.2\n"
                                                "10007,0x10,-38.2\n"
                                                "10008,44.1\n"
                                                "10009,\"44,1\",-38.2\n"
                                                "1000,44.1,-38.2\n"
                                                "10011,inf,-38.2\n")});
    ASSERT_EQ(read_table.places.size(), 1U);
    const SourceTally& tally = read_table.tallies[0];
    EXPECT_EQ(read_table.rows_read, 11);
    EXPECT_EQ(tally.used, 1);
    EXPECT_EQ(tally.rejected.at("position is impossible"), 3);
    EXPECT_EQ(tally.rejected.at("position cannot be read"), 6);
    EXPECT_EQ(tally.rejected.at("not a postal code of US"), 1);
    ASSERT_EQ(tally.examples.size(), 10U);
    const Suspect& first = tally.examples.front();
    EXPECT_EQ(first.line, 3);
    EXPECT_EQ(first.file, "a.csv");
    EXPECT_EQ(first.value, "91,-38.2");
    EXPECT_EQ(first.action, "not used");
    EXPECT_NE(first.variable.find("10002"), std::string::npos);
    EXPECT_EQ(tally.examples.back().line, 12);
}

TEST_F(PostalTables, SeveralPlacesOfOneCodeGiveTheirMedian) {
    const PostalTable read_table =
        sound({table("a.csv",
                     "zip,lat,lon\n"
                     "10001,44.0,-38.0\n10001,44.3,-38.1\n10001,44.1,-38.4\n"
                     "10002,44.0,-38.0\n10002,44.2,-38.2\n")});
    expect_at(place_of(read_table, "10001"), 44.1, -38.1);
    expect_at(place_of(read_table, "10002"), 44.1, -38.1);
    EXPECT_TRUE(read_table.tallies[0].rejected.empty());
    EXPECT_EQ(read_table.tallies[0].used, 5);
}

TEST_F(PostalTables, TheMedianHoldsAcrossTheAntimeridian) {
    const PostalTable read_table = sound(
        {table("a.csv", "zip,lat,lon\n10001,52.0,179.9\n10001,52.0,-179.9\n10001,52.0,-179.8\n")});
    expect_at(place_of(read_table, "10001"), 52.0, -179.9);
}

// The same place again is no new information, wherever in the table it stands, and does not draw
// the median to itself.
TEST_F(PostalTables, TheSamePlaceCountsOnce) {
    const PostalTable read_table = sound({table("a.csv",
                                                "zip,lat,lon\n10001,44.0,-38.0\n10001,44.2,-38.2\n"
                                                "10001,44.0,-38.0\n10001,44.0,-38.0\n")});
    expect_at(place_of(read_table, "10001"), 44.1, -38.1);
    EXPECT_EQ(read_table.tallies[0].used, 2);
    EXPECT_EQ(read_table.tallies[0].rejected.at("repeated with the same position"), 2);
    ASSERT_EQ(read_table.tallies[0].examples.size(), 2U);
    EXPECT_EQ(read_table.tallies[0].examples[0].line, 4);
}

TEST_F(PostalTables, ReportsAndKeepsPlacesFarApart) {
    const PostalTable read_table = sound(
        {table("a.csv", "zip,lat,lon\n10001,44.0,-38.0\n10001,46.0,-38.0\n10001,44.1,-38.0\n")});
    expect_at(place_of(read_table, "10001"), 44.1, -38.0);
    const SourceTally& tally = read_table.tallies[0];
    EXPECT_EQ(tally.rejected.at("places of one code are far apart"), 1);
    ASSERT_EQ(tally.examples.size(), 1U);
    EXPECT_EQ(tally.examples[0].line, 2);
    EXPECT_EQ(tally.examples[0].value, "211 km");  // 1.9 degrees of 111.2 km
}

TEST_F(PostalTables, PrefersTheFirstOfTwoTables) {
    PostalRecipe second = table("b.csv",
                                "zip,lat,lon,town\n10001,45.0,-38.0,Merrowhead\n"
                                "10002,44.01,-38.0,Pellimoor\n10003,44.5,-38.0,Ostrey\n");
    second.place_column = "town";
    const PostalTable read_table =
        sound({table("a.csv", "zip,lat,lon\n10001,44.0,-38.0\n10002,44.0,-38.0\n"), second});
    ASSERT_EQ(read_table.places.size(), 3U);
    expect_at(place_of(read_table, "10001"), 44.0, -38.0);
    EXPECT_EQ(place_of(read_table, "10001").place, "Merrowhead");  // the first knew none
    expect_at(place_of(read_table, "10003"), 44.5, -38.0);
    ASSERT_EQ(read_table.tallies.size(), 2U);
    EXPECT_TRUE(read_table.tallies[0].rejected.empty());
    EXPECT_EQ(read_table.tallies[1].rejected.at("far from its position in an earlier table"), 1);
    EXPECT_EQ(read_table.tallies[1].examples[0].action, "the earlier table was used");
}

TEST_F(PostalTables, AMissingColumnNamesTheNearest) {
    expect_error(table("a.csv", "zipp,lat,lon\n1,2,3\n"), ErrorCode::bad_input,
                 "no column \"zip\"; did you mean \"zipp\"?");
    expect_error(table("a.csv", "zip,latitude,lon\n1,2,3\n"), ErrorCode::bad_input, "\"latitude\"");
    PostalRecipe postal = table("a.csv", "zip,lat,lon,Town\n10001,2,3,x\n");
    postal.place_column = "town";
    expect_error(postal, ErrorCode::bad_input, "did you mean \"Town\"?");
    expect_error(table("a.txt", "zip,lat,lon\n10001,2,3\n", PostalLayout::census_gazetteer),
                 ErrorCode::bad_input, "\"GEOID\"");
}

TEST_F(PostalTables, FilesWithoutOneUsableRow) {
    expect_error(table("a.csv", ""), ErrorCode::bad_input, "a.csv is empty");
    expect_error(table("a.csv", "\n\n"), ErrorCode::bad_input, "a.csv is empty");
    expect_error(table("a.csv", "zip,lat,lon\n"), ErrorCode::bad_input, "no row");
    expect_error(table("a.csv", "zip,lat,lon\nx,y,z\n"), ErrorCode::bad_input, "no row");
    expect_error(table("a.txt", "", PostalLayout::geonames), ErrorCode::bad_input, "no row");
    expect_error(table("a.txt", "zip,lat,lon\n10001,2,3\n", PostalLayout::geonames),
                 ErrorCode::bad_input, "no row");
}

TEST_F(PostalTables, FilesThatAreNotThere) {
    PostalRecipe postal = table("a.csv", "");
    for (const std::string& path :
         {folder_ / "nowhere.csv", "/vsigzip/" + (folder_ / "nowhere.csv.gz"), folder_ / "."}) {
        postal.path = path;
        expect_error(postal, ErrorCode::io, path);
    }
}

// The editions since 2025 are separated by "|" and have a column more; names are invented.
TEST_F(PostalTables, CensusGazetteerSeparatedByBars) {
    const PostalTable read_table = sound({table("gaz.txt",
                                                "GEOID|GEOIDFQ|ALAND|AWATER|INTPTLAT|INTPTLONG   \n"
                                                "04101|860Z200US04101|1,5|\"2|44.1053|-38.2310\n",
                                                PostalLayout::census_gazetteer)});
    ASSERT_EQ(read_table.places.size(), 1U);
    expect_at(place_of(read_table, "04101"), 44.1053, -38.2310);
    EXPECT_TRUE(read_table.tallies[0].rejected.empty());
}

TEST_F(PostalTables, SeparatorAndDecimalCommaOfACsv) {
    PostalRecipe postal = table("a.csv", "Codes\nzip;lat;lon\n04101;44,5;-38,2\n");
    postal.format.separator = ';';
    postal.format.decimal_comma = true;
    postal.format.header = "zip";
    expect_at(place_of(sound({postal}), "04101"), 44.5, -38.2);
}

TEST_F(PostalTables, AnArchiveOfSeveralFilesNamesThem) {
    PostalRecipe postal = table("a.csv", "zip,lat,lon\n04101,44.5,-38.2\n");
    const std::string zip = folder_ / "US.zip";
    copy_file(postal.path, "/vsizip/" + zip + "/US.csv");
    const std::string plain = postal.path;
    postal.path = zip;
    expect_at(place_of(sound({postal}), "04101"), 44.5, -38.2);
    copy_file(plain, "/vsizip/" + zip + "/readme.txt");
    expect_error(postal, ErrorCode::bad_input,
                 "US.zip has several files (US.csv, readme.txt); it must have one table");
    postal.path = zip + "/US.csv";
    expect_at(place_of(sound({postal}), "04101"), 44.5, -38.2);
}

}  // namespace
}  // namespace thirstline
