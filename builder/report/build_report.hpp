// What a build did, for a person and for a program.
#pragma once

#include <string>

#include "builder/pipeline/build.hpp"
#include "builder/recipe/recipe.hpp"

namespace thirstline {

/// A few lines: points by method, what was rejected, postal codes, size, time.
[[nodiscard]] std::string build_summary(const Recipe& recipe, const BuildOutcome& outcome);

/// The whole of it as one JSON object, with a final newline.
[[nodiscard]] std::string build_report_json(const Recipe& recipe, const BuildOutcome& outcome);

/// What `check` found: a table of examples by source and rule, with counts.
[[nodiscard]] std::string suspects_text(const Recipe& recipe, const BuildOutcome& outcome);

/// { "suspects": […], "counts": {…} }: the examples, and the exact counts by source and rule.
[[nodiscard]] std::string suspects_json(const Recipe& recipe, const BuildOutcome& outcome);

/// All values and rows that were rejected.
[[nodiscard]] std::int64_t suspects_counted(const BuildOutcome& outcome);

}  // namespace thirstline
