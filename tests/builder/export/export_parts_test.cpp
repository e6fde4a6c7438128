// The small parts of exports and joins: boxes, decimals, times of a climatology, ranges of tile
// rows.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/export/climatology_time.hpp"
#include "builder/export/exact_decimals.hpp"
#include "builder/export/lat_lon_box.hpp"
#include "builder/export/provenance.hpp"
#include "schema/database/tile_row_ranges.hpp"

namespace thirstline {
namespace {

LatLonBox box(std::string_view text) {
    const auto parsed = parsed_box(text);
    EXPECT_TRUE(parsed) << text;
    return parsed.value_or(LatLonBox{});
}

LatLonE7 e7(double lat, double lon) {
    return to_e7({lat, lon});
}

TEST(ExportParts, HoldsItsEdges) {
    const LatLonBox valley = box("-38.5,44.2,-37.9,44.8");
    for (const double lat : {44.2, 44.5, 44.8}) {
        for (const double lon : {-38.5, -38.0, -37.9}) EXPECT_TRUE(holds(valley, e7(lat, lon)));
    }
    EXPECT_FALSE(holds(valley, e7(44.1999999, -38.0)));
    EXPECT_FALSE(holds(valley, e7(44.8000001, -38.0)));
    EXPECT_FALSE(holds(valley, e7(44.5, -38.5000001)));
    EXPECT_FALSE(holds(valley, e7(44.5, -37.8999999)));
}

TEST(ExportParts, MayCrossTheAntimeridian) {
    const LatLonBox crossing = box("170,-20,-170,10");
    EXPECT_TRUE(holds(crossing, e7(0, 175)));
    EXPECT_TRUE(holds(crossing, e7(0, -180)));
    EXPECT_TRUE(holds(crossing, e7(0, -170)));
    EXPECT_FALSE(holds(crossing, e7(0, -169.9999999)));
    EXPECT_FALSE(holds(crossing, e7(0, 0)));
}

TEST(ExportParts, MayBeTheWholeCircleOrASinglePlace) {
    EXPECT_EQ(box("-180,-90,180,90").width, kUnitsPerCircle);
    EXPECT_EQ(box("180,-90,-180,90").width, 0);  // a meridian
    const LatLonBox place = box("12,45,12,45");
    EXPECT_TRUE(holds(place, e7(45, 12)));
    EXPECT_FALSE(holds(place, e7(45, 12.0000001)));
}

TEST(ExportParts, ReachesIntoWhatItSharesMoreThanAnEdgeWith) {
    const LatLonBox left = box("10,0,20,10");
    EXPECT_TRUE(reaches_into(left, box("19.9,5,30,6")));
    EXPECT_FALSE(reaches_into(left, box("20,5,30,6")));
    EXPECT_TRUE(touches(left, box("20,5,30,6")));
    EXPECT_FALSE(reaches_into(left, box("12,10,13,11")));
    EXPECT_TRUE(touches(left, box("12,10,13,11")));
    EXPECT_FALSE(touches(left, box("20.0000001,5,30,6")));
    EXPECT_TRUE(reaches_into(box("15,5,15,5"), left));   // a place within
    EXPECT_FALSE(reaches_into(box("10,5,10,5"), left));  // a place on the edge
    EXPECT_TRUE(contains(left, box("10,0,20,10")));
    EXPECT_FALSE(contains(left, box("10,0,20.1,10")));
}

TEST(ExportParts, WidenedContainsWhatIsWithinTheDistance) {
    for (const char* text : {"10,0,20,10", "-179,-60,179,-50", "170,70,-170,80", "0,84,1,89"}) {
        const LatLonBox small = box(text);
        const LatLonBox wide = widened(small, 100'000.0);
        for (double bearing = 0.0; bearing < 6.28; bearing += 0.1) {
            for (const bool north : {false, true}) {
                // 99 km from a corner, by the sine formula on the sphere.
                const LatLon corner{static_cast<double>(north ? small.north : small.south) / 9e7,
                                    static_cast<double>(small.west + small.width) / 9e7};
                const double angle = 99.0 / 6371.0;
                const double lat1 = corner.lat_deg * 3.14159265358979 / 180.0;
                const double lat2 = std::asin(std::sin(lat1) * std::cos(angle) +
                                              std::cos(lat1) * std::sin(angle) * std::cos(bearing));
                const double east = std::atan2(std::sin(bearing) * std::sin(angle) * std::cos(lat1),
                                               std::cos(angle) - std::sin(lat1) * std::sin(lat2));
                EXPECT_TRUE(holds(wide, e7(lat2 * 180.0 / 3.14159265358979,
                                           corner.lon_deg + east * 180.0 / 3.14159265358979)))
                    << text << " " << bearing;
            }
        }
    }
}

TEST(ExportParts, SaysWhatIsWrongWithIt) {
    for (const char* text :
         {"", "1,2,3", "1,2,3,4,5", "1;2;3;4", "a,2,3,4", "1,2,nan,4", "1,2,3,inf", "181,0,3,4",
          "1,-91,3,4", "1,5,3,4", "0x1,2,3,4", "1,2,3,"}) {
        const auto parsed = parsed_box(text);
        ASSERT_FALSE(parsed) << text;
        EXPECT_EQ(parsed.error().code, ErrorCode::usage);
        EXPECT_NE(parsed.error().message.find("--bbox"), std::string::npos);
    }
}

std::string decimal(std::int64_t numerator, std::int64_t denominator, int decimals) {
    std::string text;
    append_decimal(text, numerator, denominator, decimals);
    return text;
}

TEST(Decimals, AreRoundedHalfAwayFromZero) {
    EXPECT_EQ(decimal(5, 100, 1), "0.1");
    EXPECT_EQ(decimal(-5, 100, 1), "-0.1");
    EXPECT_EQ(decimal(4, 100, 1), "0.0");
    EXPECT_EQ(decimal(-4, 100, 1), "0.0");
    EXPECT_EQ(decimal(12345, 100, 2), "123.45");
    EXPECT_EQ(decimal(7, 1, 0), "7");
    EXPECT_EQ(decimal(1, 3, 4), "0.3333");
    EXPECT_EQ(decimals_for(1), 0);
    EXPECT_EQ(decimals_for(10), 1);
    EXPECT_EQ(decimals_for(100), 2);
    EXPECT_EQ(decimals_for(4), 2);
    EXPECT_EQ(decimals_for(7), 4);
    std::string place;
    append_position(place, e7(-44.05, 123.0), ",");
    EXPECT_EQ(place, "-44.05,123");
}

TEST(Period, ItsYearsAreThoseThatItNames) {
    EXPECT_EQ(years_of_period("1991-2020"), (YearRange{1991, 2020}));
    EXPECT_EQ(years_of_period("1961-1990; 1991-2020"), (YearRange{1961, 2020}));
    EXPECT_EQ(years_of_period("typical year of 1976 to 2005"), (YearRange{1976, 2005}));
    EXPECT_EQ(years_of_period("2001"), (YearRange{2001, 2001}));
    EXPECT_FALSE(years_of_period("unknown"));
    EXPECT_FALSE(years_of_period("12345 and 123"));
}

// CF conventions 1.8, example 7.9 (second hand): the climatological bounds of a month run from its
// beginning in the first year to its end in the last. Days counted from a table of months.
TEST(Climatology, BoundsRunFromTheFirstYearToTheLast) {
    const ClimatologyTime time = climatology_time({1991, 2020});
    EXPECT_EQ(time.units, "days since 1991-01-01");
    EXPECT_EQ(time.start[0], 0);
    EXPECT_EQ(time.start[2], 59);           // 1991 has no leap day
    EXPECT_EQ(time.end[11], 30 * 365 + 8);  // leap days of 1992, 1996 … 2020
    EXPECT_EQ(time.end[0], 29 * 365 + 7 + 31);
    EXPECT_EQ(time.middle[0], 14 * 365 + 4 + 15.5);  // January of 2005
    EXPECT_EQ(time.middle[1], 14 * 365 + 4 + 31 + 14);
}

TEST(TileRows, AreReadWrittenAndJoined) {
    const auto south = parsed_tile_row_ranges("0:2 of 6");
    const auto north = parsed_tile_row_ranges("4:6 of 6");
    const auto middle = parsed_tile_row_ranges("2:4 of 6");
    ASSERT_TRUE(south && north && middle);
    const auto outer = joined(*north, *south);
    ASSERT_TRUE(outer);
    EXPECT_EQ(tile_row_ranges_text(*outer), "0:2 4:6 of 6");
    EXPECT_FALSE(outer->is_whole());
    ASSERT_TRUE(parsed_tile_row_ranges("0:2 4:6 of 6"));
    const auto all = joined(*outer, *middle);
    ASSERT_TRUE(all);
    EXPECT_TRUE(all->is_whole());
    EXPECT_FALSE(joined(*all, *middle));
    EXPECT_FALSE(joined(*south, *parsed_tile_row_ranges("4:6 of 7")));
    for (const char* text : {"", "0:2", "0:2 of", "2:2 of 6", "3:2 of 6", "0:7 of 6",
                             "0:2 2:4 of 6", "4:6 0:2 of 6", "-1:2 of 6", "0:2 of 6 ", "a:b of c"})
        EXPECT_FALSE(parsed_tile_row_ranges(text)) << text;
}

TEST(Texts, AreOnOneLineAndUtf8) {
    EXPECT_EQ(on_one_line("a\nb\tc\x01"
                          "d\x7f"),
              "a b c d ");
    EXPECT_EQ(on_one_line("Mérrow <&>\""), "Mérrow <&>\"");
    EXPECT_EQ(on_one_line("M\xe9rrow"), "M?rrow");
}

}  // namespace
}  // namespace thirstline
