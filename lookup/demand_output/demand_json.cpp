#include "lookup/demand_output/demand_json.hpp"

#include <algorithm>
#include <cmath>

#include "lookup/demand/exact_units.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/site_output/site_json.hpp"
#include "schema/text/json_members.hpp"

namespace thirstline {
namespace {

constexpr int kTenths = 1;
constexpr int kHundredths = 2;
constexpr int kForProducts = 4;  ///< for values that users multiply by large numbers

/// Whole numbers without a decimal point: 3, but 3.5.
void days(Members& members, std::string_view name, double days_per_week) {
    const bool is_whole = std::fabs(days_per_week - std::round(days_per_week)) < 0.005;
    members.number(name, days_per_week, is_whole ? 0 : kForProducts);
}

void write_assumptions(JsonWriter& json, const Assumptions& assumptions) {
    Members members(json);
    json.name("assumed");
    json.open_array();
    for (const Assumption& assumption : assumptions) {
        json.open_object();
        members.text("what", english(assumption.what));
        members.text("value", english(assumption.value));
        members.text("source", english(assumption.source));
        members.text("basis", english(basis_name(assumption.basis)));
        json.close_object();
    }
    json.close_array();
}

std::string_view off_name(Off off) {
    switch (off) {
        case Off::no:
            return "no";
        case Off::dormant:
            return "dormant";
        case Off::no_need:
            return "no need";
        case Off::out_of_season:
            return "out of season";
        case Off::small_need:
            return "small need";
        case Off::rules:
            return "rules";
    }
    return "no";
}

/// "03:05", from the watering day; in a night that passes midnight, times continue from 00:00.
void write_start_times(JsonWriter& json, const std::vector<double>& start_minutes) {
    json.name("start_times");
    json.open_array();
    for (const double start : start_minutes) json.text(clock_text(start));
    json.close_array();
}

void write_by_percentage(JsonWriter& json, const PercentageMonth& month) {
    Members members(json);
    json.name("by_percentage");
    json.open_object();
    members.integer("percent", month.percent);
    members.text("day_names", english(month.day_names));
    write_start_times(json, month.start_minutes);
    members.number("watering_days", month.days_in_month, kForProducts);
    members.number("applied_mm", month.applied_mm, kHundredths);
    members.number("short_mm", month.short_mm, kHundredths);
    members.number("excess_mm", month.excess_mm, kHundredths);
    members.number("volume_l", month.volume_l, kTenths);
    json.close_object();
}

void write_month(JsonWriter& json, const ZoneMonth& month, std::size_t index, double season_share) {
    Members members(json);
    json.open_object();
    members.integer("month", static_cast<std::int64_t>(index) + 1);
    members.number("need_mm", month.need_mm, kTenths);
    members.number("effective_rain_mm", month.effective_rain_mm, kTenths);
    members.number("net_mm", month.net_mm, kTenths);
    members.number("gross_mm", month.gross_mm, kHundredths);
    members.number("wanted_minutes_per_week", month.wanted_minutes_per_week, kHundredths);
    members.number("applied_mm", month.applied_mm, kHundredths);
    members.number("short_mm", month.short_mm, kHundredths);
    members.number("excess_mm", month.excess_mm, kHundredths);
    members.number("minutes_per_week", month.minutes_per_week, kTenths);
    members.number("watering_days",
                   month.days_per_week * kDaysInMonth[index] / kDaysPerWeek * season_share,
                   kForProducts);
    days(members, "days_per_week", month.days_per_week);
    members.text("day_names", english(month.day_names));
    members.integer("cycles_per_day", month.cycles_per_day);
    members.number("minutes_per_cycle", month.minutes_per_cycle, kHundredths);
    members.number("soak_minutes", month.soak_minutes, kTenths);
    write_start_times(json, month.start_minutes);
    members.integer_or_null("interval_days", month.interval_days);
    members.number("volume_l", month.volume_l, kTenths);
    members.number("l_per_plant_per_day", month.l_per_plant_per_day, kHundredths);
    members.number("cost", month.cost, kHundredths);
    members.number("percent_of_peak_need", month.percent_of_peak_need, kTenths);
    write_by_percentage(json, month.by_percentage);
    members.boolean("dormant", month.dormant);
    members.text("off", off_name(month.off));
    json.close_object();
}

void write_base_run(JsonWriter& json, const BaseRun& run) {
    Members members(json);
    json.name("base_run");
    json.open_object();
    members.integer("program", run.program);
    members.number("minutes_per_day", run.minutes_per_day, kHundredths);
    members.integer("cycles_per_day", run.cycles_per_day);
    members.number("minutes_per_cycle", run.minutes_per_cycle, kHundredths);
    members.number("soak_minutes", run.soak_minutes, kTenths);
    days(members, "days_per_week", run.days_per_week);
    members.text("day_names", english(run.day_names));
    write_start_times(json, run.start_minutes);
    members.number("l_per_plant", run.l_per_plant, kHundredths);
    json.close_object();
}

/// "09:28" of each month, as in start_times; empty in a month without runs.
void write_ends(JsonWriter& json, std::string_view name, const NightsOfYear& nights) {
    json.name(name);
    json.open_array();
    for (const auto& night : nights) json.text(night ? clock_text(night->end_minutes) : "");
    json.close_array();
}

void write_conflicts(JsonWriter& json, const std::vector<Conflict>& conflicts) {
    Members members(json);
    json.name("conflicts");
    json.open_array();
    for (const Conflict& conflict : conflicts) {
        json.open_object();
        members.integer("month", conflict.month);
        members.text("rule", conflict.rule);
        members.text("short_by", english(conflict.short_by));
        members.text("remedy", english(conflict.remedy));
        members.number("short_mm", conflict.short_mm, kHundredths);
        members.number("short_minutes_per_week", conflict.short_minutes_per_week, kTenths);
        members.boolean("of_new_planting", conflict.is_of_new_planting);
        json.close_object();
    }
    json.close_array();
}

void write_new_planting(JsonWriter& json, const std::optional<NewPlantingPlan>& planting) {
    Members members(json);
    json.name("new_planting");
    if (!planting) {
        json.null();
        return;
    }
    json.open_object();
    members.text_or_null("from", planting->wanted.from
                                     ? std::optional(iso_date(*planting->wanted.from))
                                     : std::nullopt);
    members.text("until", iso_date(planting->wanted.until));
    members.number("minutes_per_run", planting->minutes_per_run, kHundredths);
    members.integer("runs_per_day", planting->runs_per_day);
    days(members, "days_per_week", planting->days_per_week);
    members.text("day_names", english(planting->day_names));
    members.number("applied_mm_per_watering_day", planting->applied_mm_per_watering_day,
                   kHundredths);
    members.number("l_per_watering_day", planting->l_per_watering_day, kTenths);
    members.integer_or_null("watering_days", planting->watering_days);
    members.number("volume_l", planting->volume_l, kTenths);
    json.close_object();
}

void write_zone(JsonWriter& json, const DemandReport& report, const ZonePlan& zone) {
    Members members(json);
    json.open_object();
    members.text("name", zone.name);
    members.number("area_m2", zone.counted_area_m2, kForProducts);
    members.number("rate_mm_per_h", zone.rate_mm_per_h, kForProducts);
    members.number("flow_l_per_min", zone.flow_l_per_min, kHundredths);
    members.number("gross_per_net", zone.gross_per_net, 4);
    members.number("usable_storage_mm", zone.usable_storage_mm, kTenths);
    members.number("longest_cycle_minutes", zone.longest_cycle_minutes, kHundredths);
    write_assumptions(json, zone.assumed);
    json.name("months");
    json.open_array();
    for (std::size_t m = 0; m < kMonths; ++m)
        write_month(json, zone.months[m], m, report.plan.site.season_share[m]);
    json.close_array();
    members.integer_or_null("peak_need_month", zone.peak_need_month);
    members.number("peak_net_se_mm", zone.peak_net_se_mm, kTenths);
    members.number("cautious_peak_net_mm", zone.cautious_peak_net_mm, kTenths);
    write_base_run(json, zone.base_run);
    write_conflicts(json, zone.conflicts);
    members.integer("rain_shutoff_mm", zone.rain_shutoff_mm);
    write_new_planting(json, zone.new_planting);
    members.number("volume_l", zone.volume_l, kTenths);
    members.number("cost", zone.cost, kHundredths);
    json.close_object();
}

void write_totals(JsonWriter& json, std::string_view name, const YearTotals& totals) {
    Members members(json);
    json.name(name);
    json.open_object();
    members.number("volume_l", totals.volume_l, kTenths);
    members.number("cost", totals.cost, kHundredths);
    json.close_object();
}

void write_year_needs(JsonWriter& json, const YearNeeds& years) {
    Members members(json);
    json.name("year_needs");
    json.open_object();
    write_totals(json, "normals", years.normals);
    write_totals(json, "dry", years.dry);
    members.number("dry_allowance_short_l", years.dry_allowance_short_l, kTenths);
    json.close_object();
}

void write_programs(JsonWriter& json, const std::vector<ProgramPlan>& programs) {
    Members members(json);
    json.name("programs");
    json.open_array();
    for (const ProgramPlan& program : programs) {
        json.open_object();
        members.integer("program", program.number);
        json.name("zones");
        json.open_array();
        for (const std::string& zone : program.zones) json.text(zone);
        json.close_array();
        members.text("day_names", english(program.day_names));
        json.name("day_names_by_month");
        json.open_array();
        for (const Phrase& names : program.day_names_of) json.text(english(names));
        json.close_array();
        json.name("percent");
        json.open_array();
        for (const int percent : program.percent) json.integer(percent);
        json.close_array();
        json.name("set_by");
        json.open_array();
        for (const std::string& zone : program.set_by) json.text(zone);
        json.close_array();
        json.close_object();
    }
    json.close_array();
}

void write_percent_of_peak(JsonWriter& json, const DemandPlan& plan) {
    json.name("percent_of_peak_need");
    json.open_array();
    for (std::size_t m = 0; m < kMonths; ++m) {
        double greatest = 0.0;
        for (const ZonePlan& zone : plan.zones)
            greatest = std::max(greatest, zone.months[m].percent_of_peak_need);
        json.number(greatest, kTenths);
    }
    json.close_array();
}

void write_comparisons(JsonWriter& json, const std::vector<Comparison>& comparisons) {
    Members members(json);
    json.name("comparisons");
    json.open_array();
    for (const Comparison& comparison : comparisons) {
        json.open_object();
        members.text("name", comparison.name);
        members.number("volume_l", comparison.year.volume_l, kTenths);
        members.number("cost", comparison.year.cost, kHundredths);
        write_totals(json, "saving", comparison.saving);
        json.close_object();
    }
    json.close_array();
}

void write_site(JsonWriter& json, const DemandPlan& plan) {
    Members members(json);
    const SitePlan& site = plan.site;
    json.name("site");
    json.open_object();
    members.integer_or_null("peak_need_month", site.peak_need_month);
    write_percent_of_peak(json, plan);
    write_programs(json, site.programs);
    members.text("highest_need_zone", site.highest_need_zone);
    members.number("volume_l", site.year.volume_l, kTenths);
    members.number("cost", site.year.cost, kHundredths);
    write_totals(json, "need", site.need);
    write_totals(json, "by_percentage", site.by_percentage);
    json.name("season_share");
    json.open_array();
    for (const double share : site.season_share) json.number(share, kForProducts);
    json.close_array();
    write_comparisons(json, site.comparisons);
    members.number("fixed_charges", site.fixed_charges, kHundredths);
    members.number("longest_night_minutes", site.longest_night_minutes, kTenths);
    write_ends(json, "watering_ends", site.nights);
    write_ends(json, "watering_ends_by_percentage", site.nights_by_percentage);
    members.integer("rain_shutoff_mm", site.rain_shutoff_mm);
    write_assumptions(json, site.assumed);
    json.close_object();
}

void write_meter(JsonWriter& json, const std::vector<MeterPeriod>& periods) {
    Members members(json);
    json.name("meter");
    json.open_array();
    for (const MeterPeriod& period : periods) {
        json.open_object();
        members.text("from", iso_date(period.from));
        members.text("to", iso_date(period.to));
        members.number("used_l", period.used_l, kTenths);
        members.number("planned_l", period.planned_l, kTenths);
        members.number("difference_l", period.difference_l, kTenths);
        json.close_object();
    }
    json.close_array();
}

void write_job(JsonWriter& json, const JobSheet& job) {
    Members members(json);
    json.name("job");
    json.open_object();
    members.text("customer", job.customer);
    members.text("address", job.address);
    members.text("contractor", job.contractor);
    members.text("license", job.license);
    members.text("date", job.date);
    members.text("notes", job.notes);
    json.close_object();
}

}  // namespace

void write_demand(JsonWriter& json, const DemandReport& report) {
    write_job(json, report.set.job);
    json.name("zones");
    json.open_array();
    for (const ZonePlan& zone : report.plan.zones) write_zone(json, report, zone);
    json.close_array();
    write_site(json, report.plan);
    if (report.years) write_year_needs(json, *report.years);
    write_meter(json, report.meter);
    json.name("cautions");
    json.open_array();
    for (const Phrase& caution : report.plan.cautions) json.text(english(caution));
    json.close_array();
}

std::string demand_json(const DemandReport& report, JsonLayout layout) {
    std::string out;
    JsonWriter json(out, layout);
    json.open_object();
    json.name("schema_version");
    json.integer(kDemandSchemaVersion);
    write_query(json, report.site.query);
    write_answer(json, report.site.profile, report.site.period, report.site.baseline);
    write_demand(json, report);
    write_sources(json, report.site.baseline, report.site.own);
    write_baseline(json, report.site.baseline);
    json.close_object();
    out.push_back('\n');
    return out;
}

}  // namespace thirstline
