// The times of a dataset's bands, if the file states them: those of netCDF by the conventions of
// CF, in the standard calendar and in those without leap years or with 360 days, and those of GRIB.
//
// Thread safety: that of the dataset.
#pragma once

#include <optional>
#include <vector>

class GDALDataset;

namespace thirstline {

struct BandTime {
    std::optional<int> year;    ///< nothing in a file of normals, whose months have only numbers
    int month = 0;              ///< 0 is January
    bool starts_month = false;  ///< it is the first instant of the month
};

/// Of every band, in their order; nothing if one of them cannot be dated.
[[nodiscard]] std::optional<std::vector<BandTime>> band_times(GDALDataset& dataset);

/// The last month of a year and the first of the next have consecutive numbers.
[[nodiscard]] constexpr int month_number(int year, int month) {
    return year * 12 + month;
}

}  // namespace thirstline
