// Reads the numbers out of the worked example and holds the code to them, each to half of its last
// printed digit.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

#include "lookup/demand/effective_rain.hpp"
#include "lookup/demand/exact_units.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "schema/base/words.hpp"
#include "tests/support/merrow_site.hpp"

namespace thirstline {
namespace {

using Row = std::vector<std::string>;

Row cells_of(const std::string& line) {
    Row cells;
    std::istringstream stream(line.substr(1));
    for (std::string cell; std::getline(stream, cell, '|');) {
        const auto first = cell.find_first_not_of(' ');
        const auto last = cell.find_last_not_of(' ');
        cells.push_back(first == std::string::npos ? "" : cell.substr(first, last - first + 1));
    }
    return cells;
}

/// Rows by section ("## July, …") and first cell.
class Document {
  public:
    Document() {
        std::ifstream file(THIRSTLINE_WORKED_EXAMPLE);
        std::string section;
        for (std::string line; std::getline(file, line);) {
            if (line.rfind("## ", 0) == 0) section = line.substr(3);
            if (line.rfind('|', 0) != 0) continue;
            Row cells = cells_of(line);
            rows_[section][cells.front()] = std::move(cells);
        }
    }
    [[nodiscard]] Row row(const std::string& section, const std::string& name) {
        ++rows_read_;
        const auto found = rows_.find(section);
        if (found == rows_.end() || found->second.count(name) == 0) {
            ADD_FAILURE() << "no row \"" << name << "\" under \"" << section << '"';
            return Row(6, "0");
        }
        return found->second.at(name);
    }
    [[nodiscard]] int rows_read() const { return rows_read_; }
    /// Without the two lines of each table's head.
    [[nodiscard]] int rows_there() const {
        int count = 0;
        for (const auto& [section, rows] : rows_) count += static_cast<int>(rows.size()) - 2;
        return count;
    }

  private:
    std::map<std::string, std::map<std::string, Row>> rows_;
    int rows_read_ = 0;
};

double number_of(const std::string& cell) {
    return std::stod(cell);  // stops at the unit
}

double half_of_last_digit(const std::string& cell) {
    const auto point = cell.find('.');
    if (point == std::string::npos) return 0.5;
    const auto end = cell.find_first_not_of("0123456789", point + 1);
    const auto digits = (end == std::string::npos ? cell.size() : end) - point - 1;
    return 0.5 * std::pow(10.0, -static_cast<double>(digits));
}

void expect_printed(const std::string& cell, double value, const std::string& what) {
    EXPECT_NEAR(value, number_of(cell), half_of_last_digit(cell) + 1e-9) << what;
}

class WorkedExample : public testing::Test {
  protected:
    void SetUp() override {
        SiteClimate climate;
        for (std::size_t m = 0; m < kMonths; ++m) {
            const Row row = document_.row("The normals", std::string(kMonthNames[m]));
            MonthClimate& month = climate.months[m];
            month.eto_mm = number_of(row[1]);
            month.eto_mm_per_day = month.eto_mm / kDaysInMonth[m];
            month.rain_mm = number_of(row[3]);
            month.tmean_c = number_of(row[5]);
            expect_printed(row[2], month.eto_mm / kMmPerInch, "ETo in inches");
            expect_printed(row[4], *month.rain_mm / kMmPerInch, "rain in inches");
        }
        LocalRules rules;
        rules.allowed_days = monday_wednesday_friday();
        WaterPrice price;
        price.litres_per_unit = kLitresPerThousandGallons;
        price.indoor_units_per_bill = 5.0;
        price.tiers = {{10.0, 3.10}, {std::nullopt, 5.40}};
        lawn_ = plan_or_fail(climate, {north_lawn()}, rules, price).zones[0];
        Zone back = north_lawn();
        back.name = "back lawn";
        back.area_m2 = 1000.0 * kM2PerFt2;
        back.application = ApplicationRate{0.5 * kMmPerInch};
        back.slope_percent = 0.0;
        two_lawns_ = plan_or_fail(climate, {north_lawn(), back}, rules);
    }

    void expect_step(const std::string& section, const std::string& step, double us,
                     double metric) {
        const Row row = document_.row(section, step);
        expect_printed(row[2], us, section + ": " + step);
        expect_printed(row[3], metric, section + ": " + step);
    }
    void expect_depth(const std::string& section, const std::string& step, double mm) {
        expect_step(section, step, mm / kMmPerInch, mm);
    }
    void expect_same(const std::string& section, const std::string& step, double value) {
        expect_step(section, step, value, value);
    }

