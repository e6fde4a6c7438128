#include "lookup/library/json_replies.hpp"

#include <utility>

#include "lookup/demand_output/demand_json.hpp"
#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site/own_record.hpp"
#include "lookup/site/site_answer.hpp"
#include "lookup/site/wet_and_dry_years.hpp"
#include "lookup/site_output/elevation_check.hpp"
#include "lookup/site_output/site_json.hpp"
#include "lookup/zone_file/zone_file.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

/// What errors call the texts that a caller passes.
constexpr const char* kOwnRecord = "own_record";
constexpr const char* kZones = "zones";
constexpr std::size_t kMaxTextBytes = std::size_t{4} << 20;

/// A text that is not valid is an error of the question.
Error of_question(Error error) {
    if (error.code == ErrorCode::bad_input) error.code = ErrorCode::usage;
    return error;
}

Result<void> check_length(std::string_view text, const char* name) {
    if (text.size() <= kMaxTextBytes) return {};
    return fail(ErrorCode::usage,
                std::string(name) + " is longer than " + std::to_string(kMaxTextBytes) + " bytes");
}

SiteRequest request_of(const SiteQuestion& question, const SiteQuery& place) {
    SiteRequest request;
    if (question.postal) {
        request.postal = *question.postal;
        request.country = place.country.value_or(std::string(question.country));
    } else {
        request.position = place.position;
    }
    request.elevation_m = question.elevation_m;
    return request;
}

/// Either the JSON, or in `report` what it is to be made from.
struct Described {
    JsonReply reply;
    std::optional<SiteReport> report;
};

Result<Described> described(Database& database, const SiteQuestion& question,
                            const JsonChoices& choices) {
    const auto year_percent = TRY(year_percent_named(choices.year));
    const auto step = step_length_named(choices.step);
    if (!step) {
        return fail(ErrorCode::usage,
                    "step must be month, week or day, not " + in_quotes(choices.step));
    }
    std::optional<OwnRecord> own;
    if (choices.own_record) {
        TRY(check_length(*choices.own_record, kOwnRecord));
        auto record = own_record_of_text(*choices.own_record, kOwnRecord);
        if (!record) return fail(of_question(record.error()));
        own = std::move(*record);
    }
    Described out;
    out.reply.place = TRY(place_of(database, question));
    const thirstline_status status = out.reply.place.status;
    if (status != THIRSTLINE_OK && status != THIRSTLINE_NO_DATA) return out;

    auto answer = site_answer(database, request_of(question, out.reply.place.query), std::move(own),
                              *step, year_percent);
    if (!answer) return fail(of_question(answer.error()));
    if (answer->miss) {
        out.reply.place.status = THIRSTLINE_NO_DATA;
        out.reply.place.miss = *answer->miss;
        out.reply.json =
            miss_json(answer->report.query, answer->miss->reason, JsonLayout::indented);
        return out;
    }
    TRY(elevation_warning(answer->report, UnitSystem::metric));
    out.report = std::move(answer->report);
    return out;
}

}  // namespace

Result<JsonReply> site_json_reply(Database& database, const SiteQuestion& question,
                                  const JsonChoices& choices) {
    auto site = TRY(described(database, question, choices));
    if (site.report) site.reply.json = site_json(*site.report, JsonLayout::indented);
    return std::move(site.reply);
}

Result<JsonReply> demand_json_reply(Database& database, const SiteQuestion& question,
                                    const std::string& zones, const JsonChoices& choices) {
    TRY(check_length(zones, kZones));
    auto set = zones_of_text(zones, kZones);
    if (!set) return fail(of_question(set.error()));
    auto site = TRY(described(database, question, choices));
    if (!site.report) return std::move(site.reply);
    const auto report = demand_report(std::move(*site.report), std::move(*set));
    if (!report) return fail(of_question(report.error()));
    site.reply.json = demand_json(*report, JsonLayout::indented);
    return std::move(site.reply);
}

}  // namespace thirstline
