#include "lookup/demand_output/demand_csv.hpp"

#include "lookup/demand/exact_units.hpp"
#include "schema/files/csv_rows.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

/// Writes the fields of a row, each followed by a comma.
class Row {
  public:
    Row(std::string& out, bool us) : out_(out), us_(us) {}

    void text(std::string_view value) {
        append_csv_text(out_, value);
        out_.push_back(',');
    }
    void number(double value, int decimals) {
        append_fixed(out_, value, decimals);
        out_.push_back(',');
    }
    void number(const std::optional<double>& value, int decimals) {
        if (value) append_fixed(out_, *value, decimals);
        out_.push_back(',');
    }
    void depth(double mm) { us_ ? number(inches(mm), 2) : number(mm, 1); }
    void volume(double litres) { number(us_ ? litres / kLitresPerGallon : litres, 1); }
    void end() { out_.back() = '\n'; }

  private:
    std::string& out_;
    bool us_;
};

std::string header(bool us) {
    const std::string depth = us ? "_in" : "_mm";
    std::string out = "zone,month,days";
    for (const char* name :
         {",need", ",effective_rain", ",net", ",gross", ",applied", ",short", ",excess"}) {
        out += name + depth;
    }
    return out +
           ",wanted_minutes_per_week,minutes_per_week,days_per_week,day_names,cycles_per_day,"
           "minutes_per_cycle,soak_minutes,interval_days,percent_of_peak_need,program,"
           "base_minutes_per_day,base_days_per_week,percent,applied_by_percentage" +
           depth + ",excess_by_percentage" + depth + (us ? ",volume_gal" : ",volume_l") +
           ",cost,dormant,conflicts\n";
}

std::string rules_in_conflict(const ZonePlan& zone, std::size_t month_index) {
    std::string rules;
    for (const Conflict& conflict : zone.conflicts) {
        if (conflict.month != static_cast<int>(month_index) + 1) continue;
        rules += (rules.empty() ? "" : " ") + conflict.rule;
    }
    return rules;
}

void append_month(std::string& out, const DemandPlan& plan, std::size_t z, std::size_t m, bool us) {
    const ZonePlan& zone = plan.zones[z];
    const ZoneMonth& month = zone.months[m];
    const double days = kDaysInMonth[m];
    Row row(out, us);
    row.text(zone.name);
    row.text(std::to_string(m + 1));
    row.number(days, days == static_cast<int>(days) ? 0 : 2);
    for (const double mm : {month.need_mm, month.effective_rain_mm, month.net_mm, month.gross_mm,
                            month.applied_mm, month.short_mm, month.excess_mm}) {
        row.depth(mm);
    }
    row.number(month.wanted_minutes_per_week, 1);
    row.number(month.minutes_per_week, 1);
    row.number(month.days_per_week, 2);
    row.text(english(month.day_names));
    row.text(std::to_string(month.cycles_per_day));
    row.number(month.minutes_per_cycle, 2);
    row.number(month.soak_minutes, 1);
    row.text(month.interval_days ? std::to_string(*month.interval_days) : "");
    row.number(month.percent_of_peak_need, 1);
    row.text(std::to_string(zone.base_run.program));
    row.number(zone.base_run.minutes_per_day, 2);
    row.number(zone.base_run.days_per_week, 2);
    row.text(std::to_string(month.by_percentage.percent));
    row.depth(month.by_percentage.applied_mm);
    row.depth(month.by_percentage.excess_mm);
    row.volume(month.volume_l);
    row.number(month.cost, 2);
    row.text(month.dormant ? "true" : "false");
    row.text(rules_in_conflict(zone, m));
    row.end();
}

}  // namespace

std::string demand_csv(const DemandReport& report, UnitSystem units) {
    const bool us = units == UnitSystem::us;
    std::string out = header(us);
    for (std::size_t z = 0; z < report.plan.zones.size(); ++z) {
        for (std::size_t m = 0; m < kMonths; ++m) append_month(out, report.plan, z, m, us);
    }
    return out;
}

}  // namespace thirstline
