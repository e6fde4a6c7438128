// A table of stations that are only scored, never used.
//
// CSV with a header, a row a station and month; columns may stand in any order, others are passed
// over, and a blank field is unknown:
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

#include "builder/stations/station_table.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Errors: io where the file cannot be read; bad_input where a required column or every column of
/// values is missing, and those of read_station_table (station_table.hpp).
[[nodiscard]] Result<StationTable> read_holdout_table(const std::string& path);

}  // namespace thirstline
