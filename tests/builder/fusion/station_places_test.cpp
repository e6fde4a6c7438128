// Stations as fusion sees them.
#include "builder/fusion/station_places.hpp"

#include <gtest/gtest.h>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::every_month;

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

}  // namespace
}  // namespace thirstline
