#include "builder/records/hours_of_day.hpp"

#include <bit>
#include <cmath>
#include <cstdlib>

#include "builder/reference_et/monthly_reference_et.hpp"

namespace thirstline {

namespace {

/// Clocks change at 1 to 3 h.
constexpr HourMask kHoursOfChange = 0b1111;
constexpr HourMask kAllHours = (HourMask{1} << kHoursOfDay) - 1;
/// More days than clocks change in two centuries: gaps of another kind.
constexpr std::size_t kMaxNoted = 1000;

}  // namespace

HoursOfDay::HoursOfDay(const RecordDay& of, std::size_t variables)
    : day(of), values(variables), contradicted(variables, HourMask{0}) {
    for (auto& hours : values) hours.fill(kUnknown);
}

LocalHour local_hour(const RecordDay& day, int minute, bool is_end, double ahead_hours) {
    constexpr double kMinutes = 60.0;
    const double start = std::floor(minute / kMinutes) - (is_end ? 1.0 : 0.0);
    const double hour = std::floor(start + 0.5 + ahead_hours);
    const double days = std::floor(hour / kHoursOfDay);
    return {days_later(day, static_cast<int>(days)), static_cast<int>(hour - days * kHoursOfDay)};
}

AddedValue HoursOfDay::add(int hour, std::size_t variable, double value) {
    const HourMask bit = HourMask{1} << hour;
    if ((contradicted[variable] & bit) != 0) return AddedValue::contradicts;
    double& kept = values[variable][static_cast<std::size_t>(hour)];
    if (std::isnan(kept)) {
        kept = value;
        return AddedValue::kept;
    }
    if (kept == value) return AddedValue::given_twice;
    kept = kUnknown;
    contradicted[variable] |= bit;
    return AddedValue::contradicts;
}

HourMask HoursOfDay::present() const {
    HourMask mask = doubled();
    for (const auto& hours : values)
        for (int hour = 0; hour < kHoursOfDay; ++hour)
            if (!std::isnan(hours[static_cast<std::size_t>(hour)])) mask |= HourMask{1} << hour;
    return mask;
}

HourMask HoursOfDay::doubled() const {
    HourMask mask = 0;
    for (const HourMask each : contradicted) mask |= each;
    return mask;
}

void ClockChanges::note(const HoursOfDay& hours) {
    const HourMask missing = kAllHours & ~hours.present();
    const HourMask twice = hours.doubled();
    const auto is_one_of_change = [](HourMask mask) {
        return std::popcount(mask) == 1 && (mask & kHoursOfChange) != 0;
    };
    if (is_one_of_change(missing) && twice == 0 && lacking_.size() < kMaxNoted)
        lacking_.push_back(hours.day);
    if (is_one_of_change(twice) && missing == 0 && doubled_.size() < kMaxNoted)
        doubled_.push_back(hours.day);
}

std::optional<ClockChanges::Found> ClockChanges::found() const {
    constexpr int kMinMonthsApart = 4;
    for (const RecordDay& doubled : doubled_) {
        for (const RecordDay& lacking : lacking_) {
            if (doubled.year == lacking.year &&
                std::abs(doubled.month - lacking.month) >= kMinMonthsApart)
                return Found{lacking, doubled};
        }
    }
    return std::nullopt;
}

}  // namespace thirstline
