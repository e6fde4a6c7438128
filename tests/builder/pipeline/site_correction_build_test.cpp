// What the site correction changes in a finished file, and what it must leave alone (science.md).
#include <gtest/gtest.h>

#include "tests/support/invented_region.hpp"

namespace thirstline {
namespace {

using test::open_database;
using test::plain;
using test::plain_climate;
using test::Region;
using test::stored_at;
using test::StoredPoint;
using enum Variable;

constexpr double kDryFrom = 12.0;  ///< degrees east

/// A cold winter; dry air throughout, but rain enough in the west.
class SiteCorrectionBuild : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        if (region_ == nullptr) make_region();
        corrected_ = open_database(region_->path("corrected.sqlite"));
        measured_ = open_database(region_->path("measured.sqlite"));
    }
    static void make_region() {
        region_ = new Region;
        const RasterShape shape = north_up(8.0, 51.0, 1.0, 8, 8);
        for (const Variable variable : {tmax, tmin}) {
            region_->add_grid(variable, shape, [variable](LatLon at, int month) {
                return plain_climate(variable, at, month) - 9.0;
            });
        }
        region_->add_grid(dew_point, shape, [](LatLon at, int month) {
            return plain_climate(tmin, at, month) - 20.0;
        });
        for (const Variable variable : {wind, radiation})
            region_->add_grid(variable, shape, plain(variable));
        region_->add_grid(rain, shape,
                          [](LatLon at, int) { return at.lon_deg < kDryFrom ? 320.0 : 3.0; });
        region_->build("corrected.sqlite");
        region_->baseline = "site_correction = \"none\"\n";
        region_->build("measured.sqlite");
    }
    static void TearDownTestSuite() { delete region_; }

    static Region* region_;
    std::unique_ptr<Database> corrected_;
    std::unique_ptr<Database> measured_;
};
Region* SiteCorrectionBuild::region_ = nullptr;

TEST_F(SiteCorrectionBuild, ChangesOnlyEtoAndOnlyInDryGrowingMonths) {
    const Lattice& lattice = corrected_->lattices().front();
    int changed = 0;
    int frozen = 0;
    for (int row = 0; row < lattice.rows; ++row) {
        for (int column = 0; column < lattice.columns; ++column) {
            const StoredPoint with = stored_at(*corrected_, LatticePoint{row, column});
            const StoredPoint without = stored_at(*measured_, LatticePoint{row, column});
            ASSERT_TRUE(with.present && without.present);
            EXPECT_EQ(with.tmax_c, without.tmax_c);
            EXPECT_EQ(with.tmin_c, without.tmin_c);
            EXPECT_EQ(with.rain_mm, without.rain_mm);
            EXPECT_EQ(with.elevation_m, without.elevation_m);
            EXPECT_EQ(with.period, without.period);
            const double lon = position_of(lattice, {row, column}).lon_deg;
            for (std::size_t month = 0; month < kMonths; ++month) {
                const double tmean = (with.tmax_c[month] + with.tmin_c[month]) / 2.0;
                const double difference =
                    without.eto_mm_per_day[month] - with.eto_mm_per_day[month];
                // Rain falls off between the cells of 11.5 and 12.5° E.
                const bool is_wet = lon <= 11.5;
                if (is_wet || tmean < 4.9) {
                    EXPECT_EQ(difference, 0.0) << lon << " " << month;
                    frozen += tmean < 4.9;
                } else if (lon >= 12.5 && tmean > 5.1) {
                    EXPECT_GT(difference, 0.1) << lon << " " << month;
                    ++changed;
                }
                Method method = method_of_code(with.method_code[month]);
                EXPECT_EQ(method.correction, SiteCorrection::reference);
                method.correction = SiteCorrection::not_wanted;
                EXPECT_EQ(method_code(method), without.method_code[month]);
            }
        }
    }
    EXPECT_GT(changed, 100);
    EXPECT_GT(frozen, 100);
    EXPECT_EQ(corrected_->metadata("site_correction"), "reference");
    EXPECT_EQ(measured_->metadata("site_correction"), "none");
}

// The monthly equation takes heat into the soil while the year warms, and gives it back after.
TEST_F(SiteCorrectionBuild, MonthlySoilHeatFluxLowersSpringAndRaisesAutumn) {
    region_->baseline = "site_correction = \"none\"\nsoil_heat_flux = \"monthly\"\n";
    region_->build("monthly.sqlite");
    const auto monthly = open_database(region_->path("monthly.sqlite"));
    EXPECT_EQ(measured_->metadata("soil_heat_flux"), "none");
    EXPECT_EQ(monthly->metadata("soil_heat_flux"), "monthly");
    const StoredPoint of_months = stored_at(*monthly, LatticePoint{3, 3});
    const StoredPoint of_days = stored_at(*measured_, LatticePoint{3, 3});
    ASSERT_TRUE(of_months.present && of_days.present);
    EXPECT_LT(of_months.eto_mm_per_day[3], of_days.eto_mm_per_day[3]);
    EXPECT_GT(of_months.eto_mm_per_day[9], of_days.eto_mm_per_day[9]);
    EXPECT_EQ(of_months.tmax_c, of_days.tmax_c);
    EXPECT_EQ(of_months.rain_mm, of_days.rain_mm);
}

}  // namespace
}  // namespace thirstline
