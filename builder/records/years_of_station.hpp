// One station's record: days, or months, of several variables become one value a year and month.
//
// Rows come in any order, but those of a month of a station should follow each other: its days are
// kept together until a row of another month comes, and only then can quantities of one day be
// calculated from others. What is kept of a finished month is 16 bytes a variable. Pure: no input,
// no output.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <limits>
#include <vector>

#include "builder/records/calendar_days.hpp"
#include "builder/records/completeness.hpp"

namespace thirstline {

inline constexpr int kMaxDays = 31;

/// The days of one month of a station; NaN is missing.
struct DaysOfMonth {
    int year = 0;
    int month = 0;                                     ///< 0 is January
    std::vector<std::array<double, kMaxDays>> values;  ///< by variable, the first day first
};

/// Called with the days of a month when all have been read, before they become a value of the
/// month; may fill variables that are calculated by day.
using DaysVisitor = std::function<void(DaysOfMonth& days)>;

enum class AddedValue : std::uint8_t {
    kept,
    given_twice,  ///< the same value again: used once
    contradicts,  ///< another value of the same day: neither is used
    outside_the_period,
};

class YearsOfStation {
  public:
    YearsOfStation(std::vector<Variable> variables, int first_year, int last_year);

    /// A day's value, in the unit of computation; of rain, in mm. `visit` is called if the day
    /// begins another month than the last.
    AddedValue add_day(const RecordDay& day, std::size_t variable, double value,
                       const DaysVisitor& visit);
    /// A reading at the end of several days, as many as `covered`, of which the others have no
    /// reading of their own. If they began in the month before, the reading cannot be divided, and
    /// all of its days are missing.
    AddedValue add_reading_of_days(const RecordDay& day, int covered, std::size_t variable,
                                   double value, const DaysVisitor& visit);
    /// The value of a whole month.
    AddedValue add_month(int year, int month, std::size_t variable, double value);

    /// After the last row.
    void end(const DaysVisitor& visit);

    /// The values of a variable by month from January of the first year; NaN is void, for the
    /// reason beside it. Before the station's first and after its last month with any value the
    /// reason is none.
    struct Values {
        std::vector<double> values;
        std::vector<VoidReason> reasons;
    };
    [[nodiscard]] Values values_of(std::size_t variable, const CompletenessRules& rules) const;

  private:
    struct Month {
        double sum = 0.0;
        DaysPresent present = 0;
        bool given_twice = false;
    };
    void open(int year, int month, const DaysVisitor& visit);
    void close(const DaysVisitor& visit);
    void fold(std::size_t variable, double sum, DaysPresent present);
    [[nodiscard]] bool is_within(int year) const {
        return year >= first_year_ && year <= last_year_;
    }
    [[nodiscard]] std::size_t index_of(int year, int month) const;
    [[nodiscard]] Month& month_of(std::size_t variable, std::size_t index);

    std::vector<Variable> variables_;
    int first_year_;
    int last_year_;
    std::vector<std::vector<Month>> months_;  ///< by variable; empty if it has no value
    std::size_t first_used_ = std::numeric_limits<std::size_t>::max();
    std::size_t last_used_ = 0;
    bool is_open_ = false;
    DaysOfMonth days_;
    std::vector<DaysPresent> contradicted_;  ///< by variable, of the open month
    std::vector<DaysPresent> covered_;       ///< likewise: by a later reading
};

}  // namespace thirstline
