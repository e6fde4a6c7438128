// A gridded source of monthly normals (or of elevation), read through GDAL for a streamed build.
//
// In three steps, so that one thread reads and several sample:
//     Placement placement = grid.place(block);            where the points are on the raster
//     Result<GridWindow> window = grid.read(placement);   the cells they need, checked
//     window->sample(placement, row, column);             in any thread
// Values are in the unit of computation. Values marked as missing in the file, and values that are
// not plausible for any climate (plausible_values.hpp), are NaN.
//
// Thread safety: a Grid belongs to one thread at a time, the reader; `place`, `touches` and the
// plain accessors may be called from any thread.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "builder/grids/cell_elevations.hpp"
#include "builder/grids/cell_ownership.hpp"
#include "builder/grids/grid_window.hpp"
#include "builder/grids/placement.hpp"
#include "builder/grids/variables_and_units.hpp"
#include "builder/grids/year_range.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/geo/lattice.hpp"

class GDALDataset;

namespace thirstline {

struct GridSpec {
    std::string name;
    Variable variable = Variable::tmax;
    std::string path;  ///< anything GDAL opens; twelve files with "{month}" (1) or "{month:02}"
                       ///< (01); a file a year with "{year}"
    /// Of the means that are made from a file with the months of several years, or from several.
    std::optional<YearRange> years;
    std::string unit;  ///< of the file's numbers · scale + offset
    /// Only for a file that states neither itself, or with `is_scale_of_file_wrong`.
    std::optional<double> scale;
    std::optional<double> offset;
    bool is_scale_of_file_wrong = false;  ///< the file's own scale and offset are not used
    bool is_unit_of_file_wrong = false;   ///< the file's own unit is not compared with `unit`
    std::string netcdf_variable;          ///< may be empty if there is only one
    double value_factor = 1.0;  ///< for canonical values, after checks: wind to 2 m, wind_factor
    std::string where;          ///< "recipe.toml:12", the beginning of every message; may be
                                ///< empty
};

class Grid {
  public:
    /// Opens the raster and checks everything that can be known without reading it: twelve bands, a
    /// netCDF variable with twelve times, or twelve files of one geometry (elevation: one band); a
    /// place on Earth; a unit that fits the variable and does not contradict the file; scale and
    /// offset not given twice. Of the months of several years, one of each is needed, and their
    /// means are made at once (mean_raster.hpp). Errors: io if a file does not exist or the means
    /// cannot be written, bad_input otherwise.
    [[nodiscard]] static Result<std::unique_ptr<Grid>> open(const GridSpec& spec);
    ~Grid();
    Grid(const Grid&) = delete;
    Grid& operator=(const Grid&) = delete;

    [[nodiscard]] const GridSpec& spec() const { return spec_; }
    [[nodiscard]] int columns() const;
    [[nodiscard]] int rows() const;
    /// Center of a cell; NaN if it cannot be converted to latitude and longitude.
    [[nodiscard]] LatLon cell_centre(int row, int column) const;
    /// Doubts about a grid that can still be used.
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }
    /// What the file's numbers are multiplied by, and what is added, before their unit: the file's
    /// own or the recipe's. (Of January; no known file has several.)
    [[nodiscard]] double scale() const { return scale_; }
    [[nodiscard]] double offset() const { return offset_; }
    /// Whether scale and offset are the file's own.
    [[nodiscard]] bool is_scale_of_file() const { return is_scale_of_file_; }
    /// The files of the grid, including sidecars, in a fixed order and as paths for GDAL's VSI
    /// functions.
    [[nodiscard]] const std::vector<std::string>& files() const { return files_; }

    /// Whether the raster and the box overlap. Degrees; `east` may exceed 180.
    [[nodiscard]] bool touches(double west, double south, double east, double north) const;

    [[nodiscard]] Placement place(const PointBlock& block) const;
    /// The same for points in any order: as a single row.
    [[nodiscard]] Placement place(const std::vector<LatLon>& points) const;

    /// Reads the cells of the placement. The window's `rejections` has all rejected values in it.
    /// Errors (bad_input): the file is damaged.
    [[nodiscard]] Result<GridWindow> read(const Placement& placement);
    /// The same, but only cells owned by the block are reported as rejected. The placement must be
    /// that of `block_of_lattice(lattice, block)` for the lattice of the ownership.
    [[nodiscard]] Result<GridWindow> read(const Placement& placement,
                                          const CellOwnership& ownership, const BlockBounds& block);
    [[nodiscard]] CellOwnership ownership(const Lattice& lattice) const;

    /// Reads about a thousand cells spread over the raster. Error (bad_input): most of them are not
    /// plausible for any climate, so the unit must be wrong.
    [[nodiscard]] Result<void> check_unit_plausible();

    /// The size of GDAL's block cache that can hold one row of the file's blocks for all months:
    /// with a smaller one, adjacent blocks of points decompress the same data again.
    [[nodiscard]] std::int64_t block_row_bytes() const;

    [[nodiscard]] const std::shared_ptr<const RasterGeometry>& geometry() const {
        return geometry_;
    }

  private:
    struct Bands;
    Grid();
    [[nodiscard]] Result<void> open_bands();
    [[nodiscard]] Result<void> open_years();
    [[nodiscard]] Result<void> settle_geometry(GDALDataset& dataset, const std::string& path);
    void add_files_of(GDALDataset& dataset, const std::string& fallback);
    [[nodiscard]] Result<void> settle_scale();
    [[nodiscard]] Result<void> check_units_of_file();
    [[nodiscard]] Result<GridWindow> read_cells(const Placement& placement,
                                                const CellOwnership* ownership,
                                                const BlockBounds* block);

    GridSpec spec_;
    std::unique_ptr<Bands> bands_;
    std::shared_ptr<const RasterGeometry> geometry_;
    UnitConversion conversion_;
    bool is_mean_of_years_ = false;
    double scale_ = 1.0;
    double offset_ = 0.0;
    bool is_scale_of_file_ = false;
    std::vector<std::string> warnings_;
    std::vector<std::string> files_;
};

/// Whether both rasters have the same cells in the same places, so that a Placement and
/// CellElevations of one can be used with the other.
[[nodiscard]] bool same_geometry(const Grid& a, const Grid& b);

/// A grid's values at scattered places, such as stations.
struct PlaceSample {
    GridSample sample;
    Monthly<CellGround> ground{};  ///< NaN without an elevation grid
};
/// Reads a few cells for each place, so that memory does not grow with the area of the stations.
/// `elevation` may be null. Errors: as Grid::read.
[[nodiscard]] Result<std::vector<PlaceSample>> samples_at(
    Grid& grid, Grid* elevation, const std::vector<LatLon>& places,
    Coverage coverage = Coverage::containing_cell);
/// Elevation at scattered places, m; NaN if unknown. `inland` has one entry per place, or none.
[[nodiscard]] Result<std::vector<double>> elevations_at(Grid& elevation,
                                                        const std::vector<LatLon>& places,
                                                        const std::vector<bool>& inland);

/// Share of land at scattered places: GridWindow::point_land_share.
[[nodiscard]] Result<std::vector<double>> land_at(Grid& elevation,
                                                  const std::vector<LatLon>& places);

/// Registers GDAL's drivers, limits its block cache and prevents it from writing files next to its
/// inputs. Must be called once, at the start of the program, before any thread.
void set_up_gdal(std::int64_t block_cache_bytes = std::int64_t{128} << 20);

}  // namespace thirstline
