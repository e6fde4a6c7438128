// The scores of an evaluation, for a person and for a program.
#pragma once

#include <string>

#include "builder/evaluation/evaluation.hpp"

namespace thirstline {

/// Tables of the year's scores by variable and region, and of the fused ones by distance; by month
/// too where a country was left out.
[[nodiscard]] std::string evaluation_text(const Recipe& recipe, const EvaluationOptions& options,
                                          const Evaluation& evaluation);

/// { "scores": [ … ] }: one object a variable, region, month, class of distance and estimator.
[[nodiscard]] std::string evaluation_json(const Evaluation& evaluation);

}  // namespace thirstline
