#include "lookup/commands/command_near.hpp"

#include <CLI/App.hpp>

#include "lookup/site/near_stations.hpp"
#include "lookup/site_output/near_output.hpp"
#include "lookup/site_output/site_json.hpp"
#include "lookup/site_output/units.hpp"
#include "schema/command_line/database_commands.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kListed = 10;

}  // namespace

void NearCommand::declare(CLI::App& app) {
    declare_site_options(app, site_);
    app.add_option("--units", units_, "us or metric; default: the locale's")
        ->type_name("SYSTEM")
        ->group("Answer");
    app.add_option("--format", format_, "text or json; default: text")
        ->type_name("FORM")
        ->group("Answer");
    declare_database_option(app, database_);
    app.footer(help_footer({"thirstline-lookup near --db merrow.sqlite --postal 04107",
                            "thirstline-lookup near --at 44.61,-37.55 --format json"}));
}

Result<Outcome> NearCommand::run(const Environment& environment, TextSink& out) {
    if (auto checked = check_word("--format", format_, {"text", "json"}); !checked)
        return fail(std::move(checked.error()));
    if (!units_.empty()) {
        if (auto checked = check_word("--units", units_, {"us", "metric"}); !checked)
            return fail(std::move(checked.error()));
    }
    const auto request = site_request(site_);
    if (!request) return fail(request.error());
    const auto database = open_database(database_, environment);
    if (!database) return fail(database.error());
    auto finding = find_site(**database, *request);
    if (!finding) return fail(std::move(finding.error()));
    const auto stations = (*database)->stations();
    if (!stations) return fail(stations.error());
    if (!finding->miss && stations->empty())
        finding->miss = Miss{"the file was made from grids alone: it has no stations", ""};
    const bool as_json = format_ == "json";
    if (finding->miss) {
        if (!as_json) return fail(ErrorCode::no_data, finding->miss->reason, finding->miss->hint);
        const std::string miss =
            miss_json(finding->query, finding->miss->reason, JsonLayout::indented);
        if (auto written = out.write(miss); !written) return fail(std::move(written.error()));
        return Outcome::no_data;
    }
    const LatLonE7 site = *finding->query.position;
    const auto elevation_m = site_elevation_m(**database, site, finding->query.elevation_m);
    if (!elevation_m) return fail(elevation_m.error());
    const auto near =
        near_stations(*stations, site, *elevation_m, station_kernel(**database), kListed);
    const TextStyle style{unit_system_named(units_).value_or(unit_system_of_locale(environment)),
                          locale_is_utf8(environment)};
    const std::string text =
        as_json ? near_json(finding->query, near) : near_text(finding->query, near, style);
    if (auto written = out.write(text); !written) return fail(std::move(written.error()));
    return Outcome::done;
}

}  // namespace thirstline
