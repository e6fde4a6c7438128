// The results of a build, as text and JSON.
#pragma once

#include <string>

#include "builder/licences/licences.hpp"
#include "builder/pipeline/build.hpp"
#include "builder/recipe/recipe.hpp"

namespace thirstline {

/// A few lines: points by method, what was rejected, postal codes, size, time.
[[nodiscard]] std::string build_summary(const Recipe& recipe, const BuildOutcome& outcome);

/// The complete results as one JSON object, with a final newline.
[[nodiscard]] std::string build_report_json(const Recipe& recipe, const BuildOutcome& outcome);

/// The findings of `check`: a table of examples by source and rule, with counts; then a summary of
/// the sources and of their coverage of the lattice.
[[nodiscard]] std::string suspects_text(const Recipe& recipe, const BuildOutcome& outcome);

/// { "suspects": […], "counts": {…}, "coverage": {…}, "licences": {…} }: the examples, the exact
/// counts by source and rule, the coverage of the lattice, and what may be done with the file.
[[nodiscard]] std::string suspects_json(const Recipe& recipe, const BuildOutcome& outcome,
                                        const LicenceSummary& licences);

/// Total number of rejected values and rows.
[[nodiscard]] std::int64_t suspects_counted(const BuildOutcome& outcome);

}  // namespace thirstline
