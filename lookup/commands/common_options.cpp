#include "lookup/commands/common_options.hpp"

#include <CLI/App.hpp>

#include "schema/database/postal_codes.hpp"
#include "schema/geo/coordinates.hpp"
#include "schema/text/plain_numbers.hpp"

namespace thirstline {

void declare_site_options(CLI::App& app, SiteOptions& options) {
    app.add_option("--at", options.at, "coordinates, latitude first")
        ->type_name("LAT,LON")
        ->group("Site");
    app.add_option("--postal", options.postal, "or a postal code")
        ->type_name("CODE")
        ->group("Site");
    app.add_option("--country", options.country, "the postal code's country, two letters")
        ->type_name("CC")
        ->group("Site");
    app.add_option("--elevation", options.elevation,
                   "the site's height in metres: carry values to it")
        ->type_name("M")
        ->group("Site");
}

Result<SiteRequest> site_request(const SiteOptions& options) {
    SiteRequest request;
    if (options.at.empty() == options.postal.empty()) {
        return fail(ErrorCode::usage,
                    options.at.empty() ? "no site is named"
                                       : "--at and --postal name a site each; one is wanted",
                    "give --at LAT,LON or --postal CODE");
    }
    if (!options.at.empty()) {
        if (!options.country.empty())
            return fail(ErrorCode::usage, "--country goes with --postal, not with --at");
        request.position = TRY(parse_position(options.at));
    }
    request.postal = options.postal;
    if (!options.country.empty()) request.country = TRY(normalised_country(options.country));
    if (!options.elevation.empty()) {
        request.elevation_m = TRY(parse_elevation_m(options.elevation));
    }
    return request;
}

}  // namespace thirstline
