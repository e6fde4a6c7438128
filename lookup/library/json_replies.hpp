// Answers of the library as JSON: what `thirstline-lookup site` and `demand` print with --format
// json.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "lookup/library/reply.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// How a site's JSON differs from its normals by months.
struct JsonChoices {
    std::optional<std::string_view> own_record;  ///< a CSV table; see own_record.hpp
    std::string_view year = "mean";              ///< see year_percent_named
    std::string_view step = "month";             ///< see step_length_named
};

struct JsonReply {
    Reply place;       ///< status, and the reason if it is not THIRSTLINE_OK
    std::string json;  ///< for THIRSTLINE_OK and THIRSTLINE_NO_DATA
};

/// Errors (usage): choices that are not valid, an elevation too far from the terrain. Errors of the
/// place are in the status. Errors: those of reading the file.
[[nodiscard]] Result<JsonReply> site_json_reply(Database& database, const SiteQuestion& question,
                                                const JsonChoices& choices);

/// `zones` is the content of a zone file; its [job] does not name the site. Errors: also usage for
/// zones that are not valid, with their lines, and no_data for a site without ETo.
[[nodiscard]] Result<JsonReply> demand_json_reply(Database& database, const SiteQuestion& question,
                                                  const std::string& zones,
                                                  const JsonChoices& choices);

}  // namespace thirstline
