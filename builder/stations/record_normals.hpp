// The normals of one station of a record, and what is void in it.
#pragma once

#include "builder/recipe/station_recipe.hpp"
#include "builder/records/day_weather.hpp"
#include "builder/records/record_findings.hpp"
#include "builder/records/years_of_station.hpp"
#include "builder/stations/station.hpp"

namespace thirstline {

struct FinishedRecord {
    const StationRecipe& recipe;
    int source;  ///< of StationNormals
    const DayWeatherColumns& columns;
    const YearsOfStation& record;
    const EtoComparison& eto;
    TableLine first;  ///< of the station's rows
};

/// Adds the normals of every variable with a month known to `station`, whose place is known. Of
/// reference ET the network's own is used if there is one, else that of the days if the recipe
/// allows it. Counts the months used and void in `source`.
[[nodiscard]] StationFindings normals_of_record(const FinishedRecord& finished, Station& station,
                                                RecordFindings& source);

}  // namespace thirstline
