#include "builder/join/joined_baseline.hpp"

#include <algorithm>
#include <array>
#include <set>

#include "builder/join/conflicts.hpp"

namespace thirstline {

namespace {

// Metadata that describe only the file itself, and are written newly for the joined one.
constexpr std::array<std::string_view, 6> kOfTheFileItself{
    "content_sha256", "head_crc32", "last_tile_key", "points", "incomplete_points", "tile_rows"};
// Different subsets of one file may be joined.
constexpr std::array<std::string_view, 2> kOfTheSubset{"subset_selection", "subset_bbox"};

std::string beginning_in_quotes(const std::string& text) {
    constexpr std::size_t kMost = 60;
    return "\"" + (text.size() > kMost ? text.substr(0, kMost) + "…" : text) + "\"";
}

/// Joins the files of one baseline, one after another.
class BaselineJoin {
  public:
    explicit BaselineJoin(Conflicts& conflicts) : conflicts_(conflicts) {}

    void add(const JoinInput& input) {
        baseline_.inputs.push_back(&input);
        if (baseline_.inputs.size() == 1) {
            start_with(input);
            return;
        }
        add_history(input);
        add_metadata(input);
        if (input.database->layout().layers != baseline_.layout().layers)
            contradiction(input, "their layers differ");
        if (input.database->layout().elevation_adjustment !=
            baseline_.layout().elevation_adjustment)
            contradiction(input, "answers are adjusted to an elevation in different ways");
        add_tile_rows(input);
        add_sources(input);
        add_rows(input, baseline_.periods, input.periods, &PeriodRow::id, "period");
        add_rows(input, baseline_.methods, input.methods, &MethodRow::code, "method");
        add_stations(input);
    }

    JoinedBaseline finished() {
        if (baseline_.tile_rows.is_whole()) baseline_.tile_rows = {};
        return std::move(baseline_);
    }

  private:
    void contradiction(const JoinInput& input, const std::string& how) {
        conflicts_.add("in " + baseline_.inputs.front()->path() + " and " + input.path() + " " +
                       how);
    }

    void start_with(const JoinInput& input) {
        for (const auto& [key, value] : input.database->all_metadata()) {
            if (std::ranges::find(kOfTheFileItself, key) == kOfTheFileItself.end())
                baseline_.metadata[key] = value;
        }
        baseline_.tile_rows = input.tile_rows;
        baseline_.sources = input.sources;
        baseline_.stations = input.stations;
        baseline_.periods = input.periods;
        baseline_.methods = input.methods;
        baseline_.history = input.history;
    }

    /// Different recipes are usually the cause of all other differences, so they are named first.
    void add_history(const JoinInput& input) {
        if (input.history == baseline_.history) return;
        const auto recipe_of = [](const std::vector<HistoryStep>& history) {
            return history.size() == 1 ? history.front().recipe_sha256 : std::string();
        };
        contradiction(input, recipe_of(input.history) == recipe_of(baseline_.history)
                                 ? "the histories differ"
                                 : "the recipes differ");
    }

    void add_metadata(const JoinInput& input) {
        std::set<std::string_view> keys;
        for (const auto& [key, value] : baseline_.metadata) keys.insert(key);
        for (const auto& [key, value] : input.database->all_metadata()) {
            if (std::ranges::find(kOfTheFileItself, key) == kOfTheFileItself.end())
                keys.insert(key);
        }
        for (const std::string_view key : keys) {
            const std::string& value = input.database->metadata(key);
            std::string& before = baseline_.metadata[std::string(key)];
            if (std::ranges::find(kOfTheSubset, key) != kOfTheSubset.end()) {
                if (("; " + before + "; ").find("; " + value + "; ") == std::string::npos)
                    before += "; " + value;
            } else if (before != value) {
                contradiction(input, std::string(key) + " is " + beginning_in_quotes(before) +
                                         " and " + beginning_in_quotes(value));
            }
        }
    }

