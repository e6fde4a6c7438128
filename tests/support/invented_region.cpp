#include "tests/support/invented_region.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <stdexcept>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/solar_geometry.hpp"
#include "schema/tile/layers.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline::test {
namespace {

/// 1 in July, −1 in January.
double season(int month) {
    return -std::cos(2.0 * std::numbers::pi * month / kMonths);
}

double stored_value(const TileLayout& layout, LayerId id, std::int32_t integer) {
    const Layer* layer = layout.find(id);
    if (layer == nullptr || integer == kMissingValue) return std::nan("");
    return static_cast<double>(integer) / layer->divisor;
}

}  // namespace

double plain_climate(Variable variable, LatLon at, int month) {
    const double tmax_c = 21.0 + 8.0 * season(month);
    const double tmin_c = 10.0 + 6.0 * season(month);
    const auto m = static_cast<std::size_t>(month);
    const double vapour_kpa = saturation_vapour_pressure_kpa(tmin_c - 3.0);
    const double highest_kpa = saturation_vapour_pressure_kpa(tmax_c);
    const double lowest_kpa = saturation_vapour_pressure_kpa(tmin_c);
    switch (variable) {
        case Variable::tmax:
            return tmax_c;
        case Variable::tmin:
            return tmin_c;
        case Variable::tmean:
            return (tmax_c + tmin_c) / 2.0;
        case Variable::temperature_range:
            return tmax_c - tmin_c;
        case Variable::vapour_pressure:
            return vapour_kpa;
        case Variable::specific_humidity:
            return 0.622 * vapour_kpa / (pressure_kpa(100.0) - 0.378 * vapour_kpa);
        case Variable::dew_point:
            return tmin_c - 3.0;
        case Variable::relative_humidity:
            return 60.0;
        case Variable::relative_humidity_max:
            return 100.0 * vapour_kpa / lowest_kpa;
        case Variable::relative_humidity_min:
            return 100.0 * vapour_kpa / highest_kpa;
        case Variable::vapour_pressure_deficit:
            return (highest_kpa + lowest_kpa) / 2.0 - vapour_kpa;
        case Variable::vapour_pressure_deficit_max:
            return highest_kpa - vapour_kpa;
        case Variable::vapour_pressure_deficit_min:
            return lowest_kpa - vapour_kpa;
        case Variable::wind:
            return 3.0;
        case Variable::wind_u:
            return -1.8;
        case Variable::wind_v:
            return 2.4;
        case Variable::radiation:
            return 0.5 * monthly_sun(at.lat_deg).ra_mj_m2_day[m];
        case Variable::sunshine_hours:
            return 0.5 * monthly_sun(at.lat_deg).daylight_hours[m];
        case Variable::sunshine_fraction:
            return 0.5;
        case Variable::cloud:
            return 0.45;
        case Variable::rain:
            return 40.0 - 20.0 * season(month);
        case Variable::rain_days:
            return 8.0;
        case Variable::eto:
            return 5.0 + 2.0 * season(month);
        case Variable::elevation:
            return 100.0;
    }
    return std::nan("");
}

Field plain(Variable variable) {
    return [variable](LatLon at, int month) { return plain_climate(variable, at, month); };
}

Region::Region()
    : lattice("spacing_arcsec = 1800\nbbox = [10.5, 45.5, 13.5, 48.5]\nreach_km = 50\n") {
    set_elevation(north_up(0.0, 60.0, 0.5, 60, 60), plain(Variable::elevation));
}

void Region::add_grid(Variable variable, const RasterShape& shape, const Field& field,
                      const std::string& more, const std::string& name, const std::string& period) {
    const std::string own(variable_name(variable));
    const std::string file = (name.empty() ? own : name) + ".tif";
    write_raster(path(file), shape, kMonths, at_cell_centres(shape, field));
    grids_ += "[[grid]]\nname = \"" + (name.empty() ? own : name) +
              " of the Merrow\"\nvariable = \"" + own + "\"\npath = \"" + file + "\"\nunit = \"" +
              std::string(canonical_unit(variable)) + "\"\nperiod = \"" + period +
              "\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office (invented)\"\n" +
              more;
}

void Region::add_plain_grids(const RasterShape& shape) {
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, wind, radiation, rain})
        add_grid(variable, shape, plain(variable));
}

