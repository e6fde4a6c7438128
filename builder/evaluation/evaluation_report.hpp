// The scores of an evaluation as text and as JSON.
#pragma once

#include <string>

#include "builder/evaluation/evaluation.hpp"

namespace thirstline {

/// Tables of the year's scores by variable and region, and of the fused ones by distance; also by
/// month if a country was left out.
[[nodiscard]] std::string evaluation_text(const Recipe& recipe, const EvaluationOptions& options,
                                          const Evaluation& evaluation);

/// { "builder_version", "recipe_sha256", "input_files", "left_out", "scores": [ … ] … }: what was
/// scored, and one object per variable, region, month, class of distance and estimator.
[[nodiscard]] std::string evaluation_json(const Recipe& recipe, const EvaluationOptions& options,
                                          const Evaluation& evaluation);

}  // namespace thirstline
