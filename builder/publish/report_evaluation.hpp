// The scores of a cross-validation, as `evaluate --format json` writes them, for the report.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// One variable over all regions, months and distances.
struct EvaluatedVariable {
    std::string variable;  ///< as the file names it
    std::string unit;
    std::int64_t values = 0;  ///< months of stations
    std::optional<double> observed_mean;
    std::optional<double> mean_absolute_error;
    std::optional<double> bias;
    std::optional<double> error_of_grids;    ///< mean absolute, of the grids alone
    std::optional<double> error_of_nearest;  ///< mean absolute, of the nearest station's value
    std::optional<double> coverage_90;       ///< share of truths within the 90 % interval
    /// The same by the file's names of distances, such as "25-50 km".
    std::vector<std::pair<std::string, double>> coverage_by_distance;
};

/// The variables in the file's order.
/// Errors: io where the file cannot be read; bad_input where it is not what `evaluate` writes.
[[nodiscard]] Result<std::vector<EvaluatedVariable>> read_evaluation(const std::string& path);

/// "mean daily maximum temperature" for "tmax"; the name itself where it is not known.
[[nodiscard]] std::string evaluated_variable_title(const std::string& variable);

/// The table, with what it says in words.
[[nodiscard]] std::string evaluation_html(const std::vector<EvaluatedVariable>& variables);

}  // namespace thirstline
