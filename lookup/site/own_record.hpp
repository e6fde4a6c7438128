// The user's own record of a site, which takes precedence over the file's normals.
//
// A CSV file with a header: `month`, and `eto_mm`, `rain_mm` or both, in any order. Months are 1 to
// 12; any number of them, each once. A blank value keeps the file's. Values are monthly totals in
// millimetres.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "lookup/site/site_profile.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

inline constexpr double kGreatestOwnEtoMm = 1000.0;  ///< per month
inline constexpr double kGreatestOwnRainMm = 10000.0;

struct OwnRecord {
    std::string file;
    Monthly<std::optional<double>> eto_mm;
    Monthly<std::optional<double>> rain_mm;
};

/// Errors: io if the file cannot be read; bad_input, naming file and line, for a header without the
/// columns or with an unknown one, a month that is not valid or given twice, a value that is not a
/// number, is negative or exceeds the limits above, and for a file without any value.
[[nodiscard]] Result<OwnRecord> read_own_record(const std::string& path);

/// The same for a file's content, which errors and sources call `name`.
[[nodiscard]] Result<OwnRecord> own_record_of_text(std::string_view text, const std::string& name);

/// A sentence for each of ETo and rain that is more than three times, or less than a third of, the
/// file's over the record's months. Months of less than 5 mm in the file do not count. Errors
/// (bad_input): a value about 25.4 times too large or too small, and so in another unit.
[[nodiscard]] Result<std::vector<std::string>> check_own_record(const SiteProfile& profile,
                                                                const OwnRecord& record);

/// Replaces the profile's values with the record's. Their standard errors are unknown.
void apply_own_record(SiteProfile& profile, const OwnRecord& record);

}  // namespace thirstline
