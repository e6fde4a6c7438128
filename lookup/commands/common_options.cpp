#include "lookup/commands/common_options.hpp"

#include <CLI/App.hpp>
#include <cstdio>
#include <optional>

#include "schema/command_line/option_values.hpp"
#include "schema/database/postal_codes.hpp"
#include "schema/geo/coordinates.hpp"
#include "schema/text/plain_numbers.hpp"

namespace thirstline {

void declare_own_and_units_options(CLI::App& app, std::string& own_file, std::string& units) {
    app.add_option("--own", own_file,
                   "your own monthly data, a CSV table with month,eto_mm,rain_mm, used in place of "
                   "the database's")
        ->type_name("FILE.csv")
        ->group("Output");
    add_word_option(app, units,
                    {"--units",
                     "units of the output: ",
                     {"us", "metric"},
                     "; default: the locale's (CSV: metric)",
                     "SYSTEM",
                     "Output"});
}

void declare_year_option(CLI::App& app, std::string& year) {
    offer_words(
        *app.add_option("--year", year,
                        "mean of all years, or a whole year by its need for irrigation: dry (need "
                        "exceeded in 2 years of 10), wet (in 8 of 10), or the percentage of years "
                        "that need no more (dry is 80, wet 20); default: mean")
             ->type_name("YEAR")
             ->group("Output"),
        {"mean", "dry", "wet"});
}

void declare_site_options(CLI::App& app, SiteOptions& options) {
    app.add_option("--at", options.at,
                   "coordinates of the site, latitude first, such as 44.6,-37.5")
        ->type_name("LAT,LON")
        ->group("Site");
    app.add_option("--postal", options.postal, "postal code, such as 04107 or \"XM 04107\"")
        ->type_name("CODE")
        ->group("Site");
    app.add_option("--country", options.country, "country of the postal code, two letters")
        ->type_name("CC")
        ->group("Site");
    app.add_option(
           "--elevation", options.elevation,
           "elevation of the site, such as 5280ft or 1609m, to adjust values to it; a number "
           "without a unit is in feet with --units us, else in meters")
        ->type_name("HEIGHT")
        ->group("Site");
}

Result<SiteRequest> site_request(const SiteOptions& options, UnitSystem units) {
    SiteRequest request;
    if (options.at.empty() == options.postal.empty()) {
        return fail(ErrorCode::usage,
                    options.at.empty() ? "no site is named"
                                       : "--at and --postal each name a site; use one of them",
                    "give --at LAT,LON or --postal CODE");
    }
    if (!options.at.empty()) {
        if (!options.country.empty())
            return fail(ErrorCode::usage, "--country is valid only with --postal");
        request.position = TRY(parse_position(options.at));
    }
    request.postal = options.postal;
    if (!options.country.empty()) request.country = TRY(normalised_country(options.country));
    if (!options.elevation.empty()) {
        const auto typed = TRY(parse_elevation(
            options.elevation, units == UnitSystem::us ? LengthUnit::foot : LengthUnit::metre));
        request.elevation_m = typed.m;
        request.typed_elevation_m = typed.typed_m;
    }
    return request;
}

UnitSystem units_of_answer(const std::string& named, const std::string& format,
                           const Environment& environment) {
    if (format == "json") return UnitSystem::metric;
    return unit_system_named(named).value_or(format == "csv" ? UnitSystem::metric
                                                             : unit_system_of_locale(environment));
}

void warn(const std::vector<std::string>& warnings) {
    for (const std::string& warning : warnings)
        std::fprintf(stderr, "thirstline-lookup: warning: %s\n", warning.c_str());
}

}  // namespace thirstline
