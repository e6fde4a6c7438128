// The sample's stations, in the valley of the Merrow.
#include <gtest/gtest.h>

#include <cmath>

#include "builder/stations/station_checks.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

TEST(MerrowStations, AreReadAsTheyStand) {
    test::StationTables tables;
    tables.add_source(
        {"Merrow stations",
         "path = \"" THIRSTLINE_SAMPLE_INPUTS "/merrow-stations.csv\"\nlayout = \"long\"\n"
         "missing = [-99.9]\nheight_m = 10\ncolumns = { station = \"station\", name = \"name\", "
         "country = \"country\", lat = \"lat\", lon = \"lon\", elevation = \"elevation_m\", "
         "month = \"month\", tmax = \"tmax_c\", tmin = \"tmin_c\", dew_point = \"dewpoint_c\", "
         "wind = \"wind_ms\", radiation = \"ghi_mj_m2_d\", rain = \"rain_mm\" }\n"
         "units = { tmax = \"degC\", tmin = \"degC\", dew_point = \"degC\", wind = \"m/s\", "
         "radiation = \"MJ/m2/day\", rain = \"mm\" }\n"});
    StationSet set = tables.stations();
    EXPECT_EQ(set.rows_read.at(0), 12 * static_cast<std::int64_t>(set.stations.size()));
    const Station& quay = test::station(set, "Merrowmouth Quay");
    EXPECT_EQ(quay.elevation_m, 26.0);
    EXPECT_EQ(values_of(quay, Variable::tmax)[6], 21.6);
    EXPECT_EQ(values_of(quay, Variable::rain)[0], 187.0);
    const Station& moor = test::station(set, "Upper Thessle Moor");
    EXPECT_EQ(known_months(values_of(moor, Variable::radiation)), 0);  // -99.9 all year
    EXPECT_EQ(known_months(values_of(moor, Variable::wind)), 12);
    check_stations(set, {}, {});
    EXPECT_EQ(test::rejected(set), 0);
}

}  // namespace
}  // namespace thirstline
