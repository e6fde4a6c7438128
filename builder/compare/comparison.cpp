#include "builder/compare/comparison.hpp"

#include "builder/compare/compared_lists.hpp"
#include "builder/compare/compared_points.hpp"
#include "schema/database/history.hpp"

namespace thirstline {

namespace {

Result<void> compare_recipes(Database& before, Database& after, DatabaseComparison& comparison) {
    const auto old_history = TRY(history_steps(before));
    const auto new_history = TRY(history_steps(after));
    const auto old_builds = builds_with_recipe(old_history);
    const auto new_builds = builds_with_recipe(new_history);
    const auto hashes = [](const std::vector<const HistoryStep*>& builds) {
        std::vector<std::string> list;
        for (const HistoryStep* build : builds) list.push_back(build->recipe_sha256);
        return list;
    };
    comparison.recipes_differ = hashes(old_builds) != hashes(new_builds);
    if (comparison.recipes_differ && old_builds.size() == 1 && new_builds.size() == 1)
        comparison.recipe = compared_lines(old_builds.front()->recipe, new_builds.front()->recipe);
    return {};
}

}  // namespace

Result<DatabaseComparison> compared(Database& before, Database& after,
                                    const std::atomic<bool>& interrupted) {
    DatabaseComparison comparison;
    comparison.before_sha256 = before.metadata("content_sha256");
    comparison.after_sha256 = after.metadata("content_sha256");
    comparison.is_same = comparison.before_sha256 == comparison.after_sha256;
    if (comparison.is_same) return comparison;
    comparison.metadata = compared_metadata(before.all_metadata(), after.all_metadata());
    TRY(compare_recipes(before, after, comparison));
    const auto old_sources = TRY(before.sources());
    const auto new_sources = TRY(after.sources());
    comparison.sources = compared_sources(old_sources, new_sources);
    const auto old_stations = TRY(before.stations());
    const auto new_stations = TRY(after.stations());
    comparison.stations = compared_stations(old_stations, new_stations);
    comparison.points = TRY(compared_points(before, after, interrupted));
    comparison.postal = TRY(compared_postal_codes(before, after));
    return comparison;
}

}  // namespace thirstline
