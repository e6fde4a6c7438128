// Reads a zone file: TOML with [site], [water] and one [[zone]] or more. The keys are those of
// zone_keys.hpp; most that have a unit may be given in US or in metric units.
#pragma once

#include <cstddef>
#include <string>

#include "lookup/zone_file/zone_set.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Twice the stations of a large controller. The work for a plan grows faster than the number of
/// zones, because their runs share nights.
inline constexpr std::size_t kMaxZones = 200;

/// Errors: io if the file cannot be read; bad_input, naming file and line, for invalid TOML, an
/// unknown key (with the nearest known one), an invalid value, and the errors of zone_set.
[[nodiscard]] Result<ZoneSet> read_zone_file(const std::string& path);

/// The same for a file's content, which errors call `name`. Errors: bad_input.
[[nodiscard]] Result<ZoneSet> zones_of_text(const std::string& text, const std::string& name);

}  // namespace thirstline
