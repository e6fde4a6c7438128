// A table of stations that are only scored and never used for estimates.
//
// CSV with a header, one row per station and month; columns may be in any order, others are
// ignored, and a blank field is unknown:
//     name, country          text; may be absent
//     lat, lon               degrees (required)
//     elevation_m            may be absent: then the terrain model's
//     month                  1 to 12 (required)
//     tmax_c, tmin_c         °C
//     rain_mm                mm in the month
//     dew_point_c            °C
//     vapour_pressure_kpa    kPa
//     wind_2m_m_s            m/s at 2 m
//     radiation_mj_m2_day    MJ/m²/day
//     sunshine_h_day         h/day
#pragma once

#include <string>
#include <vector>

#include "builder/stations/station_table.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Columns that are not read although they may be meant to be: named like a variable, or nearly
/// like a known column. Errors: io if the file cannot be read.
[[nodiscard]] Result<std::vector<std::string>> unread_holdout_columns(const std::string& path);

/// Errors: io if the file cannot be read; bad_input if a required column or every column of values
/// is missing, and those of read_station_table (station_table.hpp).
[[nodiscard]] Result<StationTable> read_holdout_table(const std::string& path);

}  // namespace thirstline
