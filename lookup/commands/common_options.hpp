// The options that name a site.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/site_query.hpp"
#include "lookup/site_output/units.hpp"
#include "schema/base/result.hpp"
#include "schema/command_line/database_commands.hpp"

namespace CLI {
class App;
}

namespace thirstline {

/// --at or --postal, --country, --elevation
struct SiteOptions {
    std::string at;
    std::string postal;
    std::string country;
    std::string elevation;
};
void declare_site_options(CLI::App& app, SiteOptions& options);

/// Of the commands that print one site's year: --own and --units.
void declare_own_and_units_options(CLI::App& app, std::string& own_file, std::string& units);

/// --year, of the commands that print one site's year.
void declare_year_option(CLI::App& app, std::string& year);

/// An elevation without a unit is in feet if the answer is in US units. Errors: usage.
[[nodiscard]] Result<SiteRequest> site_request(const SiteOptions& options, UnitSystem units);

/// The units of an answer in this format: JSON is always metric; CSV is metric unless US units are
/// named; the other formats use the named units, else those of the locale.
[[nodiscard]] UnitSystem units_of_answer(const std::string& named, const std::string& format,
                                         const Environment& environment);

/// Writes each warning as a line on standard error.
void warn(const std::vector<std::string>& warnings);

}  // namespace thirstline
