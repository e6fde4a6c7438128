// What has changed from one database to another: two editions of a baseline, or the same recipe for
// two periods.
//
// Thread safety: belongs to the thread of both databases.
#pragma once

#include <atomic>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct TextChange {
    std::string what;  ///< "title", "source Merrow rain: period"
    std::string before;
    std::string after;
};

/// Lines of one build's recipe, in order.
struct RecipeLine {
    bool is_new = false;  ///< else only in the old recipe
    int line = 0;         ///< in its own recipe, from 1
    std::string text;
};

enum class StationChangeKind { added, removed, moved, changed };
[[nodiscard]] const char* station_change_name(StationChangeKind kind);

struct StationChange {
    StationChangeKind kind = StationChangeKind::changed;
    StationRecord station;            ///< of the new file; if removed, of the old one
    double moved_km = 0.0;            ///< moved only
    std::vector<TextChange> details;  ///< elevation, source, period, variables
};

/// Distribution of a change over the points of both files.
struct ChangeOfMonth {
    std::int64_t points = 0;
    double mean = 0.0;
    /// Upper bound of the mean's standard error: as if all points had the same error, and those of
    /// both files were independent.
    /// Empty if neither file has errors.
    std::optional<double> mean_se;
    double least = 0.0, percent_5 = 0.0, median = 0.0, percent_95 = 0.0, greatest = 0.0;
    /// Points whose change exceeds two standard errors of the new value (of the old one if the new
    /// has none).
    std::int64_t beyond_two_se = 0;
};

/// A point and month with one of the greatest changes, in standard errors.
struct ChangedPlace {
    LatLonE7 at;
    std::string variable;  ///< "eto", "rain"
    int month = 0;         ///< 1 to 12
    double before_mm = 0.0;
    double after_mm = 0.0;
    double in_se = 0.0;
};

struct PointChanges {
    std::int64_t in_both = 0;
    std::int64_t only_before = 0;
    std::int64_t only_after = 0;
    Monthly<ChangeOfMonth> eto;             ///< mm a month
    Monthly<ChangeOfMonth> rain;            ///< mm a month
    std::int64_t places_beyond_two_se = 0;  ///< with such a change in any month
    std::vector<ChangedPlace> greatest;     ///< at most kGreatestPlaces, one for each point
};
inline constexpr std::size_t kGreatestPlaces = 20;

struct PostalChanges {
    std::vector<PostalPlace> gained;
    std::vector<PostalPlace> lost;
    std::vector<PostalPlace> moved;  ///< by more than 100 m, at their new places
};

struct DatabaseComparison {
    bool is_same = false;  ///< the content hashes are equal; then nothing else is set
    std::string before_sha256;
    std::string after_sha256;
    std::vector<TextChange> metadata;
    std::vector<RecipeLine> recipe;  ///< of files with one build each
    bool recipes_differ = false;
    std::vector<TextChange> sources;
    std::vector<StationChange> stations;
    PointChanges points;
    PostalChanges postal;
};

/// Errors: those of reading both files; interrupted.
[[nodiscard]] Result<DatabaseComparison> compared(Database& before, Database& after,
                                                  const std::atomic<bool>& interrupted);

}  // namespace thirstline
