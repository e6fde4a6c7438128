// Which months a netCDF file's twelve times stand for, as far as the file says.
//
// Thread safety: as the dataset that is asked.
#pragma once

#include <optional>
#include <string>

class GDALDataset;

namespace thirstline {

/// What is wrong with the times of a dataset of twelve bands, such as "its first time lies in
/// July"; nothing if they run from January to December or cannot be read (other calendars, no time
/// axis). A time on the first day of a month, at 0 h, may as well end the month before.
[[nodiscard]] std::optional<std::string> trouble_with_months(GDALDataset& dataset);

}  // namespace thirstline
