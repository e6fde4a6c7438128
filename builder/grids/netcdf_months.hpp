// The months that a netCDF file's twelve times refer to, if the file specifies them.
//
// Thread safety: that of the dataset.
#pragma once

#include <optional>
#include <string>

class GDALDataset;

namespace thirstline {

/// The fault in the times of a dataset of twelve bands, such as "its first time is in July";
/// nothing if they run from January to December or cannot be read (other calendars, no time axis).
/// A time on the first day of a month, at 0 h, may also be the end of the previous month.
[[nodiscard]] std::optional<std::string> trouble_with_months(GDALDataset& dataset);

}  // namespace thirstline
