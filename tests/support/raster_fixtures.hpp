// Rasters generated for the tests, each from a known field over the Earth.
#pragma once

#include <gdal_priv.h>

#include <array>
#include <functional>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "builder/grids/grid.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// A folder that is removed with its contents. Sets GDAL up.
class TempFolder {
  public:
    TempFolder();
    ~TempFolder();
    TempFolder(const TempFolder&) = delete;
    TempFolder& operator=(const TempFolder&) = delete;
    [[nodiscard]] std::string operator/(const std::string& name) const {
        return path_ + "/" + name;
    }
    /// "folder/stem7.tif" and so on.
    [[nodiscard]] std::string numbered(const std::string& stem, int number,
                                       const std::string& ending) const;

  private:
    std::string path_;
};

struct RasterShape {
    int columns = 0;
    int rows = 0;
    std::array<double, 6> geotransform{};
    std::string coordinate_system = "EPSG:4326";  ///< empty: none
};

/// North-up geographic raster with its north-west corner at the given place.
[[nodiscard]] RasterShape north_up(double west, double north, double cell_deg, int columns,
                                   int rows);

struct RasterOptions {
    std::string driver = "GTiff";
    GDALDataType type = GDT_Float64;
    double scale = 1.0;
    double offset = 0.0;
    double missing_mark = std::numeric_limits<double>::quiet_NaN();  ///< NaN: none written
    std::string unit = {};
    std::vector<std::string> creation = {};
};

/// Physical values; NaN is written as the missing mark.
using CellValues = std::function<double(int column, int row, int band)>;
void write_raster(const std::string& path, const RasterShape& shape, int bands,
                  const CellValues& values, const RasterOptions& options = {});

/// The same from a field over the Earth, sampled at cell centres.
using Field = std::function<double(LatLon at, int month)>;
[[nodiscard]] CellValues at_cell_centres(const RasterShape& shape, const Field& field);

/// By default mid-January to mid-December, or as many months as there are times.
struct NetcdfTimes {
    std::string unit = "months since 1976-01-01";
    std::vector<double> values = {0.5, 1.5, 2.5, 3.5, 4.5, 5.5, 6.5, 7.5, 8.5, 9.5, 10.5, 11.5};
};
struct NetcdfVariable {
    std::string name;
    std::string unit;
    CellValues values;
    double scale = 1.0;
    bool has_times = true;  ///< otherwise one layer, such as a mask of land
};
/// 12 times (or `times`), latitude and longitude axes as in CF; no grid mapping.
void write_netcdf(const std::string& path, const RasterShape& shape, int times,
                  const std::vector<NetcdfVariable>& variables, const NetcdfTimes& when = {});

/// Copies a file into an archive: to "/vsizip/a.zip/name" or "/vsigzip/a.gz".
void copy_file(const std::string& from, const std::string& to);

/// A field that bilinear interpolation reproduces exactly, in °C.
[[nodiscard]] double linear_tmax_c(LatLon at, int month);

[[nodiscard]] GridSpec spec_of(Variable variable, std::string_view unit, const std::string& path);
[[nodiscard]] GridSpec tmax_spec(const std::string& path);

/// Opens a grid; fails the test and throws if it cannot.
[[nodiscard]] std::unique_ptr<Grid> opened(const GridSpec& spec);
/// The error of opening; fails the test if there is none.
[[nodiscard]] Error open_error(const GridSpec& spec);

/// Samples one point with place, read and sample.
[[nodiscard]] GridSample sample_at(Grid& grid, LatLon at);

}  // namespace thirstline
