// The years that a file's numbers are means of: those of the sources that were used, by kind of
// variable where these differ.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "schema/database/database.hpp"

namespace thirstline {

/// A kind of variable with the periods of its sources.
struct KindPeriods {
    std::string kind;  ///< "temperature", "rain", "humidity", "wind", "radiation" or "reference ET"
    std::vector<std::string> periods;
};

/// The kinds for which a source was used, in the order above. Where stations of the period
/// `baseline_period` were used, their kinds are of that period alone: stations move the grids to
/// it. `station_sources` are ids separated by spaces, as in the metadata.
[[nodiscard]] std::vector<KindPeriods> periods_by_kind(const std::vector<Source>& sources,
                                                       std::string_view baseline_period,
                                                       std::string_view station_sources);

/// Whether some kind has other periods than another.
[[nodiscard]] bool differ_by_kind(const std::vector<KindPeriods>& kinds);

/// "1991-2020", or where kinds differ "temperature 1991-2020, wind 1961-1990"; `baseline_period` if
/// no source states a period.
[[nodiscard]] std::string period_text_of(const std::vector<KindPeriods>& kinds,
                                         const std::string& baseline_period);

/// The period of a file as it is shown, whatever its metadata say.
[[nodiscard]] std::string shown_period(const Database& database,
                                       const std::vector<Source>& sources);

}  // namespace thirstline
