#include "lookup/demand_output/month_cells.hpp"

#include <cmath>

#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

constexpr std::string_view kNoValue = "-";

}  // namespace

Phrase cycles_phrase(const ZoneMonth& month) {
    if (month.cycles_per_day > 0) {
        return std::to_string(month.cycles_per_day) + " × " + run_length(month.minutes_per_cycle);
    }
    if (month.off == Off::dormant) return "cell.dormant"_text;
    if (month.off == Off::no_need) return std::string(kNoValue);
    return month.off == Off::rules ? "cell.no_run"_text : "cell.off"_text;
}

Phrase days_phrase(const ZoneMonth& month) {
    if (!goes_by_date(month.days.rule)) return days_number(month.days_per_week);
    const int dates = static_cast<int>(std::floor(month.days.days_in_month));
    return {"cell.days_per_month"_text, {{"count", std::to_string(dates)}}};
}

MonthCells month_cells(const ZoneMonth& month, const TextStyle& style) {
    MonthCells cells;
    cells.need = depth_text(month.need_mm, style);
    cells.rain = depth_text(month.effective_rain_mm, style);
    cells.net = depth_text(month.net_mm, style);
    cells.gross = depth_text(month.gross_mm, style);
    cells.percent = fixed(month.percent_of_peak_need, 0);
    cells.water = volume_number(month.volume_l, style);
    cells.cost = month.cost ? fixed(*month.cost, 2) : "";
    cells.runs = rendered(cycles_phrase(month), style);
    if (month.cycles_per_day == 0) {
        cells.days = cells.run_time = cells.minutes_week = kNoValue;
        return cells;
    }
    cells.days = rendered(days_phrase(month), style);
    cells.run_time = run_length(month.cycles_per_day * month.minutes_per_cycle);
    cells.minutes_week = fixed(month.minutes_per_week, 0);
    return cells;
}

}  // namespace thirstline
