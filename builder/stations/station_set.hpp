// All stations of a recipe: each once, with the best normal of each variable, and a tally of all
// errors found.
//
// After read_station_sources, merge_stations has merged their rows (station_identity.hpp); after
// check_stations (station_checks.hpp), the normals contain only usable values. Code that finds more
// errors rejects values with reject_station_value.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "builder/inputs/suspects.hpp"
#include "builder/records/record_findings.hpp"
#include "builder/stations/station.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct Recipe;

/// Of a source with several files, which may lack the column of a variable.
struct VariablesInFiles {
    std::int64_t files = 0;
    /// Number of files without it, by the variable's name; only variables that some file lacks.
    std::map<std::string, std::int64_t> without;
};

struct StationSet {
    std::vector<Station> stations;
    // The following are by [[stations]] of the recipe, and then by [[records]].
    std::vector<std::string> names;
    std::vector<SourceTally> tallies;              ///< `used` counts months of normals
    std::vector<std::vector<std::string>> files;   ///< of TableLine::file
    std::vector<std::vector<std::string>> inputs;  ///< as paths in GDAL's file systems
    std::vector<std::int64_t> rows_read;
    std::vector<VariablesInFiles> variables_in_files;
    std::vector<RecordFindings> records;  ///< of [[records]] only
};

/// Reads every station source of the recipe and merges the rows of the same station.
/// Errors: those of read_station_table (station_table.hpp).
[[nodiscard]] Result<StationSet> read_station_sources(const Recipe& recipe);

/// The reason for a suspect value, and the action taken.
struct StationFinding {
    std::string value;
    std::string rule;
    std::string action;
    bool is_used = false;  ///< the value is used nevertheless
};

/// Rejects a month (1 to 12) of a variable, or its whole year, and reports it with its line. Does
/// nothing if the station does not have the value.
void reject_station_value(StationSet& set, std::size_t station, Variable variable,
                          std::optional<int> month, const StationFinding& finding);

/// Reports without rejecting anything: for a month, a variable, or the station itself, with the
/// line of its first normals.
void report_station(StationSet& set, std::size_t station, std::optional<Variable> variable,
                    std::optional<int> month, const StationFinding& finding);

/// The same, for normals that are not in a station of the set.
void report_normals(StationSet& set, const Station& station, const StationNormals& normals,
                    std::optional<int> month, const StationFinding& finding);

/// Counts for one source, for a report.
struct StationCounts {
    int stations = 0;  ///< with a value of the source in use
    /// Normals in use, by RecordLength.
    std::array<int, kRecordLengths> normals_by_length{};
    VariablesInFiles variables_in_files;
};
[[nodiscard]] std::vector<StationCounts> station_counts(const StationSet& set);

}  // namespace thirstline
