#include "builder/compare/compared_lists.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <set>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

namespace {

// Also numbers that follow from the stations.
constexpr std::array<std::string_view, 7> kOfTheFileAlone{
    "content_sha256",    "head_crc32",       "last_tile_key",      "points",
    "incomplete_points", "station_range_km", "station_vertical_km"};
constexpr std::size_t kMaxLines = 4'000;
constexpr double kSameStationKm = 50.0;
constexpr double kMovedStationKm = 0.1;

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        lines.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return lines;
}

void add_change(std::vector<TextChange>& changes, const std::string& what,
                const std::string& before, const std::string& after) {
    if (before != after) changes.push_back({what, before, after});
}

std::string files_text(const Source& source) {
    std::string text;
    for (const SourceFile& file : source.files)
        text += (text.empty() ? "" : ", ") + file.name + " " + file.sha256.substr(0, 12);
    return text;
}

std::string rejections_text(const Source& source) {
    std::string text;
    for (const RejectedCount& rejected : source.rejected)
        text += (text.empty() ? "" : ", ") + rejected.rule + ": " + std::to_string(rejected.count);
    return text;
}

void add_source_changes(std::vector<TextChange>& changes, const std::string& what,
                        const Source& before, const Source& after) {
    add_change(changes, what + ": period", before.period, after.period);
    add_change(changes, what + ": license", before.licence, after.licence);
    add_change(changes, what + ": attribution", before.attribution, after.attribution);
    add_change(changes, what + ": address", before.url, after.url);
    add_change(changes, what + ": files", files_text(before), files_text(after));
    add_change(changes, what + ": values used", std::to_string(before.values_used),
               std::to_string(after.values_used));
    add_change(changes, what + ": values rejected", rejections_text(before),
               rejections_text(after));
}

double distance_km(const StationRecord& a, const StationRecord& b) {
    return great_circle_km(to_degrees(a.position), to_degrees(b.position));
}

/// The number of the nearest station of the same name that is not taken.
std::optional<std::size_t> same_station(const StationRecord& wanted,
                                        const std::vector<StationRecord>& among,
                                        const std::vector<bool>& is_taken) {
    std::optional<std::size_t> nearest;
    double nearest_km = kSameStationKm;
    for (std::size_t i = 0; i < among.size(); ++i) {
        if (is_taken[i] || among[i].name != wanted.name || among[i].country != wanted.country)
            continue;
        const double km = distance_km(wanted, among[i]);
        if (km > nearest_km) continue;
        nearest = i;
        nearest_km = km;
    }
    return nearest;
}

}  // namespace

const char* station_change_name(StationChangeKind kind) {
    switch (kind) {
        case StationChangeKind::added:
            return "added";
        case StationChangeKind::removed:
            return "removed";
        case StationChangeKind::moved:
            return "moved";
        case StationChangeKind::changed:
            return "changed";
    }
    return "";
}

std::vector<TextChange> compared_metadata(const Metadata& before, const Metadata& after) {
    std::set<std::string> keys;
    for (const Metadata* metadata : {&before, &after})
        for (const auto& [key, value] : *metadata) keys.insert(key);
    const auto value_of = [](const Metadata& metadata, const std::string& key) {
        const auto found = metadata.find(key);
        return found == metadata.end() ? std::string() : found->second;
    };
    std::vector<TextChange> changes;
    for (const std::string& key : keys) {
        if (std::ranges::find(kOfTheFileAlone, key) != kOfTheFileAlone.end()) continue;
        add_change(changes, key, value_of(before, key), value_of(after, key));
    }
    return changes;
}

