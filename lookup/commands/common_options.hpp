// The options that name a site.
#pragma once

#include <string>
#include <vector>

#include "lookup/site/site_query.hpp"
#include "lookup/site/site_report.hpp"
#include "lookup/site_output/units.hpp"
#include "schema/answer/answer.hpp"
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

/// A bare elevation is in feet where the answer is in US units. Errors: usage.
[[nodiscard]] Result<SiteRequest> site_request(const SiteOptions& options, UnitSystem units);

/// Of an answer in this form: JSON is always metric, CSV unless US units are named, the others as
/// named, else as the locale has it.
[[nodiscard]] UnitSystem units_of_answer(const std::string& named, const std::string& format,
                                         const Environment& environment);

/// Farther than this from the points around, in height, a question is doubted, and refused.
inline constexpr double kMaxUndoubtedRiseM = 500.0;
inline constexpr double kMaxRiseM = kMaxCarriedM;

/// Warns of an elevation that is far from the terrain around the site. Errors (usage): one that is
/// more than kMaxRiseM above or below it. Both in the reader's units.
[[nodiscard]] Result<void> check_elevation(const SiteReport& report, UnitSystem units);

/// Writes each as a line on standard error.
void warn(const std::vector<std::string>& warnings);

}  // namespace thirstline
