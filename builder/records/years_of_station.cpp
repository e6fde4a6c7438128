#include "builder/records/years_of_station.hpp"

#include <algorithm>
#include <cmath>

#include "builder/reference_et/monthly_reference_et.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

namespace {

DaysPresent bit_of(int day) {
    return DaysPresent{1} << (day - 1);
}

DaysPresent all_days(int year, int month) {
    return (DaysPresent{1} << (days_in_month(year, month) - 1)) * 2U - 1U;
}

}  // namespace

YearsOfStation::YearsOfStation(std::vector<Variable> variables, int first_year, int last_year)
    : variables_(std::move(variables)),
      first_year_(first_year),
      last_year_(last_year),
      months_(variables_.size()),
      contradicted_(variables_.size()),
      covered_(variables_.size()) {
    days_.values.resize(variables_.size());
}

std::size_t YearsOfStation::index_of(int year, int month) const {
    return static_cast<std::size_t>(year - first_year_) * kMonths + static_cast<std::size_t>(month);
}

YearsOfStation::Month& YearsOfStation::month_of(std::size_t variable, std::size_t index) {
    std::vector<Month>& months = months_[variable];
    if (months.empty())
        months.resize(static_cast<std::size_t>(last_year_ - first_year_ + 1) * kMonths);
    first_used_ = std::min(first_used_, index);
    last_used_ = std::max(last_used_, index);
    return months[index];
}

void YearsOfStation::open(int year, int month, const DaysVisitor& visit) {
    if (is_open_ && days_.year == year && days_.month == month) return;
    close(visit);
    days_.year = year;
    days_.month = month;
    for (auto& values : days_.values) values.fill(kUnknown);
    std::fill(contradicted_.begin(), contradicted_.end(), DaysPresent{0});
    std::fill(covered_.begin(), covered_.end(), DaysPresent{0});
    is_open_ = true;
}

void YearsOfStation::close(const DaysVisitor& visit) {
    if (!is_open_) return;
    is_open_ = false;
    visit(days_);
    for (std::size_t v = 0; v < variables_.size(); ++v) {
        double sum = 0.0;
        DaysPresent present = covered_[v];
        for (int day = 1; day <= kMaxDays; ++day) {
            const double value = days_.values[v][static_cast<std::size_t>(day - 1)];
            if (std::isnan(value)) continue;
            sum += value;
            present |= bit_of(day);
        }
        if (present != 0) fold(v, sum, present);
    }
}

/// Adds days to a month, of which other days may have been read before.
void YearsOfStation::fold(std::size_t variable, double sum, DaysPresent present) {
    Month& month = month_of(variable, index_of(days_.year, days_.month));
    if ((month.present & present) != 0) month.given_twice = true;
    month.sum += sum;
    month.present |= present;
}

AddedValue YearsOfStation::add_day(const RecordDay& day, std::size_t variable, double value,
                                   const DaysVisitor& visit) {
    return add_reading_of_days(day, 1, variable, value, visit);
}

AddedValue YearsOfStation::add_reading_of_days(const RecordDay& day, int covered,
                                               std::size_t variable, double value,
                                               const DaysVisitor& visit) {
    if (!is_within(day.year)) return AddedValue::outside_the_period;
    open(day.year, day.month, visit);
    double& kept = days_.values[variable][static_cast<std::size_t>(day.day - 1)];
    const DaysPresent bit = bit_of(day.day);
    if ((contradicted_[variable] & bit) != 0) return AddedValue::contradicts;
    if (!std::isnan(kept)) {
        if (kept == value) return AddedValue::given_twice;
        contradicted_[variable] |= bit;
        kept = kUnknown;
        return AddedValue::contradicts;
    }
    if (covered > day.day) {
        contradicted_[variable] |= bit;
        return AddedValue::kept;
    }
    kept = value;
    for (int before = 1; before < covered; ++before) covered_[variable] |= bit_of(day.day - before);
    return AddedValue::kept;
}

AddedValue YearsOfStation::add_month(int year, int month, std::size_t variable, double value) {
    if (!is_within(year)) return AddedValue::outside_the_period;
    const int days = days_in_month(year, month);
    Month& kept = month_of(variable, index_of(year, month));
    const double sum_of_days = is_total(variables_[variable]) ? value : value * days;
    if (kept.present != 0) {
        if (kept.sum == sum_of_days && !kept.given_twice) return AddedValue::given_twice;
        kept.given_twice = true;
        return AddedValue::contradicts;
    }
    kept.sum = sum_of_days;
    kept.present = all_days(year, month);
    return AddedValue::kept;
}

void YearsOfStation::end(const DaysVisitor& visit) {
    close(visit);
}

YearsOfStation::Values YearsOfStation::values_of(std::size_t variable,
                                                 const CompletenessRules& rules) const {
    const std::vector<Month>& months = months_[variable];
    Values found{std::vector<double>(months.size(), kUnknown),
                 std::vector<VoidReason>(months.size(), VoidReason::none)};
    for (std::size_t i = 0; i < months.size(); ++i) {
        if (i < first_used_ || i > last_used_) continue;
        const int year = first_year_ + static_cast<int>(i / kMonths);
        const int days = days_in_month(year, static_cast<int>(i % kMonths));
        found.reasons[i] = months[i].given_twice ? VoidReason::given_twice
                                                 : void_reason_of(days_make(variables_[variable]),
                                                                  months[i].present, days, rules);
        if (found.reasons[i] == VoidReason::none)
            found.values[i] =
                month_value(variables_[variable], months[i].sum, months[i].present, days);
    }
    return found;
}

}  // namespace thirstline
