#include "builder/stations/station_set.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <iterator>

#include "builder/recipe/recipe.hpp"
#include "builder/stations/record_table.hpp"
#include "builder/stations/station_identity.hpp"
#include "builder/stations/station_table.hpp"

namespace thirstline {

namespace {

std::size_t index(int number) {
    return static_cast<std::size_t>(number);
}

/// The line of the month (1 to 12), or of the first month that has one.
TableLine line_of(const StationNormals& normals, std::optional<int> month) {
    if (month) return normals.lines[index(*month - 1)];
    const auto first = std::find_if(normals.lines.begin(), normals.lines.end(),
                                    [](TableLine at) { return at.line != 0; });
    return first == normals.lines.end() ? TableLine{} : *first;
}

VariablesInFiles variables_in_files(const StationRecipe& recipe, const StationTable& table) {
    VariablesInFiles counts;
    counts.files = static_cast<std::int64_t>(table.files.size());
    for (std::size_t v = 0; v < recipe.variables.size(); ++v) {
        if (table.files_without[v] > 0)
            counts.without[std::string(variable_name(recipe.variables[v].variable))] =
                table.files_without[v];
    }
    return counts;
}

}  // namespace

Result<StationSet> read_station_sources(const Recipe& recipe) {
    StationSet set;
    const UsedRegion region = region_of_stations(recipe);
    for (const StationRecipe& source : recipe.stations) {
        const int number = static_cast<int>(set.names.size());
        auto table = TRY(source.record ? read_record_table(source, number, region)
                                       : read_station_table(source, number, region));
        if (table.record) set.records.push_back(std::move(*table.record));
        std::move(table.stations.begin(), table.stations.end(), std::back_inserter(set.stations));
        set.names.push_back(source.terms.name);
        set.tallies.push_back(std::move(table.tally));
        set.variables_in_files.push_back(variables_in_files(source, table));
        set.files.push_back(std::move(table.files));
        set.inputs.push_back(std::move(table.inputs));
        set.rows_read.push_back(table.rows_read);
    }
    merge_stations(set);
    return set;
}

void report_normals(StationSet& set, const Station& station, const StationNormals& normals,
                    std::optional<int> month, const StationFinding& finding) {
    const std::size_t source = index(normals.source);
    const TableLine at = line_of(normals, month);
    Suspect suspect;
    suspect.source = set.names[source];
    if (at.line != 0) {
        suspect.file = std::filesystem::path(set.files[source][index(at.file)]).filename().string();
        suspect.line = at.line;
    }
    suspect.station = station.name;
    suspect.variable = variable_name(normals.variable);
    suspect.month = month;
    suspect.value = finding.value;
    suspect.rule = finding.rule;
    suspect.action = finding.action;
    suspect.is_used = finding.is_used;
    set.tallies[source].reject_and_list(std::move(suspect));
}

void report_station(StationSet& set, std::size_t station, std::optional<Variable> variable,
                    std::optional<int> month, const StationFinding& finding) {
    const Station& of = set.stations[station];
    if (of.normals.empty()) return;
    if (variable) {
        if (const StationNormals* normals = normals_of(of, *variable))
            report_normals(set, of, *normals, month, finding);
        return;
    }
    StationNormals itself = of.normals.front();
    itself.variable = Variable::elevation;
    report_normals(set, of, itself, std::nullopt, finding);
}

void reject_station_value(StationSet& set, std::size_t station, Variable variable,
                          std::optional<int> month, const StationFinding& finding) {
    StationNormals* normals = normals_of(set.stations[station], variable);
    if (normals == nullptr) return;
    const int known_before = known_months(normals->values);
    if (known_before == 0 || (month && std::isnan(normals->values[index(*month - 1)]))) return;
    report_normals(set, set.stations[station], *normals, month, finding);
    if (month) {
        normals->values[index(*month - 1)] = kUnknown;
    } else {
        normals->values = kUnknownYear;
    }
    set.tallies[index(normals->source)].used -= known_before - known_months(normals->values);
}

std::vector<StationCounts> station_counts(const StationSet& set) {
    std::vector<StationCounts> counts(set.names.size());
    for (std::size_t source = 0; source < set.variables_in_files.size(); ++source)
        counts[source].variables_in_files = set.variables_in_files[source];
    for (const Station& station : set.stations) {
        std::vector<bool> is_used(set.names.size(), false);
        for (const StationNormals& normals : station.normals) {
            if (known_months(normals.values) == 0) continue;
            is_used[index(normals.source)] = true;
            ++counts[index(normals.source)]
                  .normals_by_length[static_cast<std::size_t>(normals.length)];
        }
        for (std::size_t source = 0; source < is_used.size(); ++source)
            if (is_used[source]) ++counts[source].stations;
    }
    return counts;
}

}  // namespace thirstline