    void add_tile_rows(const JoinInput& input) {
        if (!baseline_.tile_rows.is_part() && !input.tile_rows.is_part()) return;
        const auto both = joined(baseline_.tile_rows, input.tile_rows);
        if (both) {
            baseline_.tile_rows = *both;
            return;
        }
        // The first of the files before it that shares a row with it.
        const auto text = [](const TileRowRanges& rows) {
            return rows.is_part() ? tile_row_ranges_text(rows) : std::string("all");
        };
        for (const JoinInput* before : baseline_.inputs) {
            if (before == &input || joined(before->tile_rows, input.tile_rows)) continue;
            conflicts_.add("in " + before->path() + " and " + input.path() +
                           " tile rows overlap: " + text(before->tile_rows) + ", and " +
                           text(input.tile_rows));
            return;
        }
    }

    /// Parts have their own counts for a grid, but all read the same stations.
    void add_sources(const JoinInput& input) {
        const bool are_parts = input.tile_rows.is_part();
        if (baseline_.sources.size() != input.sources.size())
            return contradiction(input, "the sources differ in number");
        for (std::size_t s = 0; s < input.sources.size(); ++s) {
            Source& sum = baseline_.sources[s];
            Source without_counts = input.sources[s];
            if (are_parts && !is_of_stations(sum)) {
                without_counts.values_used = sum.values_used;
                without_counts.rejected = sum.rejected;
            }
            if (without_counts != sum) {
                contradiction(input,
                              "source " + std::to_string(sum.id) + " (" + sum.name + ") differs");
                continue;
            }
            if (are_parts && !is_of_stations(sum)) add_counts(sum, input.sources[s]);
        }
    }

    /// The ids of such sources are in the metadata, separated by blanks.
    bool is_of_stations(const Source& source) const {
        const auto found = baseline_.metadata.find("station_sources");
        return found != baseline_.metadata.end() &&
               (" " + found->second + " ").find(" " + std::to_string(source.id) + " ") !=
                   std::string::npos;
    }

    static void add_counts(Source& sum, const Source& part) {
        sum.values_used += part.values_used;
        for (const RejectedCount& rejected : part.rejected) {
            const auto found = std::ranges::find(sum.rejected, rejected.rule, &RejectedCount::rule);
            if (found == sum.rejected.end()) {
                sum.rejected.push_back(rejected);
            } else {
                found->count += rejected.count;
            }
        }
        std::ranges::sort(sum.rejected, {}, &RejectedCount::rule);
    }

    template <class Row, class Key>
    void add_rows(const JoinInput& input, std::vector<Row>& rows, const std::vector<Row>& more,
                  Key key, const char* what) {
        for (const Row& row : more) {
            const auto found = std::ranges::find(rows, row.*key, key);
            if (found == rows.end()) {
                rows.push_back(row);
            } else if (*found != row) {
                contradiction(input,
                              std::string(what) + " " + std::to_string(row.*key) + " differs");
            }
        }
        std::ranges::sort(rows, {}, key);
    }

    void add_stations(const JoinInput& input) {
        if (input.tile_rows.is_part() && input.stations != baseline_.stations)
            return contradiction(input, "the stations differ");
        for (const StationRecord& station : input.stations) {
            if (std::ranges::find(baseline_.stations, station) == baseline_.stations.end())
                baseline_.stations.push_back(station);
        }
    }

    Conflicts& conflicts_;
    JoinedBaseline baseline_;
};

}  // namespace

Result<std::vector<JoinedBaseline>> baselines_of(const std::vector<JoinInput>& inputs) {
    Conflicts conflicts;
    std::vector<JoinedBaseline> baselines;
    std::vector<bool> is_taken(inputs.size());
    for (std::size_t first = 0; first < inputs.size(); ++first) {
        if (is_taken[first]) continue;
        BaselineJoin join(conflicts);
        for (std::size_t i = first; i < inputs.size(); ++i) {
            if (is_taken[i] || inputs[i].database->lattices() != inputs[first].database->lattices())
                continue;
            is_taken[i] = true;
            join.add(inputs[i]);
        }
        baselines.push_back(join.finished());
    }
    TRY(conflicts.none());
    return baselines;
}

}  // namespace thirstline
