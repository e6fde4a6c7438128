// The hours of one day of a station, as they are read. Pure.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "builder/records/calendar_days.hpp"
#include "builder/records/years_of_station.hpp"

namespace thirstline {

inline constexpr int kHoursOfDay = 24;
using HourMask = std::uint32_t;  ///< bit 0 is the hour from 0 to 1

/// By local standard time, which has 24 hours every day; NaN is missing.
struct HoursOfDay {
    RecordDay day;
    std::vector<std::array<double, kHoursOfDay>> values;  ///< by variable
    std::vector<HourMask> contradicted;                   ///< hours with two different values

    HoursOfDay(const RecordDay& of, std::size_t variables);
    /// `hour` is 0 to 23.
    [[nodiscard]] AddedValue add(int hour, std::size_t variable, double value);
    /// Hours in which any variable has a value, and in which one has two.
    [[nodiscard]] HourMask present() const;
    [[nodiscard]] HourMask doubled() const;
};

struct LocalHour {
    RecordDay day;
    int hour = 0;  ///< 0 to 23
};
/// The hour of local standard time that holds the middle of a row's hour. `minute` is its time, 0
/// to 1440 of the day as written: its start, or its end. Local time is `ahead_hours` ahead of it.
[[nodiscard]] LocalHour local_hour(const RecordDay& day, int minute, bool is_end,
                                   double ahead_hours);

/// Finds a clock that is put forward in spring and back in autumn, from the days of one station: a
/// day that lacks one hour of the early morning, and in the same year one that has one twice.
class ClockChanges {
  public:
    void note(const HoursOfDay& hours);
    struct Found {
        RecordDay lacking;
        RecordDay doubled;
    };
    [[nodiscard]] std::optional<Found> found() const;

  private:
    std::vector<RecordDay> lacking_;
    std::vector<RecordDay> doubled_;
};

}  // namespace thirstline