void Region::set_elevation(const RasterShape& shape, const Field& field) {
    write_raster(path("elevation.tif"), shape, 1, at_cell_centres(shape, field));
    elevation_ = "[elevation]\npath = \"elevation.tif\"\nunit = \"m\"\n";
}

std::string Region::write_recipe() const {
    write_text(path("recipe.toml"),
               "[baseline]\ntitle = \"The Merrow valley\"\nperiod = \"1991-2020\"\n" + baseline +
                   "[lattice]\n" + lattice + elevation_ + grids_ + rest);
    return path("recipe.toml");
}

Recipe Region::recipe() const {
    auto read = read_recipe(write_recipe());
    if (!read) {
        ADD_FAILURE() << read.error().message;
        throw std::runtime_error(read.error().message);
    }
    return std::move(*read);
}

BuildOutcome Region::build(const std::string& name) const {
    Progress quiet(ProgressStyle::none);
    BuildOptions options;
    options.output = path(name);
    auto outcome = run_build(recipe(), options, quiet);
    if (!outcome) {
        ADD_FAILURE() << outcome.error().message;
        throw std::runtime_error(outcome.error().message);
    }
    return std::move(*outcome);
}

Error Region::build_error() const {
    const auto read = read_recipe(write_recipe());
    if (!read) return read.error();
    Progress quiet(ProgressStyle::none);
    BuildOptions options;
    options.output = path("refused.sqlite");
    const auto outcome = run_build(*read, options, quiet);
    if (!outcome) return outcome.error();
    ADD_FAILURE() << "the build succeeded";
    return {};
}

std::unique_ptr<Database> open_database(const std::string& path) {
    auto database = Database::open(path);
    if (!database) {
        ADD_FAILURE() << database.error().message;
        throw std::runtime_error(database.error().message);
    }
    return std::move(*database);
}

StoredPoint stored_at(Database& database, LatticePoint point) {
    const Lattice& lattice = database.lattices().front();
    const TileLayout& layout = database.layout();
    const auto tile = database.tile(lattice, tile_of(lattice, point));
    if (!tile) throw std::runtime_error(tile.error().message);
    StoredPoint stored;
    const int slot = slot_in_tile(lattice, point);
    if (*tile == nullptr || (*tile)->present[static_cast<std::size_t>(slot)] == 0) return stored;
    stored.present = true;
    const auto of_month = [&](LayerId id, int month) {
        if (layout.find(id) == nullptr) return std::nan("");
        return stored_value(layout, id, (*tile)->month_value(id, slot, month));
    };
    for (int month = 0; month < kMonths; ++month) {
        const auto m = static_cast<std::size_t>(month);
        stored.eto_mm_per_day[m] = of_month(LayerId::eto, month);
        stored.rain_mm[m] = of_month(LayerId::rain, month);
        stored.tmax_c[m] = of_month(LayerId::tmax, month);
        stored.tmin_c[m] = of_month(LayerId::tmin, month);
        stored.method_code[m] =
            static_cast<std::uint16_t>((*tile)->month_value(LayerId::method, slot, month));
    }
    stored.period = (*tile)->of(LayerId::period)[static_cast<std::size_t>(slot)];
    stored.elevation_m =
        stored_value(layout, LayerId::elevation,
                     (*tile)->of(LayerId::elevation)[static_cast<std::size_t>(slot)]);
    return stored;
}

StoredPoint stored_at(Database& database, LatLon position) {
    const Lattice& lattice = database.lattices().front();
    const double spacing_deg = static_cast<double>(lattice.spacing_arcsec) / kArcsecPerDegree;
    const double south = static_cast<double>(lattice.south_arcsec) / kArcsecPerDegree;
    const double west = static_cast<double>(lattice.west_arcsec) / kArcsecPerDegree;
    const LatticePoint point{
        static_cast<std::int32_t>(std::lround((position.lat_deg - south) / spacing_deg)),
        static_cast<std::int32_t>(std::lround((position.lon_deg - west) / spacing_deg))};
    EXPECT_NEAR(position_of(lattice, point).lat_deg, position.lat_deg, 1e-6);
    return stored_at(database, point);
}

}  // namespace thirstline::test
