#include "lookup/commands/command_demand.hpp"

#include <CLI/App.hpp>
#include <cmath>
#include <utility>

#include "lookup/demand_output/demand_csv.hpp"
#include "lookup/demand_output/demand_ics.hpp"
#include "lookup/demand_output/demand_json.hpp"
#include "lookup/demand_output/demand_page.hpp"
#include "lookup/demand_output/demand_text.hpp"
#include "lookup/site/own_record.hpp"
#include "lookup/site/site_answer.hpp"
#include "lookup/site/wet_and_dry_years.hpp"
#include "lookup/site_output/elevation_check.hpp"
#include "lookup/site_output/site_json.hpp"
#include "lookup/zone_file/zone_file.hpp"
#include "schema/base/words.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/platform/process.hpp"
#include "schema/text/plain_numbers.hpp"
#include "schema/text/utf8_text.hpp"

namespace thirstline {
namespace {

/// Adds the zone file's name to an error of the plan. (Errors in single values have been reported
/// with their lines when the file was read; a missing normal or a tall reference is not an error of
/// the file.)
Error with_zone_file(Error error, const std::string& zone_file, ReferenceCrop reference) {
    const bool is_of_zones =
        error.code != ErrorCode::no_data && reference == ReferenceCrop::short_grass;
    if (!zone_file.empty() && is_of_zones) error.message = zone_file + ": " + error.message;
    return error;
}

}  // namespace

void DemandCommand::declare(CLI::App& app) {
    declare_site_options(app, site_);
    app.add_option("--zones,zones", zone_file_,
                   "zones, watering rules and water price, in TOML; with [job], also the site")
        ->type_name("FILE.toml")
        ->group("Zones");
    declare_year_option(app, year_);
    declare_own_and_units_options(app, own_file_, units_);
    add_word_option(app, format_,
                    {"--format",
                     "output format: ",
                     {"text", "json", "csv", "html", "ics"},
                     "; default: text",
                     "FORMAT",
                     "Output"});
    add_word_option(app, language_,
                    {"--language",
                     "language of text, html and ics: ",
                     {"en", "es"},
                     "; default: language in [job], else en",
                     "LANGUAGE",
                     "Output"});
    app.add_option("--calendar-year", calendar_year_,
                   "year of the calendar file (ics); default: the year of date in [job]")
        ->type_name("YEAR")
        ->group("Output");
    add_word_option(app, width_,
                    {"--width",
                     "width of the text: ",
                     {"wide", "narrow"},
                     "; wide has 80 columns; default: by the terminal",
                     "WIDTH",
                     "Output"});
    declare_database_option(app, database_);
    zone_options_.declare(app);
    app.footer(help_footer(
        {"thirstline-lookup demand --db merrow.sqlite --postal 04107 --zones merrow-zones.toml",
         "thirstline-lookup demand --db merrow.sqlite --postal 04107 --zones merrow-zones.toml "
         "--format html > plan.html",
         "thirstline-lookup demand --db merrow.sqlite --postal 04107 --planting \"cool turf\" "
         "--area-ft2 1500 --rate-in-per-h 1.4 --soil \"clay loam\" --allowed-days Mon,Wed,Fri"}));
}

SiteOptions DemandCommand::site_options(const JobSheet& job) const {
    if (!site_.at.empty() || !site_.postal.empty()) return site_;
    SiteOptions of_job{job.at, job.postal, job.country, job.elevation};
    if (!site_.country.empty()) of_job.country = site_.country;
    if (!site_.elevation.empty()) of_job.elevation = site_.elevation;
    return of_job;
}

Result<ZoneSet> DemandCommand::zones() const {
    if (zone_file_.empty()) {
        if (!zone_options_.any_given()) {
            return fail(ErrorCode::usage, "no zone is described",
                        "give --zones FILE.toml, or one zone by --planting, --area-ft2, "
                        "--rate-in-per-h and the like");
        }
        return zone_options_.zone_set_of_options();
    }
    if (zone_options_.any_given()) {
        return fail(ErrorCode::usage,
                    "--zones and " + zone_options_.first_given() + " both describe zones",
                    "put everything into the file, or leave the file out");
    }
    return read_zone_file(zone_file_);
}

Result<int> DemandCommand::calendar_year(const JobSheet& job) const {
    const std::string year = !calendar_year_.empty() ? calendar_year_ : job.date.substr(0, 4);
    const auto value = plain_number(year);
    const bool is_year =
        value && *value >= 1900.0 && *value <= 2200.0 && *value == std::floor(*value);
    if (is_year) return static_cast<int>(*value);
    if (!calendar_year_.empty()) {
        return fail(ErrorCode::usage, "--calendar-year must be a year from 1900 to 2200, not " +
                                          in_quotes(calendar_year_));
    }
    return fail(ErrorCode::usage, "a calendar file needs a year",
                "give --calendar-year, or a date such as 2027-03-01 in [job]");
}

Result<Outcome> DemandCommand::run(const Environment& environment, TextSink& out) {
    const auto year_percent = TRY(year_percent_named(year_));
    auto set = TRY(zones());
    int year = 0;
    if (format_ == "ics" || !calendar_year_.empty()) year = TRY(calendar_year(set.job));
    const UnitSystem units = units_of_answer(units_, format_, environment);
    const auto request = TRY(site_request(site_options(set.job), units));
    std::optional<OwnRecord> own;
    if (!own_file_.empty()) own = TRY(read_own_record(own_file_));
    const auto database = TRY(open_database(database_, environment));
    auto answer =
        TRY(site_answer(*database, request, std::move(own), StepLength::month, year_percent));
    warn(answer.warnings);
    if (!answer.miss) {
        const auto doubt = TRY(elevation_warning(answer.report, units));
        if (doubt) warn({*doubt});
    }
    if (answer.miss) {
        if (format_ != "json")
            return fail(ErrorCode::no_data, answer.miss->reason, answer.miss->hint);
        const std::string miss =
            miss_json(answer.report.query, answer.miss->reason, JsonLayout::indented);
        TRY(out.write(miss));
        return Outcome::no_data;
    }

    const ReferenceCrop reference = reference_crop(answer.report.baseline);
    const auto report = demand_report(std::move(answer.report), std::move(set));
    if (!report) return fail(with_zone_file(report.error(), zone_file_, reference));
    const Language language =
        language_.empty() ? report->set.job.language : language_named(language_);
    const TextStyle style{units, locale_is_utf8(environment), language};
    std::string text;
    if (format_ == "json") {
        text = demand_json(*report, JsonLayout::indented);
    } else if (format_ == "csv") {
        text = demand_csv(*report, units);
    } else if (format_ == "ics") {
        text = demand_ics(*report, year, language);
    } else if (format_ == "html") {
        text = demand_page(*report, style);
    } else {
        const bool is_narrow = width_.empty()
                                   ? terminal_columns().value_or(kWideColumns) < kWideColumns
                                   : width_ == "narrow";
        text = terminal_text(demand_text(*report, style, is_narrow ? kTextColumns : kWideColumns));
    }
    TRY(database->check_unchanged());
    TRY(out.write(text));
    return Outcome::done;
}

}  // namespace thirstline
