// The twelve bands of a Grid (one for elevation), from one file or several. Within this folder
// only.
#pragma once

#include <gdal_priv.h>

#include <cmath>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "builder/grids/grid.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// The value of a cell without data in a window.
inline constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

/// Raw numbers that mean "missing", in the file's own type.
class MissingMarks {
  public:
    explicit MissingMarks(GDALRasterBand& band);
    [[nodiscard]] bool is_missing(double raw) const {
        if (std::isnan(raw)) return true;
        for (const double mark : marks_)
            if (raw == mark) return true;
        return false;
    }

  private:
    void add(double mark);
    bool is_float32_ = false;
    std::vector<double> marks_;
};

struct MonthBand {
    GDALRasterBand* band = nullptr;
    double scale = 1.0;
    double offset = 0.0;
    MissingMarks missing;
    bool has_mask = false;  ///< has its own mask, in addition to or instead of a missing value
};

/// With the file's own scale and offset.
[[nodiscard]] MonthBand month_band(GDALRasterBand& band);

struct Grid::Bands {
    std::vector<GDALDatasetUniquePtr> datasets;  ///< one, or twelve
    std::vector<MonthBand> months;               ///< twelve, or one
};

/// The message for users: the recipe's line, the grid, then the sentence.
[[nodiscard]] std::string about_grid(const GridSpec& spec, const std::string& sentence);

[[nodiscard]] inline int bands_needed(const GridSpec& spec) {
    return spec.variable == Variable::elevation ? 1 : kMonths;
}

/// Whether more bands than are needed will do: months of several years.
enum class MoreBands { refused, accepted };

/// Opens one file (or one variable of it) and finds `bands` bands in it.
[[nodiscard]] Result<GDALDatasetUniquePtr> open_dataset(const GridSpec& spec,
                                                        const std::string& path, int bands,
                                                        MoreBands more = MoreBands::refused);

}  // namespace thirstline
