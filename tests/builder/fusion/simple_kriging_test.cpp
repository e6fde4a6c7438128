// Simple kriging against two independent computations: R's gstat, and numpy.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>

#include "tests/support/fusion_samples.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

using test::every_month;
using test::scattered_stations;
using test::SeededRandom;

/// Nothing fades, and nothing is scaled.
CovarianceModel bare_model() {
    CovarianceModel model;
    model.short_range_km = 120.0;
    model.vertical_range_km = 1e9;
    model.relief_range = 1e9;
    model.long_sill = 0.3;
    model.slope_sill = 0.0;
    model.nugget = 0.4;
    model.fading_km = 1e12;
    return model;
}

// gstat 2.1-0 under R 4.2.2 (r-cran-gstat of Debian 12): krige(v ~ 1, …, beta = 0) in coordinates
// x, y, z on a sphere of 6371.0088 km, so that distances are chords, with the model vgm(1, "Exp",
// 120) + vgm(0.3, "Exp", 1000) + vgm(0.4, "Nug", 0). Its twelve decimals.
TEST(SimpleKriging, EqualsGstat) {
    const std::vector<std::pair<LatLon, double>> known = {
        {{46.0, 8.0}, 1.0},  {{46.3, 8.7}, -0.5},  {{46.9, 7.6}, 0.25}, {{47.4, 8.4}, 2.0},
        {{46.6, 9.3}, 0.75}, {{45.7, 9.0}, -1.25}, {{47.1, 9.6}, 0.5},  {{46.2, 7.1}, 1.5}};
    std::vector<ResidualStation> stations;
    for (const auto& [position, value] : known) {
        ResidualStation station;
        station.site.position = position;
        station.residual = every_month(value);
        stations.push_back(station);
    }
    const ResidualField field(stations, bare_model(), false);
    struct Case {
        LatLon at;
        double estimate;
        double variance;
    };
    for (const Case& c : {Case{{46.5, 8.2}, 0.462422221306, 0.865428515159},
                          Case{{46.0, 8.01}, 0.640017217858, 0.648036688501},
                          Case{{47.9, 9.9}, 0.565078711941, 1.300892585350},
                          Case{{44.0, 12.0}, 0.053215323136, 1.619094058925}}) {
        const auto estimate = field.at({c.at});
        ASSERT_TRUE(estimate);
        for (std::size_t month = 0; month < kMonths; ++month) {
            EXPECT_NEAR(estimate->correction[month], c.estimate, 2e-12);
            EXPECT_NEAR(estimate->standard_error[month], std::sqrt(c.variance), 2e-12);
        }
    }
}

std::string lines_of(const CovarianceModel& model, const std::vector<ResidualStation>& stations,
                     const std::vector<ResidualSite>& targets) {
    std::ostringstream out;
    out.precision(17);
    constexpr int kNeighboursOfField = 24;
    out << model.short_range_km << ' ' << model.vertical_range_km << ' ' << model.relief_range
        << ' ' << model.coast_range << ' ' << model.long_sill << ' ' << model.slope_sill << ' '
        << model.nugget << ' ' << kNeighboursOfField << '\n'
        << stations.size() << ' ' << targets.size() << '\n';
    const auto site_text = [&out](const ResidualSite& site) {
        out << site.position.lat_deg << ' ' << site.position.lon_deg << ' ' << site.elevation_m
            << ' ' << site.above_cells_m << ' ' << site.relief_m << ' ' << site.land_share;
    };
    for (const ResidualStation& station : stations) {
        site_text(station.site);
        out << ' ' << station.noise << ' ' << station.residual[0] << '\n';
    }
    for (const ResidualSite& target : targets) {
        site_text(target);
        out << '\n';
    }
    return out.str();
}

/// Standard output of the Python script, and its exit code.
std::pair<std::string, int> numpy_says(const std::string& input) {
    const TempFolder folder;
    std::ofstream(folder / "problem.txt") << input;
    const std::string command = std::string("'") + THIRSTLINE_TEST_PYTHON + "' -B '" +
                                THIRSTLINE_TEST_FOLDER + "/builder/fusion/simple_kriging.py' < '" +
                                (folder / "problem.txt") + "'";
    std::FILE* pipe = popen(command.c_str(), "r");
    if (pipe == nullptr) return {"", -1};
    std::string out;
    char buffer[4096];
    while (const std::size_t got = std::fread(buffer, 1, sizeof buffer, pipe))
        out.append(buffer, got);
    const int status = pclose(pipe);
    return {out, WIFEXITED(status) ? WEXITSTATUS(status) : -1};
}

// Every term of the covariance, stations of different noise, more of them than speak; around a
// pole and across the antimeridian too.
TEST(SimpleKriging, EqualsNumpy) {
    SeededRandom random(41);
    std::vector<ResidualStation> stations = scattered_stations(60, {}, random);
    for (const test::StationBox box : {test::StationBox{-20.0, -12.0, 175.0, 186.0},
                                       test::StationBox{80.0, 90.0, -180.0, 180.0}}) {
        for (ResidualStation& station : scattered_stations(40, box, random)) {
            station.site.position.lon_deg = normalised_lon_deg(station.site.position.lon_deg);
            stations.push_back(station);
        }
    }
    for (ResidualStation& station : stations) {
        station.residual = every_month(random.normal());
        station.noise = random.uniform(0.5, 3.0);
        station.site.land_share = random.uniform(0.0, 1.0);
    }
    CovarianceModel model = bare_model();
    model.vertical_range_km = 1.6;
    model.relief_range = 2.6;
    model.coast_range = 0.7;
    model.slope_sill = 3.2;
    std::vector<ResidualSite> targets;
    for (const ResidualStation& station : scattered_stations(20, {}, random))
        targets.push_back(station.site);
    for (std::size_t i = 0; i < targets.size(); i += 2) targets[i].land_share = 0.3;
    targets.push_back(stations[3].site);
    targets.push_back({{-16.0, 179.9}, 50.0, -20.0, 10.0, 0.6, {}});
    targets.push_back({{-16.0, -180.0}, 50.0, -20.0, 10.0, 0.6, {}});
    targets.push_back({{90.0, 12.0}, 2000.0, 200.0, 300.0, 0.6, {}});
    targets.push_back({{85.0, -179.0}, 2000.0, 200.0, 300.0, 0.6, {}});
    targets.push_back({{-90.0, 0.0}, 2800.0, 0.0, 0.0, 0.6, {}});

    const auto [out, status] = numpy_says(lines_of(model, stations, targets));
    constexpr int kNoSuchCommand = 127;
    if (status == 77 || status == kNoSuchCommand)
        GTEST_SKIP() << "no Python with numpy (Debian: python3-numpy)";
    ASSERT_EQ(status, 0);
    std::istringstream numbers(out);
    const ResidualField field(stations, model, false);
    for (const ResidualSite& target : targets) {
        double expected = 0.0;
        double expected_error = 0.0;
        ASSERT_TRUE(numbers >> expected >> expected_error) << out;
        const auto estimate = field.at(target);
        ASSERT_TRUE(estimate);
        // Relative to a residual, whose size is about 1.
        EXPECT_NEAR(estimate->correction[5], expected, 1e-9);
        EXPECT_NEAR(estimate->standard_error[5], expected_error, 1e-9 * expected_error);
    }
}

}  // namespace
}  // namespace thirstline
