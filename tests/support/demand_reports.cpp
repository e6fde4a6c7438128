#include "tests/support/demand_reports.hpp"

#include "lookup/demand/climate_of_profile.hpp"
#include "lookup/demand/demand_plan.hpp"
#include "lookup/zone_file/zone_file.hpp"
#include "tests/support/site_report_of_merrow.hpp"

namespace thirstline::test {

std::string three_zones() {
    return R"([site]
allowed_days = ["Mon", "Wed", "Fri", "Sat"]
window_hours = 8
flow_gpm = 24
[water]
unit = "kgal"
currency = "MRW"
fixed = 18.0
indoor_use = 5.0
tiers = [ { up_to = 10, price = 3.1 }, { price = 5.4 } ]
[[zone]]
name = "north lawn"
planting = "cool turf"
area_ft2 = 1500
rate_in_per_h = 1.4
distribution_uniformity = 0.65
soil = "clay loam"
slope_percent = 5
dormant_months = ["Jan", "Dec"]
[[zone]]
name = "shrub border"
plant_factor = 0.5
area_ft2 = 900
emitters = 120
gph_each = 1.0
wetted_ft2 = 500
plants = 30
soil = "clay loam"
[[zone]]
name = "play meadow"
planting = "warm turf"
area_ft2 = 2200
rate_in_per_h = 0.5
soil = "sandy loam"
dormant_months = []
)";
}

std::string three_zones_of_a_strict_town() {
    std::string text = three_zones();
    const std::string days =
        "allowed_days = [\"Mon\", \"Wed\", \"Fri\", \"Sat\"]\nwindow_hours = 8";
    text.replace(text.find(days), days.size(), "allowed_days = [\"Mon\"]\nwindow_hours = 0.5");
    return text;
}

DemandReport merrow_demand(const std::string& zones, const MerrowOptions& options) {
    DemandReport report;
    report.site = merrow_report(options);
    // No frost at night: the season is the whole year.
    for (MonthProfile& month : report.site.profile.months) {
        if (month.tmin_c) month.tmin_c = 1.0;
    }
    report.site.query.postal = "4021";
    report.site.query.country = "XM";
    report.site.query.place = "Merrow Ford";
    report.set = read_zone_file(file_in_test_folder("zones.toml", zones)).value();
    const auto climate =
        climate_of_profile(report.site.profile, ReferenceCrop::short_grass).value();
    report.plan =
        demand_plan(climate, report.set.zones, report.set.rules, report.set.price, report.set.setup)
            .value();
    return report;
}

DemandReport full_demand() {
    DemandReport report = merrow_demand(three_zones_of_a_strict_town());
    report.site.query.place = kHostileName;
    report.site.baseline.title = kHostileName;
    report.site.baseline.notice = kHostileName;
    report.set.currency = "<";
    ZonePlan& zone = report.plan.zones[0];
    zone.name = kHostileName;
    const std::string hostile(kHostileName);
    zone.conflicts.push_back({7, "window_hours", hostile, hostile, 10.0, 20.0});
    zone.assumed.push_back({hostile, hostile, hostile, Basis::memory});
    zone.base_run = {1, 24.0, 3, 8.0, 60.0, 3.0, hostile, {}};
    zone.new_planting = NewPlantingPlan{{5.0, 3, CalendarDay{2030, 4, 1}, {2030, 5, 15}},
                                        5.0,
                                        3,
                                        7.0,
                                        hostile,
                                        4.0,
                                        550.0,
                                        45,
                                        24750.0};
    report.plan.site.highest_need_zone = kHostileName;
    ProgramPlan& program = report.plan.site.programs.at(0);
    program.zones.front() = kHostileName;
    program.day_names = hostile;
    program.set_by.fill(kHostileName);
    for (ZoneMonth& month : zone.months) month.by_percentage.excess_mm = 12.0;
    report.plan.cautions.emplace_back(hostile);
    return report;
}

}  // namespace thirstline::test
