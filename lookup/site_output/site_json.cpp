#include "lookup/site_output/site_json.hpp"

#include "lookup/site_output/answer_decimals.hpp"
#include "schema/text/json_members.hpp"

namespace thirstline {
namespace {}  // namespace

void write_query(JsonWriter& json, const SiteQuery& query) {
    Members members(json);
    json.name("query");
    json.open_object();
    members.position(query.position);
    members.text_or_null("postal", query.postal);
    members.text_or_null("country", query.country);
    if (!query.place.empty()) members.text("place", query.place);
    members.integer_or_null("elevation_m", query.elevation_m);
    json.close_object();
}

namespace {

void write_point(JsonWriter& json, const AnsweringPoint& point, const std::string& period,
                 const Lattice* lattice) {
    Members members(json);
    json.name("point");
    json.open_object();
    members.position(point.at);
    members.number("elevation_m", point.elevation_m, kMetreDecimals);
    members.number("distance_km", point.distance_km, kKilometreDecimals);
    members.text("method", method_name(point.method));
    members.text("method_note", method_note(point.method));
    members.text("period", period);
    members.text("site_correction", site_correction_text(point.method.correction));
    if (lattice != nullptr) {
        json.name("lattice");
        json.open_object();
        members.integer("id", lattice->id);
        members.text("name", lattice->name);
        members.integer("spacing_arcsec", lattice->spacing_arcsec);
        json.close_object();
    }
    json.close_object();
}

void write_month(JsonWriter& json, const MonthProfile& month, std::size_t index,
                 bool has_temperature) {
    Members members(json);
    const double days = kDaysInMonth[index];
    json.open_object();
    members.integer("month", static_cast<std::int64_t>(index) + 1);
    members.number("days", days, days == static_cast<int>(days) ? 0 : 2);
    members.number("eto_mm", month.eto_mm, kMmDecimals);
    members.number("eto_mm_per_day", month.eto_mm_per_day, kMmPerDayDecimals);
    members.number("eto_se_mm", month.eto_se_mm, kMmDecimals);
    members.number("rain_mm", month.rain_mm, kMmDecimals);
    members.number("rain_se_mm", month.rain_se_mm, kMmDecimals);
    if (has_temperature) {
        members.number("tmax_c", month.tmax_c, kCelsiusDecimals);
        members.number("tmin_c", month.tmin_c, kCelsiusDecimals);
    }
    members.number("percent_of_peak", month.percent_of_peak, kPercentDecimals);
    members.text("method", month.eto_is_own ? std::string("own") : method_name(month.method));
    if (month.eto_is_own || month.rain_is_own) {
        json.name("own");
        json.open_array();
        if (month.eto_is_own) json.text("eto");
        if (month.rain_is_own) json.text("rain");
        json.close_array();
    }
    json.close_object();
}

void write_months(JsonWriter& json, const SiteProfile& profile) {
    json.name("months");
    json.open_array();
    for (std::size_t m = 0; m < kMonths; ++m)
        write_month(json, profile.months[m], m, profile.has_temperature);
    json.close_array();
}

/// Which year the months are.
void write_year(JsonWriter& json, const DescribedYear& year) {
    Members members(json);
    json.name("year");
    json.open_object();
    members.text("kind", year.percent ? "percentile" : "mean");
    members.number("percent", year.percent, kPercentDecimals);
    members.number("lawn_need_mm", year.lawn_need_mm, kMmDecimals);
    members.number("lawn_need_of_normals_mm", year.lawn_need_of_normals_mm, kMmDecimals);
    members.number("lawn_need_of_dry_year_mm", year.lawn_need_of_dry_year_mm, kMmDecimals);
    members.number("percent_above_normals", year.percent_above_normals, kPercentDecimals);
    json.close_object();
}

void write_steps(JsonWriter& json, const std::vector<SiteStep>& steps) {
    Members members(json);
    json.name("steps");
    json.open_array();
    for (const SiteStep& step : steps) {
        json.open_object();
        members.text("start", start_text(step));
        members.integer("days", step.days);
        members.number("eto_mm", step.eto_mm, kStepMmDecimals);
        members.number("rain_mm", step.rain_mm, kStepMmDecimals);
        json.close_object();
    }
    json.close_array();
}

/// "05-24"
std::optional<std::string> date_text(const std::optional<MonthDay>& date) {
    if (!date) return std::nullopt;
    return month_and_day_text(date->month_index + 1, date->day);
}

void write_freezes(JsonWriter& json, const FreezeDates& freezes) {
    Members members(json);
    json.open_object();
    members.number("at_or_below_c", freezes.at_or_below_c, kCelsiusDecimals);
    members.number("percent_of_years", freezes.percent_of_years, 0);
    members.boolean("in_midsummer", freezes.in_midsummer);
    members.text_or_null("last_median", date_text(freezes.last_median));
    members.text_or_null("last_one_year_in_ten", date_text(freezes.last_late));
    members.text_or_null("first_median", date_text(freezes.first_median));
    members.text_or_null("first_one_year_in_ten", date_text(freezes.first_early));
    members.number("error_days", freezes.error_days, 0);
    json.close_object();
}

void write_season(JsonWriter& json, const SeasonEstimate& season) {
    Members members(json);
    json.name("season");
    json.open_object();
    members.text("basis", "estimated from monthly means");
    json.name("freezes");
    json.open_array();
    for (const FreezeDates& freezes : season.freezes) write_freezes(json, freezes);
    json.close_array();
    json.name("growing");
    json.open_object();
    members.number("mean_at_or_above_c", kGrowthAboveC, kCelsiusDecimals);
    members.integer("days", season.growing.days);
    members.text_or_null("start", date_text(season.growing.start));
    members.text_or_null("end", date_text(season.growing.end));
    members.number("error_days", season.growing.error_days, 0);
    json.close_object();
    json.close_object();
}

void write_own_source(JsonWriter& json, const OwnRecord& own) {
    Members members(json);
    json.open_object();
    members.text("name", "own record: " + own.file);
    members.text("period", "");
    members.text("licence", "");
    members.text("attribution", "the user's own values, " + english(own_values(own)));
    members.boolean("own", true);
    json.close_object();
}

}  // namespace

void write_sources(JsonWriter& json, const Baseline& baseline,
                   const std::optional<OwnRecord>& own) {
    Members members(json);
    json.name("sources");
    json.open_array();
    if (own) write_own_source(json, *own);
    for (const Source& source : baseline.sources) {
        json.open_object();
        members.text("name", source.name);
        members.text("period", source.period);
        members.text("licence", source.licence);
        members.text("attribution", source.attribution);
        members.text("variable", source.variable);
        members.text("url", source.url);
        json.close_object();
    }
    json.close_array();
}

void write_baseline(JsonWriter& json, const Baseline& baseline) {
    Members members(json);
    json.name("baseline");
    json.open_object();
    members.text("title", baseline.title);
    members.text("period", baseline.period);
    members.text("reference", baseline.reference);
    members.text("site_correction", baseline.site_correction);
    members.text("notice", baseline.notice);
    members.text("region", baseline.region);
    members.text("publisher", baseline.publisher);
    for (const EditionKey& key : kEditionKeys) {
        const std::string& text = baseline.edition.*key.text;
        if (!text.empty()) members.text(key.key, text);
    }
    json.close_object();
}

void write_answer(JsonWriter& json, const SiteProfile& profile, const std::string& period,
                  const Baseline& baseline) {
    Members members(json);
    members.boolean("found", true);
    write_point(json, profile.point, period, answering_lattice(baseline, profile.point));
    write_months(json, profile);
    json.name("annual");
    json.open_object();
    members.number("eto_mm", profile.annual_eto_mm, kMmDecimals);
    members.number("rain_mm", profile.annual_rain_mm, kMmDecimals);
    json.close_object();
    members.integer_or_null("peak_month", profile.peak_month);
    if (profile.year) write_year(json, *profile.year);
}

namespace {

void write_miss(JsonWriter& json, std::string_view reason) {
    Members members(json);
    members.boolean("found", false);
    members.text("reason", reason);
}

/// Begins the object of one line.
void open_line(JsonWriter& json, const std::optional<std::string_view>& id,
               const SiteQuery& query) {
    json.open_object();
    json.name("schema_version");
    json.integer(kSchemaVersion);
    json.name("id");
    id ? json.text(*id) : json.null();
    write_query(json, query);
}

}  // namespace

std::string site_json(const SiteReport& report, JsonLayout layout) {
    std::string out;
    JsonWriter json(out, layout);
    json.open_object();
    json.name("schema_version");
    json.integer(kSchemaVersion);
    write_query(json, report.query);
    write_answer(json, report.profile, report.period, report.baseline);
    if (!report.steps.empty()) write_steps(json, report.steps);
    if (report.season) write_season(json, *report.season);
    write_sources(json, report.baseline, report.own);
    write_baseline(json, report.baseline);
    json.close_object();
    out.push_back('\n');
    return out;
}

std::string miss_json(const SiteQuery& query, std::string_view reason, JsonLayout layout) {
    std::string out;
    JsonWriter json(out, layout);
    json.open_object();
    json.name("schema_version");
    json.integer(kSchemaVersion);
    write_query(json, query);
    write_miss(json, reason);
    json.close_object();
    out.push_back('\n');
    return out;
}

SiteJsonLines::SiteJsonLines(const Baseline& baseline) : baseline_(baseline) {
    JsonWriter json(tail_, JsonLayout::one_line);
    json.open_object();
    write_sources(json, baseline, std::nullopt);
    write_baseline(json, baseline);
    json.close_object();
    tail_.front() = ',';  // continues an object that was begun elsewhere
    tail_.push_back('\n');
}

void SiteJsonLines::append_site(std::string& out, const std::optional<std::string_view>& id,
                                const SiteQuery& query, const SiteProfile& profile,
                                const std::string& period) const {
    JsonWriter json(out, JsonLayout::one_line);
    open_line(json, id, query);
    write_answer(json, profile, period, baseline_);
    out += tail_;
}

void SiteJsonLines::append_miss(std::string& out, const std::optional<std::string_view>& id,
                                const SiteQuery& query, std::string_view reason) const {
    JsonWriter json(out, JsonLayout::one_line);
    open_line(json, id, query);
    write_miss(json, reason);
    json.close_object();
    out.push_back('\n');
}

}  // namespace thirstline
