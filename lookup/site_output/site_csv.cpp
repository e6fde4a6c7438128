#include "lookup/site_output/site_csv.hpp"

#include "lookup/site_output/answer_decimals.hpp"
#include "schema/files/csv_rows.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

/// Decimals of each kind of number, and its conversion from the metric value.
struct Columns {
    bool us = false;

    [[nodiscard]] std::string_view depth_unit() const { return us ? "in" : "mm"; }
    [[nodiscard]] std::string_view temperature_unit() const { return us ? "f" : "c"; }

    void append_depth(std::string& out, const std::optional<double>& mm, int mm_decimals) const {
        if (mm) append_fixed(out, us ? inches(*mm) : *mm, us ? mm_decimals + 1 : mm_decimals);
        out.push_back(',');
    }
    void append_temperature(std::string& out, const std::optional<double>& celsius) const {
        if (celsius) append_fixed(out, us ? fahrenheit(*celsius) : *celsius, 1);
        out.push_back(',');
    }
};

/// Only if the months are not the means: a column of the year's percentage.
std::string month_header(const Columns& columns, bool has_temperature, bool is_moved) {
    const std::string depth(columns.depth_unit());
    const std::string degree(columns.temperature_unit());
    std::string header = "month,days,eto_" + depth + ",eto_" + depth + "_per_day,eto_se_" + depth +
                         ",rain_" + depth + ",rain_se_" + depth + ",";
    if (has_temperature) header += "tmax_" + degree + ",tmin_" + degree + ",";
    return header + "percent_of_peak,method,own" + (is_moved ? ",year_percent\n" : "\n");
}

std::string_view own_text(const MonthProfile& month) {
    if (month.eto_is_own && month.rain_is_own) return "eto rain";
    if (month.eto_is_own) return "eto";
    return month.rain_is_own ? "rain" : "";
}

void append_month(std::string& out, const MonthProfile& month, std::size_t index,
                  const Columns& columns, bool has_temperature, const std::string& year_cell) {
    out += std::to_string(index + 1) + ",";
    const double days = kDaysInMonth[index];
    append_fixed(out, days, days == static_cast<int>(days) ? 0 : 2);
    out.push_back(',');
    columns.append_depth(out, month.eto_mm, kMmDecimals);
    columns.append_depth(out, month.eto_mm_per_day, kMmPerDayDecimals);
    columns.append_depth(out, month.eto_se_mm, kMmDecimals);
    columns.append_depth(out, month.rain_mm, kMmDecimals);
    columns.append_depth(out, month.rain_se_mm, kMmDecimals);
    if (has_temperature) {
        columns.append_temperature(out, month.tmax_c);
        columns.append_temperature(out, month.tmin_c);
    }
    if (month.percent_of_peak) append_fixed(out, *month.percent_of_peak, kPercentDecimals);
    out.push_back(',');
    append_csv_field(out, month.eto_is_own ? "own" : method_name(month.method));
    out.push_back(',');
    out += own_text(month);
    out += year_cell;
    out.push_back('\n');
}

/// ",80" in a year that is not the mean; else empty.
std::string year_cell_of(const SiteProfile& profile) {
    if (!profile.year || !profile.year->percent) return {};
    std::string cell = ",";
    append_fixed(cell, *profile.year->percent, kPercentDecimals);
    return cell;
}

void append_step(std::string& out, const SiteStep& step, const Columns& columns) {
    out += start_text(step) + "," + std::to_string(step.days) + ",";
    columns.append_depth(out, step.eto_mm, kStepMmDecimals);
    columns.append_depth(out, step.rain_mm, kStepMmDecimals);
    out.back() = '\n';
}

}  // namespace

std::string site_csv(const SiteReport& report, UnitSystem units) {
    const Columns columns{units == UnitSystem::us};
    if (!report.steps.empty()) {
        const std::string depth(columns.depth_unit());
        std::string out = "start,days,eto_" + depth + ",rain_" + depth + "\n";
        for (const SiteStep& step : report.steps) append_step(out, step, columns);
        return out;
    }
    const bool has_temperature = report.profile.has_temperature;
    const std::string year_cell = year_cell_of(report.profile);
    std::string out = month_header(columns, has_temperature, !year_cell.empty());
    for (std::size_t m = 0; m < kMonths; ++m)
        append_month(out, report.profile.months[m], m, columns, has_temperature, year_cell);
    return out;
}

}  // namespace thirstline
