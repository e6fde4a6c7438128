// The means over the years of the months of a period, as a temporary raster of twelve bands.
//
// The bands are read strip by strip, one file at a time. Memory is bounded by the rows of a strip
// (kMeanBytes) and one row of the files' own blocks; the raster is on disk, of 48 bytes a cell, and
// has no name, so that nothing of it remains however the program ends.
//
// A mean needs a value in 80 % of the years (WMO-No. 1203; second hand). A cell that has a value
// that is not plausible in any year has that value in place of the mean, so that it is rejected and
// reported like every other.
#pragma once

#include <gdal_priv.h>

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "builder/grids/grid.hpp"
#include "builder/grids/variables_and_units.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// For sums and counts.
inline constexpr std::size_t kMeanBytes = std::size_t{96} << 20;
inline constexpr double kShareOfYears = 0.8;

/// One month of one year.
struct YearBand {
    std::size_t file = 0;
    int band = 1;
    int month = 0;  ///< 0 is January
    double scale = 1.0;
    double offset = 0.0;
};

struct YearFiles {
    std::vector<std::string> paths;
    std::vector<int> band_counts;  ///< of each file, for opening it again
    std::vector<YearBand> bands;   ///< in the order of the files
    int years = 0;
    int columns = 0;
    int rows = 0;
    int block_rows = 1;  ///< of the files' own blocks
};

struct MeanRaster {
    GDALDatasetUniquePtr dataset;  ///< Float32, in the unit of the files' scaled numbers
    std::int64_t incomplete = 0;   ///< months of cells with a value in too few years
    int needed_years = 0;
};

/// Errors: bad_input for a damaged file; io if the raster cannot be written.
[[nodiscard]] Result<MeanRaster> mean_raster(const GridSpec& spec, const YearFiles& files,
                                             const UnitConversion& conversion);

}  // namespace thirstline
