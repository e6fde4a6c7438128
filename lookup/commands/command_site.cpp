#include "lookup/commands/command_site.hpp"

#include <CLI/App.hpp>
#include <utility>

#include "lookup/site/own_record.hpp"
#include "lookup/site/site_answer.hpp"
#include "lookup/site/wet_and_dry_years.hpp"
#include "lookup/site_output/elevation_check.hpp"
#include "lookup/site_output/site_csv.hpp"
#include "lookup/site_output/site_json.hpp"
#include "lookup/site_output/site_text.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/text/utf8_text.hpp"

namespace thirstline {

void SiteCommand::declare(CLI::App& app) {
    declare_site_options(app, site_);
    add_word_option(
        app, step_,
        {"--step", "time step: ", {"month", "week", "day"}, "; default: month", "STEP", "Output"});
    declare_year_option(app, year_);
    declare_own_and_units_options(app, own_file_, units_);
    add_word_option(app, format_,
                    {"--format",
                     "output format: ",
                     {"text", "json", "csv"},
                     "; default: text",
                     "FORMAT",
                     "Output"});
    declare_database_option(app, database_);
    app.footer(
        help_footer({"thirstline-lookup site --db merrow.sqlite --postal 04107",
                     "thirstline-lookup site --at 44.45,-37.59 --elevation 1020ft --units us",
                     "thirstline-lookup site --at \"44.45N 37.59W\" --step week --format csv",
                     "thirstline-lookup site --postal 04107 --year dry"}));
}

Result<Outcome> SiteCommand::run(const Environment& environment, TextSink& out) {
    const auto year_percent = TRY(year_percent_named(year_));
    const UnitSystem units = units_of_answer(units_, format_, environment);
    const auto request = TRY(site_request(site_, units));
    std::optional<OwnRecord> own;
    if (!own_file_.empty()) own = TRY(read_own_record(own_file_));
    const auto database = TRY(open_database(database_, environment));

    const auto answer =
        TRY(site_answer(*database, request, std::move(own),
                        step_length_named(step_).value_or(StepLength::month), year_percent));
    warn(answer.warnings);
    if (!answer.miss) {
        const auto doubt = TRY(elevation_warning(answer.report, units));
        if (doubt) warn({*doubt});
    }
    const bool as_json = format_ == "json";
    if (answer.miss && !as_json)
        return fail(ErrorCode::no_data, answer.miss->reason, answer.miss->hint);
    std::string text;
    if (answer.miss) {
        text = miss_json(answer.report.query, answer.miss->reason, JsonLayout::indented);
    } else if (as_json) {
        text = site_json(answer.report, JsonLayout::indented);
    } else if (format_ == "csv") {
        text = site_csv(answer.report, units);
    } else {
        text = terminal_text(site_text(answer.report, {units, locale_is_utf8(environment)}));
    }
    TRY(database->check_unchanged());
    TRY(out.write(text));
    return answer.miss ? Outcome::no_data : Outcome::done;
}

}  // namespace thirstline
