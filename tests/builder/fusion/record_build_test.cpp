// A build from records of days: reference ET by day becomes that of the file where the ground
// around the stations is irrigated, and only there; the report compares both.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "builder/records/calendar_days.hpp"
#include "tests/support/fusion_samples.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::content_of;
using test::open_database;
using test::plain_climate;
using test::Region;
using test::SeededRandom;
using test::stored_at;
using test::write_text;

constexpr LatLon kInTheMiddle{47.0, 11.0};
constexpr int kStationsOfNetwork = 12;

RasterShape shape_of_network() {
    return north_up(9.0, 50.0, 0.5, 12, 12);
}

/// Days alternate between hot, dry, windy ones and their opposite; their mean is the plain climate.
/// Reference ET is curved: its mean over the days is above that of the mean day.
std::string days_of_network() {
    using enum Variable;
    SeededRandom random(5);
    std::string rows = "name,lat,lon,z,date,tx,tn,ea,u,rs\n";
    for (int s = 0; s < kStationsOfNetwork; ++s) {
        const LatLon at{random.uniform(46.2, 47.8), random.uniform(10.2, 11.8)};
        for (int year = 2011; year <= 2020; ++year) {
            for (int month = 0; month < kMonths; ++month) {
                const auto mean = [&](Variable variable) {
                    return plain_climate(variable, at, month);
                };
                for (int day = 1; day <= days_in_month(year, month); ++day) {
                    const double by = day % 2 == 0 ? 1.0 : -1.0;
                    char row[192];
                    std::snprintf(
                        row, sizeof row,
                        "Merrow %d,%.4f,%.4f,600,%d-%02d-%02d,%.2f,%.2f,%.3f,%.3f,%.2f\n", s,
                        at.lat_deg, at.lon_deg, year, month + 1, day, mean(tmax) + 6.0 * by,
                        mean(tmin) + 1.0 * by, mean(vapour_pressure) * (1.0 - 0.2 * by),
                        mean(wind) * (1.0 + 0.7 * by), mean(radiation) * (1.0 + 0.2 * by));
                    rows += row;
                }
            }
        }
    }
    return rows;
}

std::string record_source(const std::string& ground) {
    return "[[records]]\nname = \"Network of the Merrow\"\npath = \"net.csv\"\nstep = \"day\"\n"
           "period = \"2011-2020\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office "
           "(invented)\"\nheight_m = 10\nground = \"" +
           ground +
           "\"\ncolumns = { name = \"name\", lat = \"lat\", lon = \"lon\", elevation = \"z\", date "
           "= "
           "\"date\", tmax = \"tx\", tmin = \"tn\", vapour_pressure = \"ea\", wind = \"u\", "
           "radiation = \"rs\" }\nunits = { tmax = \"degC\", tmin = \"degC\", vapour_pressure = "
           "\"kPa\", wind = \"m/s\", radiation = \"MJ/m2/day\" }\n";
}

TEST(RecordBuild, UsesReferenceEtByDayOverIrrigatedGround) {
    Region region;
    region.lattice = "spacing_arcsec = 1800\nbbox = [10.0, 46.0, 12.0, 48.0]\nreach_km = 50\n";
    region.set_elevation(shape_of_network(), [](LatLon, int) { return 600.0; });
    region.add_plain_grids(shape_of_network());
    write_text(region.path("net.csv"), days_of_network());

    region.rest = record_source("not stated");
    region.build("dry.sqlite");
    const auto dry = open_database(region.path("dry.sqlite"));
    region.rest = record_source("irrigated");
    region.build("irrigated.sqlite");
    const auto irrigated = open_database(region.path("irrigated.sqlite"));

    const auto run = builder({"check", region.write_recipe(), "--format", "json"});
    ASSERT_EQ(run.status, 0) << run.err;
    const Json records = Json::parse(run.out).at("records");
    ASSERT_EQ(records.size(), 1U);
    EXPECT_EQ(records[0].at("months_void").at("days_missing"), 0);
    const Json& stations = records[0].at("stations");
    ASSERT_EQ(stations.size(), static_cast<std::size_t>(kStationsOfNetwork));
    double by_day = 0.0;
    double by_month = 0.0;
    for (const Json& station : stations) {
        by_day += station.at("eto").at("by_day_mm_per_day").get<double>() / kStationsOfNetwork;
        by_month += station.at("eto").at("by_month_mm_per_day").get<double>() / kStationsOfNetwork;
    }
    EXPECT_GT(by_day, 1.03 * by_month);

    const auto year_mm = [](const auto& point) {
        double sum = 0.0;
        for (std::size_t month = 0; month < kMonths; ++month)
            sum += point.eto_mm_per_day[month] * kDaysInMonth[month];
        return sum;
    };
    // The climate of the middle is not quite the mean of that of the stations, and ten years are a
    // short record, which the file follows in part.
    const double of_dry = year_mm(stored_at(*dry, kInTheMiddle)) / 365.25;
    const double of_irrigated = year_mm(stored_at(*irrigated, kInTheMiddle)) / 365.25;
    EXPECT_NEAR(of_irrigated, by_day, 0.04 * by_day);
    EXPECT_GT(of_irrigated, of_dry + 0.5 * (by_day - by_month));
    EXPECT_LT(of_dry, 1.01 * by_month);
}

}  // namespace
}  // namespace thirstline
