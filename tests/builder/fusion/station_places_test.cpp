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

}  // namespace
}  // namespace thirstline
