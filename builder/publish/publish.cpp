#include "builder/publish/publish.hpp"

#include <algorithm>
#include <filesystem>

#include "builder/publish/page_files.hpp"
#include "builder/publish/publication_json.hpp"
#include "builder/publish/report_page.hpp"
#include "builder/publish/report_text.hpp"
#include "builder/publish/site_folder.hpp"

namespace thirstline {

namespace {

Result<SiteParts> written_parts(SiteFolder& folder, Database& database,
                                const std::atomic<bool>& interrupted) {
    SiteParts parts;
    auto provenance = provenance_of(database, "");
    if (!provenance) return fail(provenance.error());
    parts.provenance = std::move(*provenance);

    const SiteSelection everything;
    const auto tiles =
        SelectedTiles::make(database, everything, PointsWanted::that_answer_for_it, interrupted);
    if (!tiles) return fail(tiles.error());
    auto survey = surveyed_points(database, *tiles);
    if (!survey) return fail(survey.error());
    parts.survey = std::move(*survey);

    auto areas = write_area_shards(folder, database, parts.survey, parts.provenance, interrupted);
    if (!areas) return fail(areas.error());
    parts.areas = std::move(*areas);

    auto postal = write_postal_shards(folder, database, interrupted);
    if (!postal) return fail(postal.error());
    parts.postal = std::move(*postal);

    auto map = map_raster_of(database, *tiles, parts.survey);
    if (!map) return fail(map.error());
    parts.map = std::move(*map);
    auto map_file = folder.add_by_hash("data/map", ".json", map_json(parts.map));
    if (!map_file) return fail(map_file.error());
    parts.map_file = std::move(*map_file);

    auto downloads = write_downloads(folder, database, interrupted);
    if (!downloads) return fail(downloads.error());
    parts.downloads = std::move(*downloads);
    return parts;
}

/// What the report needs of other files is read before anything is written.
Result<ReportMatter> report_matter(Database& database, const PublishOptions& options) {
    ReportMatter matter;
    matter.lattices = database.lattices();
    matter.metadata = database.all_metadata();
    auto stations = database.stations();
    if (!stations) return fail(stations.error());
    matter.stations = std::move(*stations);
    if (!options.evaluation_file.empty()) {
        auto evaluation = read_evaluation(options.evaluation_file);
        if (!evaluation) return fail(evaluation.error());
        matter.evaluation = std::move(*evaluation);
    }
    if (!options.recipe_file.empty()) {
        auto recipe = small_file_text(options.recipe_file);
        if (!recipe) return fail(recipe.error());
        matter.recipe_text = std::move(*recipe);
        matter.recipe_name = std::filesystem::path(options.recipe_file).filename().string();
    }
    return matter;
}

PublishOutcome outcome_of(const SiteParts& parts, const SiteFolder& folder) {
    PublishOutcome outcome;
    outcome.points = parts.survey.points;
    outcome.areas = static_cast<std::int64_t>(parts.areas.files.size());
    for (const auto& [square, file] : parts.areas.files) {
        outcome.area_bytes += file.bytes;
        outcome.largest_area_bytes = std::max(outcome.largest_area_bytes, file.bytes);
    }
    outcome.postal_codes = parts.postal.codes;
    outcome.postal_files = static_cast<std::int64_t>(parts.postal.files.size());
    outcome.files = static_cast<std::int64_t>(folder.files().size());
    for (const auto& [name, file] : folder.files()) outcome.bytes += file.bytes;
    return outcome;
}

}  // namespace

Result<PublishOutcome> publish(Database& database, const PageAssets& assets,
                               const PublishOptions& options,
                               const std::atomic<bool>& interrupted) {
    const auto matter = report_matter(database, options);
    if (!matter) return fail(matter.error());
    auto folder = SiteFolder::beside(options.folder, options.overwrite);
    if (!folder) return fail(folder.error());
    const auto parts = written_parts(*folder, database, interrupted);
    if (!parts) return fail(parts.error());
    const auto baseline = folder->add_by_hash("baseline", ".json", baseline_json(*parts));
    if (!baseline) return fail(baseline.error());
    if (auto written = write_page_files(*folder, assets, parts->provenance.title, baseline->name);
        !written) {
        return fail(written.error());
    }
    if (auto added = folder->add(kReportName, report_page(*parts, *matter)); !added)
        return fail(added.error());
    if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
    if (auto placed = folder->place(); !placed) return fail(placed.error());
    return outcome_of(*parts, *folder);
}

}  // namespace thirstline
