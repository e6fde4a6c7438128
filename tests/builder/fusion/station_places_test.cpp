// Stations as fusion sees them.
#include "builder/fusion/station_places.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::every_month;
using test::mild_climate;

constexpr LatLon kStationPlace{45.0, 11.0};

TEST(RecordNoise, GrowsAsTheRecordShortens) {
    using enum RecordLength;
    EXPECT_DOUBLE_EQ(record_noise(standard_normal, 30.0), 1.0);
    EXPECT_DOUBLE_EQ(record_noise(not_stated, kUnknown), 1.0);
    // 1 + 15 (1/10 - 1/30), by hand.
    EXPECT_DOUBLE_EQ(record_noise(short_record, 10.0), 2.0);
    EXPECT_DOUBLE_EQ(record_noise(short_record, kUnknown), 1.5);
    EXPECT_DOUBLE_EQ(record_noise(short_record, 0.0), record_noise(short_record, 2.0));
    EXPECT_GT(record_noise(short_record, 5.0), record_noise(short_record, 20.0));
}

TEST(StationPlaces, AShortRecordIsNoisyInItsOwnDriverOnly) {
    Station station;
    station.name = "Merrow Bridge";
    station.position = kStationPlace;
    station.elevation_m = 300.0;
    StationNormals rain{Variable::rain, 0, every_month(60.0), {}, 10.0, RecordLength::short_record};
    StationNormals tmax{
        Variable::tmax, 0, every_month(18.0), {}, 30.0, RecordLength::standard_normal};
    station.normals = {rain, tmax};
    PlaceInputs inputs;
    inputs.elevation_m = 300.0;
    const auto places = station_places(std::vector{station}, std::vector{inputs});
    ASSERT_EQ(places.size(), 1U);
    EXPECT_DOUBLE_EQ(places[0].noise[static_cast<std::size_t>(Driver::rain_root)], 2.0);
    EXPECT_DOUBLE_EQ(places[0].noise[static_cast<std::size_t>(Driver::mean_temperature)], 1.0);
}

Station station_with(std::initializer_list<std::pair<Variable, double>> values) {
    Station station;
    station.position = kStationPlace;
    station.elevation_m = 1000.0;
    for (const auto& [variable, value] : values)
        station.normals.push_back(
            {variable, 0, every_month(value), {}, kUnknown, RecordLength::not_stated});
    return station;
}

TEST(StationPlaces, OtherFormsOfTemperatureAndHumidity) {
    using enum Variable;
    const PointClimate of_range =
        climate_of(station_with({{tmean, 14.0}, {temperature_range, 9.0}}), 1000.0);
    EXPECT_DOUBLE_EQ(of_range.tmax_c[0], 18.5);
    EXPECT_DOUBLE_EQ(of_range.tmin_c[11], 9.5);
    // FAO-56, example 5: 1.70 kPa; 100 · 1.70 / e°(21.5) = 66.3 %.
    const PointClimate of_extremes = climate_of(station_with({{tmax, 25.0},
                                                              {tmin, 18.0},
                                                              {relative_humidity_max, 82.0},
                                                              {relative_humidity_min, 54.0}}),
                                                1000.0);
    EXPECT_NEAR(of_extremes.relative_humidity_percent[0], 66.3, 0.2);
    // FAO-56, example 6: es − ea = 0.91 kPa.
    const PointClimate of_deficit = climate_of(
        station_with({{tmax, 25.0}, {tmin, 18.0}, {vapour_pressure_deficit, 0.91}}), 1000.0);
    EXPECT_NEAR(of_deficit.relative_humidity_percent[0], 66.3, 0.5);
    // FAO-56, table 2.1: 90.0 kPa at 1000 m.
    const PointClimate of_specific =
        climate_of(station_with({{specific_humidity, 0.622 * 1.2 / (90.0 - 0.378 * 1.2)}}), 1000.0);
    EXPECT_NEAR(of_specific.vapour_pressure_kpa[0], 1.2, 0.001);
}

