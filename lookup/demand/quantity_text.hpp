// Quantities in a plan: phrases in both units, and texts that are the same in every language.
#pragma once

#include <string>

#include "lookup/demand/zone.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// "6.5 mm (0.26 in)"
[[nodiscard]] Phrase depth_phrase(double mm);
/// "5.1 mm/h (0.20 in/hr)"
[[nodiscard]] Phrase rate_phrase(double mm_per_h);
/// "177 mm/m (2.13 in/ft)": water per depth of soil
[[nodiscard]] Phrase available_water_phrase(double mm_per_m);
/// "152 mm (6 in)": depth of soil
[[nodiscard]] Phrase soil_depth_phrase(double mm);
/// "5,300 L (1,400 gal)" without the commas
[[nodiscard]] Phrase volume_phrase(double litres);
/// "45.4 L/min (12.0 gpm)"
[[nodiscard]] Phrase flow_phrase(double l_per_min);
/// "139.4 m² (1500 ft²)"
[[nodiscard]] Phrase area_phrase(double m2);
/// "2027-03-01"
[[nodiscard]] std::string iso_date(const CalendarDay& day);
[[nodiscard]] Phrase temperature_phrase(double celsius);
/// "42 min", or "9 h 40 min" from one hour; whole minutes, rounded up.
[[nodiscard]] std::string duration_text(double minutes);
/// "66 min"; whole minutes, rounded up: times of a controller.
[[nodiscard]] std::string minutes_text(double minutes);
/// "04:10" on a 24-hour clock; whole minutes, after midnight of any day.
[[nodiscard]] std::string clock_text(double minutes_after_midnight);
/// The shortest text of any number, for messages: "0.8", "nan".
[[nodiscard]] std::string number_text(double value);
/// "50%"
[[nodiscard]] std::string percent_text(double share);

}  // namespace thirstline
