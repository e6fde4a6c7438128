// Quantities of a day that are calculated from others of the same day, before days are averaged:
// vapour pressure and reference ET are curved functions of the weather, so that their mean over a
// month differs from their value at the month's mean. Pure.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "builder/records/record_findings.hpp"
#include "builder/records/years_of_station.hpp"
#include "builder/reference_et/penman_monteith.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Where reference ET by day comes from: the weather of the day, or the sum of its hours, which is
/// then among the days' values.
enum class EtoOf : std::uint8_t { day, hours };

class DayWeatherColumns {
  public:
    /// `measured` are the variables of a record. Adds to them what can be calculated: vapour
    /// pressure, if another form of humidity is measured, and reference ET.
    DayWeatherColumns(const std::vector<Variable>& measured, ReferenceSurface surface,
                      EtoOf eto_of = EtoOf::day);

    /// The measured ones, then those that are calculated.
    [[nodiscard]] const std::vector<Variable>& variables() const { return variables_; }
    [[nodiscard]] std::size_t measured() const { return measured_; }
    /// Place of the reference ET that is calculated, in variables(); −1 if the drivers are not
    /// measured.
    [[nodiscard]] int computed_eto() const { return computed_eto_; }

    struct Place {
        LatLon position;
        double elevation_m = 0.0;  ///< NaN if unknown: then reference ET is not calculated
    };
    /// Fills the calculated variables of each day whose others are known. Of days with a minimum
    /// temperature above the maximum neither is used; returns their number. Days of which the
    /// network reports reference ET are compared with it.
    int calculate(DaysOfMonth& days, const Place& place, EtoComparison& comparison) const;

  private:
    [[nodiscard]] double value(const DaysOfMonth& days, Variable variable, std::size_t day) const;

    ReferenceSurface surface_;
    EtoOf eto_of_;
    std::size_t measured_;
    std::vector<Variable> variables_;
    std::array<int, kVariables> column_of_{};  ///< of measured ones; −1: none
    int vapour_pressure_ = -1;                 ///< calculated
    int computed_eto_ = -1;
};

}  // namespace thirstline
