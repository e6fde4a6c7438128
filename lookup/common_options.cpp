#include "lookup/common_options.hpp"

#include <CLI/App.hpp>

#include "lookup/coordinates.hpp"
#include "lookup/plain_numbers.hpp"
#include "schema/postal_codes.hpp"

namespace thirstline {

void declare_database_option(CLI::App& app, DatabaseOption& option) {
    app.add_option("--db", option.path, "the database; default: the variable THIRSTLINE_DB")
        ->type_name("FILE")
        ->group("Database");
}

Result<std::unique_ptr<Database>> open_database(const DatabaseOption& option,
                                                const Environment& environment) {
    const std::string path = option.path.empty() ? std::string(environment.database) : option.path;
    if (path.empty()) {
        return fail(ErrorCode::usage, "no database is named",
                    "give --db FILE, or set the environment variable THIRSTLINE_DB");
    }
    return Database::open(path);
}

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

Result<void> check_word(std::string_view option, const std::string& value,
                        std::initializer_list<std::string_view> allowed) {
    std::string list;
    for (const std::string_view word : allowed) {
        if (word == value) return {};
        list += (list.empty() ? "" : ", ") + std::string(word);
    }
    return fail(ErrorCode::usage,
                std::string(option) + " cannot be \"" + value + "\"; it is one of " + list);
}

std::string help_footer(std::initializer_list<std::string_view> examples) {
    std::string out = "Examples:\n";
    for (const std::string_view example : examples) out += "  " + std::string(example) + "\n";
    return out +
           "\nExit codes:\n"
           "  0 done    1 no data there     2 usage    3 bad input data\n"
           "  4 database damaged or of an unsupported version\n"
           "  5 input or output failed    70 internal fault    130 interrupted";
}

}  // namespace thirstline
