#include "builder/stations/value_counts.hpp"

#include <utility>

namespace thirstline {

namespace {

// With at least this many values, most of them implausible, the unit is assumed to be wrong.
constexpr std::int64_t kEnoughToJudgeUnit = 12;
// The same for values of a month that the station already has, and that differ from the first: two
// years in a table give as many of these as first values.
constexpr std::int64_t kEnoughToJudgeRepetition = 12;

}  // namespace

Result<void> check_unit(const ValueCounts& counts, const StationRecipe& recipe,
                        const StationVariable& variable) {
    if (counts.seen < kEnoughToJudgeUnit || counts.implausible * 2 <= counts.seen) return {};
    const bool is_scaled = !variable.scale_where.empty();
    return fail(ErrorCode::bad_input, (is_scaled ? variable.scale_where : recipe.where) +
                                          ": most values of " +
                                          std::string(variable_name(variable.variable)) + " in " +
                                          recipe.path + " are not plausible in " + variable.unit +
                                          (is_scaled ? " with the recipe's scale and offset" : "") +
                                          " (the first is " + counts.example + "); correct the " +
                                          (is_scaled ? "scale, the offset or the " : "") +
                                          "unit, or name the code of missing values");
}

Result<void> check_repetition(const ValueCounts& counts, const StationRecipe& recipe,
                              const StationVariable& variable, std::size_t files,
                              const RecordSigns& signs) {
    // All values of a wide table of one variable count as read, in others only the first.
    const bool counts_all =
        recipe.layout == StationLayout::wide && recipe.variables.front().rows.empty();
    const std::int64_t first = counts_all ? counts.seen - counts.repeated : counts.seen;
    const bool has_signs = signs.step() != TimeStep::none;
    const bool is_enough = counts.repeated >= (has_signs ? 1 : kEnoughToJudgeRepetition);
    if (!is_enough || counts.repeated * 2 <= first) return {};
    Error error = signs.error(recipe.where, recipe.path);
    error.message += ": most values of " + std::string(variable_name(variable.variable)) +
                     " repeat a station and month with another value";
    if (files > 1 && !has_signs)
        error.hint += "; if its files are tables of different variables, name one of them";
    return fail(std::move(error));
}

}  // namespace thirstline
