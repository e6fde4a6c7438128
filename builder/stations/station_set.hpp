// All stations of a recipe: each once, with the one best normal of each variable, and a tally of
// all that was found wrong on the way.
//
// After read_station_sources, merge_stations has made one station of its rows
// (station_identity.hpp); after check_stations (station_checks.hpp), the normals hold only what may
// be used. Code that finds more faults rejects values with reject_station_value.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "builder/inputs/suspects.hpp"
#include "builder/stations/station.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct Recipe;

struct StationSet {
    std::vector<Station> stations;
    // The others by [[stations]] of the recipe.
    std::vector<std::string> names;
    std::vector<SourceTally> tallies;             ///< `used` counts months of normals
    std::vector<std::vector<std::string>> files;  ///< as GDAL's file systems spell them
    std::vector<std::int64_t> rows_read;
};

/// Reads every station source of the recipe and merges what means one station.
/// Errors: those of read_station_table (station_table.hpp).
[[nodiscard]] Result<StationSet> read_station_sources(const Recipe& recipe);

/// What is said of a suspect value, and what was done.
struct StationFinding {
    std::string value;
    std::string rule;
    std::string action;
};

/// Leaves a month (1 to 12) of a variable aside, or its whole year, and reports it by the line on
/// which it stands. Nothing happens where the station has no such value.
void reject_station_value(StationSet& set, std::size_t station, Variable variable,
                          std::optional<int> month, const StationFinding& finding);

/// Reports without leaving anything aside: of a month, of a variable, or of the station itself, for
/// which the line of its first normals is given.
void report_station(StationSet& set, std::size_t station, std::optional<Variable> variable,
                    std::optional<int> month, const StationFinding& finding);

/// The same, for normals that stand in no station of the set.
void report_normals(StationSet& set, const Station& station, const StationNormals& normals,
                    std::optional<int> month, const StationFinding& finding);

/// Counts of one source, for a report.
struct StationCounts {
    int stations = 0;  ///< with a value of the source in use
    /// Normals in use, by RecordLength.
    std::array<int, kRecordLengths> normals_by_length{};
};
[[nodiscard]] std::vector<StationCounts> station_counts(const StationSet& set);

}  // namespace thirstline
