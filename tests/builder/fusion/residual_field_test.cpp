// What carried residuals must do, whatever the stations say.
#include "builder/fusion/residual_field.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/fusion_samples.hpp"

namespace thirstline {
namespace {

using test::draw_residuals;
using test::every_month;
using test::scattered_stations;
using test::SeededRandom;

CovarianceModel sample_model() {
    CovarianceModel model;
    model.short_range_km = 200.0;
    model.vertical_range_km = 1.8;
    model.relief_range = 5.0;
    model.long_sill = 0.2;
    model.slope_sill = 1.0;
    model.nugget = 0.5;
    model.relief_power = 0.5;
    return model;
}

std::vector<ResidualStation> sample_stations(std::size_t count = 80, std::uint64_t seed = 7) {
    SeededRandom random(seed);
    std::vector<ResidualStation> stations = scattered_stations(count, {}, random);
    draw_residuals(stations, sample_model(), random);
    return stations;
}

ResidualSite flat_site(LatLon position) {
    return {position, 300.0, 0.0, 50.0};
}

TEST(ResidualField, IsExactAtStationsWithoutNoise) {
    CovarianceModel model = sample_model();
    model.nugget = 0.0;
    const std::vector<ResidualStation> stations = sample_stations();
    const ResidualField field(stations, model, false);
    for (const ResidualStation& station : stations) {
        const auto estimate = field.at(station.site);
        ASSERT_TRUE(estimate);
        EXPECT_NEAR(estimate->nearest_km, 0.0, 1e-9);
        for (std::size_t month = 0; month < kMonths; ++month) {
            EXPECT_NEAR(estimate->correction[month], station.residual[month], 1e-6);
            EXPECT_LT(estimate->standard_error[month], 1e-3);
        }
    }
}

TEST(ResidualField, GivesStationsOnTheCoastMoreWeightThere) {
    CovarianceModel model = sample_model();
    model.coast_range = 0.4;
    ResidualStation shore{flat_site({45.0, 9.5}), every_month(-1.0), every_month(1.0)};
    const ResidualStation inland{flat_site({45.0, 10.5}), every_month(1.0), every_month(1.0)};
    shore.site.land_share = 0.4;
    ResidualSite between = flat_site({45.0, 10.0});
    const ResidualField field({shore, inland}, model, false);
    EXPECT_GT(field.at(between)->correction[0], 0.1);
    between.land_share = 0.4;
    EXPECT_LT(field.at(between)->correction[0], -0.1);
}

TEST(ResidualField, GivesStationsOfTheSameRegimeMoreWeight) {
    CovarianceModel model = sample_model();
    model.regime_range = 1.2;
    ResidualStation dry{flat_site({45.0, 9.5}), every_month(-1.0), every_month(1.0)};
    ResidualStation wet{flat_site({45.0, 10.5}), every_month(1.0), every_month(1.0)};
    dry.site.regime = every_month(-0.5);
    wet.site.regime = every_month(1.5);
    ResidualSite between = flat_site({45.0, 10.0});
    const ResidualField field({dry, wet}, model, false);
    between.regime = wet.site.regime;
    EXPECT_GT(field.at(between)->correction[0], 0.1);
    between.regime = dry.site.regime;
    EXPECT_LT(field.at(between)->correction[0], -0.1);
    between.regime = every_month(0.5);
    EXPECT_NEAR(field.at(between)->correction[0], 0.0, 1e-9);
    model.regime_range = 1e9;
    between.regime = wet.site.regime;
    EXPECT_NEAR(ResidualField({dry, wet}, model, false).at(between)->correction[0], 0.0, 1e-9);
}

TEST(ResidualField, FadesToTheBackgroundFarAway) {
    CovarianceModel model = sample_model();
    std::vector<ResidualStation> stations = sample_stations();
    for (ResidualStation& station : stations) station.residual = every_month(3.0);
    const ResidualField field(stations, model, false);
    const auto far = field.at(flat_site({-30.0, -120.0}));
    ASSERT_TRUE(far);
    for (const double correction : far->correction) EXPECT_NEAR(correction, 0.0, 1e-12);
    EXPECT_GT(field.at(flat_site({45.0, 11.0}))->correction[0], 1.5);

    // A floor keeps its share of what kriging says: here the change of the long range.
    model.fading_floor = 0.3;
    CovarianceModel unfaded = model;
    unfaded.fading_km = 1e12;
    const ResidualSite beside = flat_site({45.0, 30.0});
    const auto kept = ResidualField(stations, model, false).at(beside);
    const auto whole = ResidualField(stations, unfaded, false).at(beside);
    EXPECT_GT(whole->correction[0], 0.1);
    EXPECT_NEAR(kept->correction[0], 0.3 * whole->correction[0], 1e-3 * whole->correction[0]);
    EXPECT_NEAR(kept->fading, 0.3, 1e-3);
}

/// The factor and the error of a faded estimate, from the whole one's: an estimate g·e has the
/// variance C0 − 2g·(C0 − V) + g²·(C0 − V).
TEST(ResidualField, FadedErrorFollowsFromTheWholeOne) {
    CovarianceModel faded = sample_model();
    faded.relief_power = 0.0;
    CovarianceModel whole = faded;
    whole.fading_km = 1e12;
    const std::vector<ResidualStation> stations = sample_stations();
    const ResidualField with(stations, faded, false);
    const ResidualField without(stations, whole, false);
    for (const double lon : {19.0, 20.5, 23.0}) {
        const ResidualSite site = flat_site({46.0, lon});
        const auto a = with.at(site);
        const auto b = without.at(site);
        const double g = std::exp(-std::pow(b->nearest_km / faded.fading_km, 2.0));
        const double sill = 1.0 + faded.long_sill;
        const double explained = sill + faded.nugget - b->standard_error[0] * b->standard_error[0];
        EXPECT_NEAR(a->fading, g, 1e-12);
        EXPECT_NEAR(a->correction[4], g * b->correction[4], 1e-12);
        EXPECT_NEAR(a->standard_error[4] * a->standard_error[4],
                    sill + faded.nugget - (2.0 * g - g * g) * explained, 1e-9);
    }
}

TEST(ResidualField, CountsTheFadedPartAsErrorIfAsked) {
    CovarianceModel model = sample_model();
    std::vector<ResidualStation> stations = sample_stations();
    for (ResidualStation& station : stations) station.residual = every_month(4.0);
    const ResidualSite site = flat_site({45.0, 22.0});
    const auto plain = ResidualField(stations, model, false).at(site);
    model.faded_part_is_error = true;
    const auto wider = ResidualField(stations, model, false).at(site);
    const double lost = plain->correction[0] * (1.0 - plain->fading) / plain->fading;
    EXPECT_GT(lost, 0.5);
    EXPECT_NEAR(wider->standard_error[0], std::hypot(plain->standard_error[0], lost), 1e-9);
    EXPECT_EQ(wider->correction, plain->correction);
}

TEST(ResidualField, ErrorGrowsWithDistanceUpToSillAndNugget) {
    const CovarianceModel model = sample_model();
    const ResidualField field(sample_stations(), model, false);
    double before = 0.0;
    const double relief_factor = std::pow(1.5, 0.5);
    const double most = std::sqrt(1.0 + model.long_sill + model.nugget) * relief_factor;
    for (double lon = 18.0; lon < 60.0; lon += 1.0) {
        const auto estimate = field.at(flat_site({45.0, lon}));
        EXPECT_GE(estimate->standard_error[0], before) << lon;
        EXPECT_LE(estimate->standard_error[0], most * (1.0 + 1e-12)) << lon;
        before = estimate->standard_error[0];
    }
    EXPECT_NEAR(before, most, 1e-6);
    EXPECT_GT(before, 1.2 * field.at(flat_site({45.0, 11.0}))->standard_error[0]);
}

TEST(ResidualField, DoesNotDependOnTheOrderOfStations) {
    std::vector<ResidualStation> stations = sample_stations();
    const ResidualField field(stations, sample_model());
    std::reverse(stations.begin(), stations.end());
    std::rotate(stations.begin(), stations.begin() + 17, stations.end());
    const ResidualField other(stations, sample_model());
    SeededRandom random(3);
    for (const ResidualStation& target : scattered_stations(20, {}, random)) {
        const auto a = field.at(target.site);
        const auto b = other.at(target.site);
        for (std::size_t month = 0; month < kMonths; ++month) {
            EXPECT_NEAR(a->correction[month], b->correction[month], 1e-9);
            EXPECT_NEAR(a->standard_error[month], b->standard_error[month], 1e-9);
        }
    }
}

/// The same stations turned about the Earth's axis, so that they straddle the antimeridian; and
/// places that are one place under several names.
TEST(ResidualField, IsContinuousAtTheAntimeridianAndThePoles) {
    std::vector<ResidualStation> stations = sample_stations();
    const ResidualField field(stations, sample_model());
    for (ResidualStation& station : stations)
        station.site.position.lon_deg = normalised_lon_deg(station.site.position.lon_deg + 168.5);
    const ResidualField turned(stations, sample_model());
    for (const double lon : {7.0, 11.4, 11.5, 11.6, 16.0}) {
        const auto a = field.at(flat_site({45.2, lon}));
        const auto b = turned.at(flat_site({45.2, normalised_lon_deg(lon + 168.5)}));
        EXPECT_NEAR(a->correction[2], b->correction[2], 1e-9);
        EXPECT_NEAR(a->standard_error[2], b->standard_error[2], 1e-9);
        EXPECT_NEAR(a->nearest_km, b->nearest_km, 1e-6);
    }
    SeededRandom random(5);
    std::vector<ResidualStation> polar =
        scattered_stations(40, {80.0, 90.0, -180.0, 180.0}, random);
    draw_residuals(polar, sample_model(), random);
    const ResidualField around_pole(polar, sample_model());
    for (const double lon : {-180.0, -33.0, 120.0}) {
        EXPECT_NEAR(around_pole.at(flat_site({90.0, lon}))->correction[0],
                    around_pole.at(flat_site({90.0, 0.0}))->correction[0], 1e-9);
    }
}

TEST(ResidualField, StationsLeftOutSayNothing) {
    std::vector<ResidualStation> stations = sample_stations();
    const ResidualSite site = stations[11].site;
    const LeftOut near{site.position, 60.0, nullptr};
    std::vector<bool> some(stations.size(), false);
    for (std::size_t i = 0; i < stations.size(); i += 3) some[i] = true;
    const LeftOut near_and_some{site.position, 60.0, &some};
    const ResidualField field(stations, sample_model(), false);
    const auto without_near = field.at(site, near);
    const auto without_both = field.at(site, near_and_some);
    EXPECT_GT(without_near->nearest_km, 60.0);
    int changed = 0;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        if (great_circle_km(stations[i].site.position, site.position) > 59.9 && !some[i]) continue;
        stations[i].residual = every_month(1e6);
        ++changed;
    }
    ASSERT_GT(changed, 27);
    const auto after = ResidualField(stations, sample_model(), false).at(site, near_and_some);
    EXPECT_EQ(after->correction, without_both->correction);
    EXPECT_EQ(after->standard_error, without_both->standard_error);
    EXPECT_NE(without_near->correction, without_both->correction);
    EXPECT_FALSE(field.at(site, LeftOut{site.position, 1e5, nullptr}));
}

/// However many are left out: a whole country of them leaves those beyond it.
TEST(ResidualField, UsesStationsBeyondACountryLeftOut) {
    std::vector<ResidualStation> stations = sample_stations(400);
    std::vector<bool> all_but_east(stations.size());
    for (std::size_t i = 0; i < stations.size(); ++i)
        all_but_east[i] = stations[i].site.position.lon_deg < 16.0;
    const ResidualField field(stations, sample_model(), false);
    const ResidualSite west = flat_site({45.0, 6.0});
    const auto estimate = field.at(west, LeftOut{west.position, 0.0, &all_but_east});
    ASSERT_TRUE(estimate);
    EXPECT_GT(estimate->nearest_km, 700.0);
    EXPECT_LT(estimate->nearest_km, 900.0);
}

TEST(ResidualField, WithoutStationsThereIsNothing) {
    const ResidualField field({}, sample_model());
    EXPECT_FALSE(field.at(flat_site({45.0, 11.0})));
}

/// Several stations of one place, or of nearly one: the matrix stays sound, and they share.
TEST(ResidualField, ToleratesStationsAtOnePlace) {
    for (const double nugget : {0.0, 0.01, 0.5}) {
        for (const double apart_deg : {0.0, 1e-7}) {
            CovarianceModel model = sample_model();
            model.nugget = nugget;
            std::vector<ResidualStation> stations = sample_stations(30);
            for (std::size_t i = 1; i < 6; ++i) {
                stations[i].site = stations[0].site;
                stations[i].site.position.lat_deg += apart_deg * static_cast<double>(i);
                stations[i].residual = every_month(i % 2 == 0 ? 1.0 : 2.0);
            }
            stations[0].residual = every_month(1.0);
            const ResidualField field(stations, model);
            const auto estimate = field.at(stations[0].site);
            ASSERT_TRUE(estimate);
            for (std::size_t month = 0; month < kMonths; ++month) {
                EXPECT_GT(estimate->correction[month], 0.9) << nugget;
                EXPECT_LT(estimate->correction[month], 2.1) << nugget;
                EXPECT_TRUE(std::isfinite(estimate->standard_error[month])) << nugget;
            }
        }
    }
}

/// Drawn from the model itself, errors are as large as it says; drawn three times as large, the
/// scale finds it; and where only one end of the region is so, it finds that.
TEST(ResidualField, FindsTheScaleOfTheErrorAndWhereItIsGreater) {
    CovarianceModel model = sample_model();
    model.fading_km = 1e9;
    SeededRandom random(12);
    std::vector<ResidualStation> stations = scattered_stations(300, {}, random);
    draw_residuals(stations, model, random);
    const ResidualSite west = flat_site({45.0, 6.5});
    const ResidualSite east = flat_site({45.0, 16.5});
    const auto mean_error = [](const ResidualField& field, const ResidualSite& site) {
        const auto estimate = field.at(site);
        double sum = 0.0;
        for (const double error : estimate->standard_error) sum += error / kMonths;
        return sum;
    };
    const ResidualField plain(stations, model, false);
    const ResidualField scaled(stations, model);
    EXPECT_NEAR(mean_error(scaled, west) / mean_error(plain, west), 1.0, 0.12);
    EXPECT_NEAR(mean_error(scaled, east) / mean_error(plain, east), 1.0, 0.12);
    for (ResidualStation& station : stations)
        for (double& residual : station.residual)
            residual *= station.site.position.lon_deg > 11.5 ? 3.0 : 1.0;
    const ResidualField uneven(stations, model);
    EXPECT_NEAR(mean_error(uneven, west) / mean_error(plain, west), 1.1, 0.25);
    EXPECT_NEAR(mean_error(uneven, east) / mean_error(plain, east), 2.8, 0.5);
}

/// Along a line, where the nearest stations change one by one, the error changes by small steps.
TEST(ResidualField, ErrorHasNoSeam) {
    const CovarianceModel model = sample_model();
    SeededRandom random(31);
    std::vector<ResidualStation> stations = scattered_stations(300, {}, random);
    draw_residuals(stations, model, random);
    for (std::size_t i = 0; i < stations.size(); i += 3)
        for (double& residual : stations[i].residual) residual *= 4.0;
    const ResidualField field(stations, model);
    double before = 0.0;
    double steepest = 0.0;
    for (int step = 0; step <= 4000; ++step) {
        const auto estimate = field.at(flat_site({45.0, 8.0 + 0.0015 * step}));  // 0.12 km
        const double error = estimate->standard_error[6];
        if (step > 0) steepest = std::max(steepest, std::abs(error / before - 1.0));
        before = error;
    }
    EXPECT_LT(steepest, 0.01);
}

TEST(ResidualField, TakesTheUsualErrorWhereStationsAreFew) {
    CovarianceModel model = sample_model();
    const ResidualSite site = flat_site({45.0, 11.0});
    for (const std::size_t count : {2U, 300U}) {
        const std::vector<ResidualStation> stations = sample_stations(count);
        model.usual_variance = 0.0;
        const double judged = ResidualField(stations, model).at(site)->standard_error[0];
        model.usual_variance = 100.0;
        const double wider = ResidualField(stations, model).at(site)->standard_error[0];
        if (count == 2) {
            EXPECT_GT(wider, 4.0 * judged);
        } else {
            EXPECT_LT(wider, 1.2 * judged);
            EXPECT_GT(wider, judged);
        }
    }
}

TEST(ResidualField, UnderAnotherCovarianceIsTheFieldMadeWithIt) {
    CovarianceModel other = sample_model();
    other.short_range_km = 90.0;
    other.nugget = 0.1;
    other.relief_power = 0.2;
    ResidualField field(sample_stations(), sample_model(), false);
    field.use_model(other);
    const ResidualField made(sample_stations(), other, false);
    for (double lat_deg = 40.0; lat_deg < 50.0; lat_deg += 0.7) {
        const ResidualSite site = flat_site({lat_deg, 57.0 - lat_deg});
        const auto a = field.at(site);
        const auto b = made.at(site);
        EXPECT_EQ(a->correction, b->correction);
        EXPECT_EQ(a->standard_error, b->standard_error);
    }
}

}  // namespace
}  // namespace thirstline
