#include "lookup/commands/command_near.hpp"

#include <CLI/App.hpp>

#include "lookup/site/near_stations.hpp"
#include "lookup/site_output/near_output.hpp"
#include "lookup/site_output/site_json.hpp"
#include "lookup/site_output/units.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/text/utf8_text.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kListed = 10;

}  // namespace

void NearCommand::declare(CLI::App& app) {
    declare_site_options(app, site_);
    add_word_option(app, units_,
                    {"--units",
                     "units of the output: ",
                     {"us", "metric"},
                     "; default: the locale's",
                     "SYSTEM",
                     "Output"});
    add_word_option(
        app, format_,
        {"--format", "output format: ", {"text", "json"}, "; default: text", "FORMAT", "Output"});
    declare_database_option(app, database_);
    app.footer(help_footer({"thirstline-lookup near --db merrow.sqlite --postal 04107",
                            "thirstline-lookup near --at 44.61,-37.55 --format json"}));
}

Result<Outcome> NearCommand::run(const Environment& environment, TextSink& out) {
    const UnitSystem units = units_of_answer(units_, format_, environment);
    const auto request = TRY(site_request(site_, units));
    const auto database = TRY(open_database(database_, environment));
    auto finding = TRY(find_site(*database, request));
    const auto stations = TRY(database->stations());
    if (!finding.miss && stations.empty())
        finding.miss = Miss{"the file was made from grids alone: it has no stations", ""};
    // Where the file has no answer, no station is used.
    if (!finding.miss) {
        const auto answer = TRY(database->answer(*finding.query.position));
        if (!answer.found) finding.miss = no_data_near(*finding.query.position, answer.reach_m);
    }
    const bool as_json = format_ == "json";
    if (finding.miss) {
        if (!as_json) return fail(ErrorCode::no_data, finding.miss->reason, finding.miss->hint);
        const std::string miss =
            miss_json(finding.query, finding.miss->reason, JsonLayout::indented);
        TRY(out.write(miss));
        return Outcome::no_data;
    }
    const LatLonE7 site = *finding.query.position;
    const auto elevation_m = TRY(site_elevation_m(*database, site, finding.query.elevation_m));
    const auto near =
        near_stations(stations, site, elevation_m, station_kernel(*database), kListed);
    const TextStyle style{units, locale_is_utf8(environment)};
    const std::string text = as_json ? near_json(finding.query, near)
                                     : terminal_text(near_text(finding.query, near, style));
    TRY(database->check_unchanged());
    TRY(out.write(text));
    return Outcome::done;
}

}  // namespace thirstline