std::vector<RecipeLine> compared_lines(const std::string& before, const std::string& after) {
    const auto old_lines = lines_of(before);
    const auto new_lines = lines_of(after);
    const std::size_t n = old_lines.size();
    const std::size_t m = new_lines.size();
    if (n > kMaxLines || m > kMaxLines) return {};
    // Length of the longest common subsequence of the lines from i and from j on.
    std::vector<std::uint16_t> length((n + 1) * (m + 1), 0);
    const auto at = [&](std::size_t i, std::size_t j) -> std::uint16_t& {
        return length[i * (m + 1) + j];
    };
    for (std::size_t i = n; i-- > 0;) {
        for (std::size_t j = m; j-- > 0;) {
            at(i, j) = old_lines[i] == new_lines[j]
                           ? static_cast<std::uint16_t>(at(i + 1, j + 1) + 1)
                           : std::max(at(i + 1, j), at(i, j + 1));
        }
    }
    std::vector<RecipeLine> changes;
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < n || j < m) {
        if (i < n && j < m && old_lines[i] == new_lines[j]) {
            ++i;
            ++j;
        } else if (i < n && (j == m || at(i + 1, j) >= at(i, j + 1))) {
            changes.push_back({false, static_cast<int>(i) + 1, old_lines[i]});
            ++i;
        } else {
            changes.push_back({true, static_cast<int>(j) + 1, new_lines[j]});
            ++j;
        }
    }
    return changes;
}

std::vector<TextChange> compared_sources(const std::vector<Source>& before,
                                         const std::vector<Source>& after) {
    std::vector<TextChange> changes;
    std::vector<bool> is_taken(after.size(), false);
    const auto title = [](const Source& source) {
        return "source " + source.name + " (" + source.variable + ")";
    };
    for (const Source& old_source : before) {
        std::size_t i = 0;
        while (i < after.size() && (is_taken[i] || after[i].name != old_source.name ||
                                    after[i].variable != old_source.variable))
            ++i;
        if (i == after.size()) {
            changes.push_back({title(old_source), "present", "absent"});
            continue;
        }
        is_taken[i] = true;
        add_source_changes(changes, title(old_source), old_source, after[i]);
    }
    for (std::size_t i = 0; i < after.size(); ++i)
        if (!is_taken[i]) changes.push_back({title(after[i]), "absent", "present"});
    return changes;
}

std::vector<StationChange> compared_stations(const std::vector<StationRecord>& before,
                                             const std::vector<StationRecord>& after) {
    std::vector<StationChange> changes;
    std::vector<bool> is_taken(after.size(), false);
    std::vector<const StationRecord*> unmatched;
    // Unchanged ones first, so that a changed station of the same name does not take their place.
    for (const StationRecord& station : before) {
        const auto same = std::ranges::find_if(after, [&](const StationRecord& other) {
            return !is_taken[static_cast<std::size_t>(&other - after.data())] && other == station;
        });
        if (same == after.end()) {
            unmatched.push_back(&station);
        } else {
            is_taken[static_cast<std::size_t>(same - after.begin())] = true;
        }
    }
    for (const StationRecord* station : unmatched) {
        const auto same = same_station(*station, after, is_taken);
        if (!same) {
            changes.push_back({StationChangeKind::removed, *station, 0.0, {}});
            continue;
        }
        is_taken[*same] = true;
        StationChange change{StationChangeKind::changed, after[*same], 0.0, {}};
        const double km = distance_km(*station, change.station);
        if (km > kMovedStationKm) {
            change.kind = StationChangeKind::moved;
            change.moved_km = km;
        }
        add_change(change.details, "elevation_m", std::to_string(station->elevation_m),
                   std::to_string(change.station.elevation_m));
        add_change(change.details, "source", station->source, change.station.source);
        add_change(change.details, "period", station->period, change.station.period);
        add_change(change.details, "variables", station->variables, change.station.variables);
        if (change.kind == StationChangeKind::moved || !change.details.empty())
            changes.push_back(std::move(change));
    }
    for (std::size_t i = 0; i < after.size(); ++i)
        if (!is_taken[i]) changes.push_back({StationChangeKind::added, after[i], 0.0, {}});
    std::ranges::stable_sort(changes, {}, &StationChange::kind);
    return changes;
}

}  // namespace thirstline
