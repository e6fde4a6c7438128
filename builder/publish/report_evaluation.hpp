// The scores of a cross-validation for the report, from `evaluate --format json`.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// One variable over all regions, months and distances.
struct EvaluatedVariable {
    std::string variable;  ///< name in the file
    std::string unit;
    std::int64_t values = 0;  ///< months of stations
    std::optional<double> observed_mean;
    std::optional<double> mean_absolute_error;
    std::optional<double> bias;
    std::optional<double> error_of_grids;    ///< mean absolute error, grids only
    std::optional<double> error_of_nearest;  ///< mean absolute error of the nearest station's value
    std::optional<double> coverage_90;       ///< fraction of true values within the 90 % interval
    /// The same by the file's classes of distance, such as "25-50 km".
    std::vector<std::pair<std::string, double>> coverage_by_distance;
};

struct ReportEvaluation {
    std::string title;          ///< of the recipe
    std::string recipe_sha256;  ///< empty: written by an older version
    std::string builder_version;
    std::vector<SourceFile> inputs;
    std::int64_t stations = 0;  ///< number scored
    // What was left out with each station.
    double within_km = 0.0;
    int folds = 0;            ///< 0: its own values only
    std::string country;      ///< whose stations were left out together; may be empty
    bool is_holdout = false;  ///< the stations are of a table that no build uses
    std::vector<EvaluatedVariable> variables;  ///< in the file's order
};

/// Errors: io if the file cannot be read; bad_input if it was not written by `evaluate`.
[[nodiscard]] Result<ReportEvaluation> read_evaluation(const std::string& path);

/// "mean daily maximum temperature" for "tmax"; the name itself if it is not known.
[[nodiscard]] std::string evaluated_variable_title(const std::string& variable);

/// What was scored, and the tables with an explanation.
[[nodiscard]] std::string evaluation_html(const ReportEvaluation& evaluation);

}  // namespace thirstline
