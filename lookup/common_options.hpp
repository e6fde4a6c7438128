// Options that several commands have, and what their help ends with.
//
// Thread safety: pure functions, apart from opening files.
#pragma once

#include <initializer_list>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "lookup/site_query.hpp"
#include "lookup/units.hpp"
#include "schema/database.hpp"
#include "schema/result.hpp"

namespace CLI {
class App;
}

namespace thirstline {

/// --db; the environment's THIRSTLINE_DB stands in for it.
struct DatabaseOption {
    std::string path;
};
void declare_database_option(CLI::App& app, DatabaseOption& option);

/// Errors: usage if no file is named; those of Database::open.
[[nodiscard]] Result<std::unique_ptr<Database>> open_database(const DatabaseOption& option,
                                                              const Environment& environment);

/// --at or --postal, --country, --elevation
struct SiteOptions {
    std::string at;
    std::string postal;
    std::string country;
    std::string elevation;
};
void declare_site_options(CLI::App& app, SiteOptions& options);

/// The options, checked as far as they can be without a file.
struct SiteRequest {
    std::optional<LatLonE7> position;
    std::string postal;   ///< as typed; empty if the position is given
    std::string country;  ///< two letters, or empty
    std::optional<std::int32_t> elevation_m;
};
/// Errors: usage.
[[nodiscard]] Result<SiteRequest> site_request(const SiteOptions& options);

/// Errors: those of find_postal_code.
[[nodiscard]] Result<SiteFinding> find_site(Database& database, const SiteRequest& request);

/// Errors (usage): a value that is none of those, which the message lists.
[[nodiscard]] Result<void> check_word(std::string_view option, const std::string& value,
                                      std::initializer_list<std::string_view> allowed);

/// The help's last part: examples, one a line, and the exit codes.
[[nodiscard]] std::string help_footer(std::initializer_list<std::string_view> examples);

}  // namespace thirstline
