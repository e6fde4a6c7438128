// From the hours of a day to the values of the day. Pure.
//
//   tmax, tmin        the highest and lowest hourly value: of hourly extremes, else of the hourly
//                     mean, which understates the range of the day a little
//   means             of at least `min_hours`
//   rain, sunshine,   sums, and radiation as a mean, need every hour; but those of radiation and
//   eto               sunshine without sun may be missing
//   vapour pressure   the mean of the hours' own, from any form of humidity
//   reference ET      the sum of the hours' own (hourly_reference_et.hpp)
#pragma once

#include <array>
#include <vector>

#include "builder/records/hours_of_day.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "builder/reference_et/penman_monteith.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// The sun's light or warmth through the day, which tells whether the hours are in the time that
/// the recipe states.
struct DailyCourse {
    double sine = 0.0;  ///< sums of value · sin ω and value · cos ω over whole days
    double cosine = 0.0;
    int days = 0;
    /// Hours after solar noon of the greatest value of the first harmonic, −12 to 12; NaN without
    /// enough days or without a course.
    [[nodiscard]] double hours_after_noon() const;
};

class HourWeather {
  public:
    /// `measured` are the variables of a record of hours, in which `tmean` is the temperature of
    /// the hour.
    HourWeather(const std::vector<Variable>& measured, ReferenceSurface surface, int min_hours);

    /// The variables of a day, without a calculated reference ET.
    [[nodiscard]] const std::vector<Variable>& of_days() const { return of_days_; }
    [[nodiscard]] bool has_eto() const { return has_eto_; }

    struct Place {
        LatLon position;
        double elevation_m = 0.0;  ///< NaN if unknown: then reference ET is not calculated
        double utc_offset_hours = 0.0;
        /// Of the first minute of hour 0 after midnight: 0, or 30 for time zones of half hours.
        double first_minute = 0.0;
    };
    /// What is kept of a station from day to day.
    struct State {
        double cloudiness = kUnknown;  ///< of the last hour of light
        DailyCourse radiation;
        DailyCourse temperature;
    };
    struct Day {
        std::vector<double> values;  ///< by of_days(), NaN if unknown
        double eto_mm = kUnknown;
    };
    [[nodiscard]] Day day_of(const HoursOfDay& hours, const Place& place, State& state) const;

  private:
    using Hours = std::array<double, kHoursOfDay>;
    [[nodiscard]] Hours hours_of(const HoursOfDay& hours, Variable variable) const;
    [[nodiscard]] bool has(Variable variable) const {
        return column_of_[static_cast<std::size_t>(variable)] >= 0;
    }

    ReferenceSurface surface_;
    int min_hours_;
    std::array<int, kVariables> column_of_{};  ///< −1: none
    std::vector<Variable> of_days_;
    bool has_eto_ = false;
};

}  // namespace thirstline
