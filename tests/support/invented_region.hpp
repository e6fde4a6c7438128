// An invented region, written as rasters and a recipe into its own folder, built, and read back
// point by point.
//
// The plain climate is mild and the same at all places of a latitude: it has no suspect values, and
// all drivers are consistent. Each test changes what it tests.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "builder/pipeline/build.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/calendar.hpp"
#include "schema/database/database.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/tile/method.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline::test {

/// In the unit of computation (wind: at 10 m).
[[nodiscard]] double plain_climate(Variable variable, LatLon at, int month);

/// `plain_climate` of one variable.
[[nodiscard]] Field plain(Variable variable);

/// The stored values of a lattice point.
struct StoredPoint {
    bool present = false;
    Monthly<double> eto_mm_per_day{};
    Monthly<double> rain_mm{};  ///< NaN if missing, like the others
    Monthly<double> tmax_c{};
    Monthly<double> tmin_c{};
    Monthly<std::uint16_t> method_code{};
    int period = 0;
    double elevation_m = 0.0;
    friend bool operator==(const StoredPoint&, const StoredPoint&) = default;
};

class Region {
  public:
    Region();

    std::string baseline;  ///< lines of [baseline] after title and period
    std::string lattice;   ///< lines of [lattice]
    std::string rest;      ///< after everything else

    /// Writes `variable`.tif (or `name`.tif) and its [[grid]] table; `more` are additional lines.
    void add_grid(Variable variable, const RasterShape& shape, const Field& field,
                  const std::string& more = "", const std::string& name = "",
                  const std::string& period = "1991-2020");
    /// tmax, tmin, vapour_pressure, wind, radiation and rain of the plain climate.
    void add_plain_grids(const RasterShape& shape);
    void set_elevation(const RasterShape& shape, const Field& field);
    void leave_out_elevation() { elevation_.clear(); }

    [[nodiscard]] std::string path(const std::string& name) const { return folder_ / name; }
    [[nodiscard]] std::string folder() const { return folder_ / "."; }
    /// Writes recipe.toml; returns its path.
    [[nodiscard]] std::string write_recipe() const;
    [[nodiscard]] Recipe recipe() const;

    /// Builds into `name`; fails the test and throws if that fails.
    BuildOutcome build(const std::string& name = "out.sqlite") const;
    /// The error of a build; fails the test if there is none.
    [[nodiscard]] Error build_error() const;

  private:
    TempFolder folder_;
    std::string elevation_;
    std::string grids_;
};

[[nodiscard]] std::unique_ptr<Database> open_database(const std::string& path);
[[nodiscard]] StoredPoint stored_at(Database& database, LatticePoint point);
/// At the lattice point of that position; fails if there is none.
[[nodiscard]] StoredPoint stored_at(Database& database, LatLon position);

}  // namespace thirstline::test
