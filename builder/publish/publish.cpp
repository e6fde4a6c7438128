#include "builder/publish/publish.hpp"

#include <algorithm>

#include "builder/publish/citation_file.hpp"
#include "builder/publish/map_ground.hpp"
#include "builder/publish/page_files.hpp"
#include "builder/publish/publication_json.hpp"
#include "builder/publish/report_page.hpp"
#include "builder/publish/site_folder.hpp"

namespace thirstline {

namespace {

/// Adds the signature of the database that visitors may download.
Result<void> sign_database(SiteFolder& folder, std::vector<Download>& downloads,
                           const SecretKey& key) {
    const auto database = std::find_if(downloads.begin(), downloads.end(),
                                       [](const Download& d) { return d.form == "database"; });
    if (database == downloads.end()) return {};
    TRY(write_signature(folder.path(database->file.name), key));
    auto file = TRY(folder.take(database->file.name + std::string(kSignatureSuffix)));
    downloads.insert(database + 1, {std::move(file), "signature"});
    return {};
}

Result<SiteParts> written_parts(SiteFolder& folder, Database& database,
                                const PublishOptions& options,
                                const std::atomic<bool>& interrupted) {
    SiteParts parts;
    parts.provenance = TRY(provenance_of(database, ""));

    const SiteSelection everything;
    const auto tiles = TRY(
        SelectedTiles::make(database, everything, PointsWanted::that_answer_for_it, interrupted));
    parts.survey = TRY(surveyed_points(database, tiles));

    parts.areas =
        TRY(write_area_shards(folder, database, parts.survey, parts.provenance, interrupted));

    parts.map = TRY(map_raster_of(database, tiles, parts.survey));
    parts.map_file = TRY(folder.add_by_hash("data/map", ".json", map_json(parts.map)));
    parts.middle = middle_of(parts.map);

    parts.postal = TRY(write_postal_shards(folder, database, parts.middle, interrupted));

    if (!options.ground_files.empty()) {
        const std::string ground = TRY(ground_json(options.ground_files, parts.map.grid));
        parts.ground_file = TRY(folder.add_by_hash("data/ground", ".json", ground));
    }

    parts.downloads = TRY(write_downloads(folder, database, options.downloads, interrupted));
    if (const auto& key = options.signing_key) {
        parts.signing_key = public_half(*key);
        TRY(sign_database(folder, parts.downloads, *key));
    }
    return parts;
}

/// Files needed for the report are read before anything is written.
Result<ReportMatter> report_matter(Database& database, const PublishOptions& options,
                                   const std::atomic<bool>& interrupted) {
    ReportMatter matter;
    matter.lattices = database.lattices();
    matter.metadata = database.all_metadata();
    matter.stations = TRY(database.stations());
    matter.history = TRY(history_steps(database));
    matter.input_files = TRY(input_files_of(database));
    for (const std::string& path : options.recipe_files) {
        auto recipe = TRY(supplied_recipe(path, database, matter.history));
        matter.recipes.push_back(std::move(recipe));
    }
    for (const std::string& path : options.evaluation_files) {
        auto evaluation = TRY(supplied_evaluation(path, database, matter.history));
        matter.evaluations.push_back(std::move(evaluation));
    }
    if (!options.previous_database.empty()) {
        const auto previous = TRY(Database::open(options.previous_database));
        matter.changes = TRY(compared(*previous, database, interrupted));
        if (!matter.changes->is_same)
            matter.change_map = TRY(change_raster_of(*previous, database, interrupted));
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
    const auto matter = TRY(report_matter(database, options, interrupted));
    auto folder = TRY(SiteFolder::beside(options.folder, options.overwrite));
    const auto parts = TRY(written_parts(folder, database, options, interrupted));
    const auto baseline = TRY(folder.add_by_hash("baseline", ".json", baseline_json(parts)));
    TRY(write_page_files(folder, assets, parts.provenance.title, baseline));
    TRY(folder.add(kReportName, report_page(parts, matter)));
    const std::string citation = citation_cff(parts.provenance);
    if (!citation.empty()) TRY(folder.add(kCitationName, citation));
    if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
    TRY(folder.place(options.signing_key));
    return outcome_of(parts, folder);
}

}  // namespace thirstline
