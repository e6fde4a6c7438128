#include "lookup/demand_output/month_cells.hpp"

#include "lookup/demand_output/controller_settings.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {

MonthCells month_cells(const ZoneMonth& month, const ZonePlan& zone, const DemandReport& report,
                       const TextStyle& style) {
    MonthCells cells;
    cells.need = depth_text(month.need_mm, style);
    cells.rain = depth_text(month.effective_rain_mm, style);
    cells.net = depth_text(month.net_mm, style);
    cells.gross = depth_text(month.gross_mm, style);
    cells.percent = fixed(month.percent_of_peak_need, 0);
    cells.water = volume_number(month.volume_l, style);
    cells.cost = month.cost ? fixed(*month.cost, 2) : "";
    if (month.cycles_per_day == 0) {
        cells.runs = month.dormant ? "dormant" : "-";
        cells.days = cells.run_time = cells.minutes_week = "-";
        return cells;
    }
    const CycleSetting setting = month_setting(report, zone, month);
    cells.runs =
        std::to_string(setting.cycles_per_day) + " x " + run_length(setting.minutes_per_cycle);
    cells.days = days_number(month.days_per_week);
    cells.run_time = run_length(setting.cycles_per_day * setting.minutes_per_cycle);
    cells.minutes_week = fixed(month.minutes_per_week, 0);
    return cells;
}

}  // namespace thirstline
