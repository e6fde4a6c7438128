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
        if (!options.country.empty()) {
            return fail(ErrorCode::usage, "--country goes with --postal, not with --at");
        }
        const auto position = parse_position(options.at);
        if (!position) return fail(position.error());
        request.position = *position;
    }
    request.postal = options.postal;
    if (!options.country.empty()) {
        const auto country = normalised_country(options.country);
        if (!country) return fail(country.error());
        request.country = *country;
    }
    if (!options.elevation.empty()) {
        const auto elevation_m = parse_elevation_m(options.elevation);
        if (!elevation_m) return fail(elevation_m.error());
        request.elevation_m = *elevation_m;
    }
    return request;
}

Result<SiteFinding> find_site(Database& database, const SiteRequest& request) {
    SiteFinding finding;
    if (request.position) {
        finding.query.position = request.position;
    } else {
        auto found = find_postal_code(database, request.postal, request.country);
        if (!found) return found;
        finding = std::move(*found);
    }
    finding.query.elevation_m = request.elevation_m;
    return finding;
}

}  // namespace thirstline
