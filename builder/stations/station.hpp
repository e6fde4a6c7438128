// Stations and their normals, in the units of computation.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "builder/grids/variables_and_units.hpp"
#include "builder/recipe/flag_meanings.hpp"
#include "builder/records/year_slopes.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Such as "standard normal".
[[nodiscard]] std::string_view record_length_name(RecordLength length);

/// The position of a value in its source.
struct TableLine {
    std::int32_t file = -1;  ///< index into the files of its source
    std::int32_t line = 0;   ///< 0: none
};

/// One variable's normals at one station.
struct StationNormals {
    Variable variable = Variable::tmax;
    int source = 0;  ///< index into the recipe's station sources
    /// In the unit of computation; wind at 2 m, with its source's wind factor applied. NaN if
    /// unknown.
    Monthly<double> values = kUnknownYear;
    Monthly<TableLine> lines{};
    double years = kUnknown;  ///< of record, the lowest of the months; NaN if not stated
    RecordLength length = RecordLength::not_stated;
};

struct Station {
    std::string id;       ///< as in the table; does not identify a station by itself
    std::string name;     ///< UTF-8; the id if the table has no name
    std::string country;  ///< as in the table or the recipe; may be empty
    LatLon position;
    double elevation_m = kUnknown;
    std::vector<StationNormals> normals;  ///< each variable once in merged stations
    std::optional<YearsOfNeed> years;     ///< of a record with ETo, or temperature, and rain
};

/// Null if the station has none.
[[nodiscard]] const StationNormals* normals_of(const Station& station, Variable variable);
[[nodiscard]] StationNormals* normals_of(Station& station, Variable variable);

/// The normals' values; unknown in every month if the station has none.
[[nodiscard]] const Monthly<double>& values_of(const Station& station, Variable variable);

/// Months with a value.
[[nodiscard]] int known_months(const Monthly<double>& values);

/// "12.3 degC": a value in the unit of computation, for reports.
[[nodiscard]] std::string value_text(Variable variable, double value);

}  // namespace thirstline