    void expect_month(const std::string& section, std::size_t m) {
        const ZoneMonth& month = lawn_.months[m];
        expect_depth(section, "need", month.need_mm);
        expect_depth(section, "effective rain", month.effective_rain_mm);
        expect_depth(section, "net", month.net_mm);
        expect_depth(section, "gross", month.gross_mm);
        expect_same(section, "minutes a week", month.wanted_minutes_per_week);
        expect_same(section, "interval", month.interval_days.value_or(-1));
        expect_same(section, "days a week", month.days_per_week);
        expect_same(section, "cycles", month.cycles_per_day);
        expect_same(section, "minutes a cycle", month.minutes_per_cycle);
        const Row starts = document_.row(section, "start times");
        expect_starts(starts[2], month.start_minutes);
        expect_starts(starts[3], month.start_minutes);
        expect_step(section, "applied", month.applied_mm / kMmPerInch, month.applied_mm);
        expect_step(section, "volume", month.volume_l / kLitresPerGallon, month.volume_l);
    }

    void expect_starts(const std::string& cell, const std::vector<double>& start_minutes) {
        std::string times;
        for (const double minutes : start_minutes) add_word(times, clock_text(minutes));
        EXPECT_EQ(cell, times);
    }

    Document document_;
    ZonePlan lawn_;
    DemandPlan two_lawns_;
};

TEST_F(WorkedExample, AgreesWithTheCodeInEveryNumber) {
    const std::string all_year = "What holds all year";
    expect_depth(all_year, "usable storage", lawn_.usable_storage_mm);
    expect_same(all_year, "gross for net", lawn_.gross_per_net);
    expect_same(all_year, "longest cycle", lawn_.longest_cycle_minutes.value_or(0.0));
    expect_same(all_year, "soak", lawn_.months[6].soak_minutes);
    expect_depth(all_year, "rain shut-off", lawn_.rain_shutoff_mm);

    const std::string july = "July, the month of greatest net need";
    EXPECT_EQ(lawn_.peak_need_month, 7);
    expect_month(july, 6);
    expect_same(july, "minutes a day",
                lawn_.months[6].wanted_minutes_per_week / lawn_.months[6].days_per_week);
    expect_month("October", 9);
    const std::string may = "May, a month near the peak";
    expect_month(may, 4);
    const double whole_credit_mm =
        scs_effective_rain_mm(10.0, lawn_.months[4].need_mm, lawn_.usable_storage_mm);
    expect_same(may, "part credited", lawn_.months[4].effective_rain_mm / whole_credit_mm);

    for (std::size_t m = 0; m < kMonths; ++m) {
        const std::string name(kMonthNames[m]);
        const Row row = document_.row("The year", name);
        const ZoneMonth& month = lawn_.months[m];
        expect_printed(row[1], month.net_mm, name + ": net");
        expect_printed(row[2], month.percent_of_peak_need, name + ": share");
        expect_printed(row[3], month.days_per_week, name + ": days a week");
        expect_printed(row[4], month.wanted_minutes_per_week, name + ": minutes a week");
        expect_printed(row[5], month.cycles_per_day * month.minutes_per_cycle,
                       name + ": minutes a day");
        expect_printed(row[6], month.by_percentage.percent, name + ": percentage");
        expect_printed(row[7], month.by_percentage.applied_mm, name + ": by percentage");
    }
    for (const ZoneMonth& month : lawn_.months) {
        if (month.off != Off::no) continue;
        EXPECT_EQ(month.by_percentage.start_minutes, lawn_.months[6].start_minutes);
    }

    const std::string two = "Two lawns on one program";
    const ZonePlan& north = two_lawns_.zones[0];
    const ZonePlan& back = two_lawns_.zones[1];
    EXPECT_EQ(two_lawns_.site.programs.size(), 1U);
    expect_step(two, "longest cycle", back.longest_cycle_minutes.value_or(0.0),
                north.longest_cycle_minutes.value_or(0.0));
    expect_step(two, "soak", back.base_run.soak_minutes, north.base_run.soak_minutes);
    const auto july_minutes = [](const ZonePlan& zone) {
        return zone.months[6].wanted_minutes_per_week / zone.months[6].days_per_week;
    };
    expect_step(two, "minutes a day", july_minutes(back), july_minutes(north));
    expect_step(two, "cycles", back.base_run.cycles_per_day, north.base_run.cycles_per_day);
    expect_step(two, "minutes a cycle", back.base_run.minutes_per_cycle,
                north.base_run.minutes_per_cycle);
    const Row starts = document_.row(two, "start times");
    expect_starts(starts[2], back.base_run.start_minutes);
    expect_starts(starts[3], north.base_run.start_minutes);
    expect_step(two, "April's percentage", back.months[3].by_percentage.percent,
                north.months[3].by_percentage.percent);
    expect_step(two, "April by percentage", back.months[3].by_percentage.applied_mm / kMmPerInch,
                north.months[3].by_percentage.applied_mm / kMmPerInch);

    expect_same("What July costs", "cost of July", lawn_.months[6].cost.value_or(0.0));
    EXPECT_TRUE(lawn_.conflicts.empty());
    EXPECT_EQ(document_.rows_read(), document_.rows_there()) << "every row is tested";
}

}  // namespace
}  // namespace thirstline
