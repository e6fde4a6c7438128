// A gridded source of monthly normals (or of elevation), read through GDAL for a streamed build.
//
// In three steps, so that one thread reads and several sample:
//     Placement placement = grid.place(block);           where the points lie on the raster
//     Result<GridWindow> window = grid.read(placement);   the cells they need, checked
//     window->sample(placement, row, column);             in any thread
// Values come in the unit of computation; what the file marks as missing and what no climate has
// (plausible_values.hpp) is NaN.
//
// Thread safety: a Grid belongs to one thread at a time, the reader; `place`, `touches` and the
// plain accessors may be called from any thread.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "builder/grids/cell_elevations.hpp"
#include "builder/grids/cell_ownership.hpp"
#include "builder/grids/grid_window.hpp"
#include "builder/grids/placement.hpp"
#include "builder/grids/variables_and_units.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

struct GridSpec {
    std::string name;
    Variable variable = Variable::tmax;
    std::string path;  ///< anything GDAL opens; twelve files by "{month}" (1) or "{month:02}" (01)
    std::string unit;  ///< of the numbers after the file's own scale and offset
    double scale = 1.0;           ///< factor on these numbers before their unit
    std::string netcdf_variable;  ///< may be empty where there is no choice
    double value_factor = 1.0;    ///< on canonical values, after checks: wind to 2 m, exposure
    std::string where;            ///< "recipe.toml:12", put before every message; may be empty
};

class Grid {
  public:
    /// Opens the raster and makes sure of everything that can be known without reading it: twelve
    /// bands, a netCDF variable with twelve times, or twelve files of one geometry (elevation: one
    /// band); a place on Earth; a unit that fits the variable and does not contradict the file.
    /// Errors: io where a file is not there, bad_input otherwise.
    [[nodiscard]] static Result<std::unique_ptr<Grid>> open(const GridSpec& spec);
    ~Grid();
    Grid(const Grid&) = delete;
    Grid& operator=(const Grid&) = delete;

    [[nodiscard]] const GridSpec& spec() const { return spec_; }
    [[nodiscard]] int columns() const;
    [[nodiscard]] int rows() const;
    /// Centre of a cell; NaN where it cannot be converted to latitude and longitude.
    [[nodiscard]] LatLon cell_centre(int row, int column) const;
    /// What the user should know although the grid can be used.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }
    /// The files behind the grid, sidecars included, in a fixed order and spelled for GDAL's VSI
    /// functions.
    [[nodiscard]] const std::vector<std::string>& files() const { return files_; }

    /// Does the raster share any ground with the box? Degrees; `east` may lie past 180.
    [[nodiscard]] bool touches(double west, double south, double east, double north) const;

    [[nodiscard]] Placement place(const PointBlock& block) const;
    /// The same for points in any order: one row of them.
    [[nodiscard]] Placement place(const std::vector<LatLon>& points) const;

    /// Reads the cells of the placement. `rejections` of the window holds all refused values in it.
    /// Errors (bad_input): the file is damaged.
    [[nodiscard]] Result<GridWindow> read(const Placement& placement);
    /// The same, but only cells owned by the block are reported as refused. The placement must be
    /// that of `block_of_lattice(lattice, block)` for the lattice of the ownership.
    [[nodiscard]] Result<GridWindow> read(const Placement& placement,
                                          const CellOwnership& ownership, const BlockBounds& block);
    [[nodiscard]] CellOwnership ownership(const Lattice& lattice) const;

    /// Looks at some thousand cells spread over the raster. Error (bad_input): most of them are
    /// values that no climate has, so that the unit cannot be right.
    [[nodiscard]] Result<void> check_unit_plausible();

    /// Memory that GDAL's block cache needs to hold one row of the file's blocks, all months: with
    /// less, neighbouring blocks of points decompress the same data again.
    [[nodiscard]] std::int64_t block_row_bytes() const;

    [[nodiscard]] const std::shared_ptr<const RasterGeometry>& geometry() const {
        return geometry_;
    }

  private:
    struct Bands;
    Grid();
    [[nodiscard]] Result<void> open_bands();
    [[nodiscard]] Result<GridWindow> read_cells(const Placement& placement,
                                                const CellOwnership* ownership,
                                                const BlockBounds* block);

    GridSpec spec_;
    std::unique_ptr<Bands> bands_;
    std::shared_ptr<const RasterGeometry> geometry_;
    UnitConversion conversion_;
    std::vector<std::string> warnings_;
    std::vector<std::string> files_;
};

/// Do both rasters have the same cells in the same places, so that a Placement and CellElevations
/// of one serve the other?
[[nodiscard]] bool same_geometry(const Grid& a, const Grid& b);

/// A grid at scattered places, such as stations.
struct PlaceSample {
    GridSample sample;
    Monthly<CellGround> ground{};  ///< NaN without an elevation grid
};
/// Reads a few cells for each place, so that a world of stations needs no world in memory.
/// `elevation` may be null. Errors: as Grid::read.
[[nodiscard]] Result<std::vector<PlaceSample>> samples_at(
    Grid& grid, Grid* elevation, const std::vector<LatLon>& places,
    Coverage coverage = Coverage::containing_cell);
/// Elevation at scattered places, m; NaN where unknown. `inland` has one entry a place, or none.
[[nodiscard]] Result<std::vector<double>> elevations_at(Grid& elevation,
                                                        const std::vector<LatLon>& places,
                                                        const std::vector<bool>& inland);

/// Registers GDAL's drivers, bounds its block cache and stops it from writing beside its inputs. To
/// be called once, at the program's start, before any thread.
void set_up_gdal(std::int64_t block_cache_bytes = std::int64_t{128} << 20);

}  // namespace thirstline