Station station_at(LatLon position, double elevation_m) {
    Station station;
    station.name = "Merrowhead";
    station.position = position;
    station.elevation_m = elevation_m;
    const PointClimate climate = mild_climate(position, elevation_m);
    const auto add = [&station](Variable variable, const Monthly<double>& values) {
        StationNormals normals;
        normals.variable = variable;
        normals.values = values;
        station.normals.push_back(normals);
    };
    add(Variable::tmax, climate.tmax_c);
    add(Variable::tmin, climate.tmin_c);
    add(Variable::rain, climate.rain_mm);
    return station;
}

PlaceInputs grids_at(double elevation_m) {
    PlaceInputs place;
    place.elevation_m = elevation_m;
    place.inland = true;
    for (const Variable variable : {Variable::rain, Variable::tmax, Variable::tmin}) {
        GridAtPlace grid;
        grid.variable = variable;
        const double value = variable == Variable::tmin ? 8.0 : 20.0;
        grid.sample.values.fill(static_cast<float>(value));
        // Of several the first whose ground is known counts.
        if (variable == Variable::tmax) grid.ground = {500.0, 120.0};
        if (variable == Variable::tmin) grid.ground = {500.0, 90.0};
        place.grids.push_back(grid);
    }
    return place;
}

TEST(StationPlaces, UseTheirOwnElevationOrTheTerrain) {
    const std::vector<Station> stations{station_at(kStationPlace, 800.0),
                                        station_at(kStationPlace, kUnknown),
                                        station_at(kStationPlace, kUnknown)};
    const std::vector<PlaceInputs> inputs{grids_at(700.0), grids_at(700.0), grids_at(kUnknown)};
    const std::vector<StationPlace> places = station_places(stations, inputs);
    ASSERT_EQ(places.size(), 2U);
    EXPECT_EQ(places[0].station, 0U);
    EXPECT_DOUBLE_EQ(places[0].site.elevation_m, 800.0);
    EXPECT_DOUBLE_EQ(places[0].site.above_cells_m, 300.0);
    EXPECT_DOUBLE_EQ(places[0].site.relief_m, 120.0);
    EXPECT_EQ(places[1].station, 1U);
    EXPECT_DOUBLE_EQ(places[1].site.elevation_m, 700.0);
    EXPECT_DOUBLE_EQ(places[1].own.elevation_m, 700.0);
    // 6.5 and 4.5 °C a km from the cells' 500 m.
    EXPECT_NEAR(places[0].of_grids.tmax_c[0], 20.0 - 0.3 * 6.5, 1e-6);
    EXPECT_NEAR(places[0].of_grids.tmin_c[0], 8.0 - 0.3 * 4.5, 1e-6);
    EXPECT_NEAR(places[1].of_grids.tmax_c[0], 20.0 - 0.2 * 6.5, 1e-6);
}

TEST(StationPlaces, UsesAMeanWithoutExtremes) {
    Station station = station_at(kStationPlace, 500.0);
    station.normals[0].variable = Variable::tmean;  // in place of Tmax
    Station mean_only = station;
    mean_only.normals.erase(mean_only.normals.begin() + 1);
    const std::vector<StationPlace> places =
        station_places(std::vector{station, mean_only}, std::vector(2, grids_at(500.0)));
    const Monthly<double>& mean = station.normals[0].values;
    const Monthly<double>& tmin = station.normals[1].values;
    EXPECT_NEAR(places[0].own.tmax_c[6], 2.0 * mean[6] - tmin[6], 1e-12);
    EXPECT_NEAR(of(places[1].own_drivers, Driver::mean_temperature)[6], mean[6], 1e-12);
    EXPECT_TRUE(std::isnan(of(places[1].own_drivers, Driver::temperature_range)[6]));
}

TEST(StationPlaces, WithoutGridsKnowNoGround) {
    const std::vector<Station> stations{station_at(kStationPlace, 800.0)};
    PlaceInputs nothing;
    nothing.elevation_m = 750.0;
    const std::vector<StationPlace> places =
        station_places(stations, std::vector<PlaceInputs>{nothing});
    EXPECT_DOUBLE_EQ(places[0].site.above_cells_m, 0.0);
    EXPECT_DOUBLE_EQ(places[0].site.relief_m, 0.0);
    EXPECT_TRUE(std::isnan(of(places[0].grid_drivers, Driver::mean_temperature)[0]));
}

}  // namespace
}  // namespace thirstline
