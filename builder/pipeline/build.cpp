#include "builder/pipeline/build.hpp"

#include <cstdio>

#include "builder/background/source_grids.hpp"
#include "builder/background/survey.hpp"
#include "builder/fusion/fused_stations.hpp"
#include "builder/grids/month_pattern.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "builder/pipeline/block_inputs.hpp"
#include "builder/pipeline/input_files.hpp"
#include "builder/stations/station_files.hpp"
#include "schema/base/ordered_pipeline.hpp"
#include "schema/base/version.hpp"
#include "schema/base/words.hpp"
#include "schema/database/database_writer.hpp"
#include "schema/database/history.hpp"
#include "schema/database/shown_period.hpp"
#include "schema/database/tile_row_ranges.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

class Build {
  public:
    Build(const Recipe& recipe, const BuildOptions& options, Progress& progress)
        : recipe_(recipe), options_(options), progress_(progress) {}

    Result<BuildOutcome> outcome() {
        using Step = Result<void> (Build::*)();
        struct Stage {
            const char* name;
            Step step;
        };
        TRY(wanted_tile_rows());
        for (const Stage& stage : {Stage{"open the sources", &Build::open_sources},
                                   Stage{"read postal codes", &Build::read_postal_codes},
                                   Stage{"survey", &Build::survey_lattice},
                                   Stage{"fuse stations", &Build::fuse_stations},
                                   Stage{"build points", &Build::build_points},
                                   Stage{"write the file", &Build::finish_file}}) {
            const bool is_counted = stage.step == &Build::build_points;
            if (!is_counted) progress_.at(stage.name, 0, 1);
            TRY((this->*stage.step)());
            if (is_interrupted()) return fail(interruption());
            if (!is_counted) progress_.at(stage.name, 1, 1);
            clock_.ended(stage.name);
        }
        outcome_.stages = clock_.stages();
        return std::move(outcome_);
    }

  private:
    bool is_interrupted() const {
        return options_.interrupted != nullptr && options_.interrupted->load();
    }
    static Error interruption() { return {ErrorCode::interrupted, "interrupted", ""}; }

    Result<void> open_sources() {
        if (recipe_.elevation) inputs_.note(recipe_.elevation->path);
        for (const GridRecipe& grid : recipe_.grids) {
            const auto years = year_range_of(grid.terms.period);
            for (const std::string& path : with_all_months(grid.path, years)) inputs_.note(path);
        }
        sources_ = TRY(open_source_grids(recipe_));
        outcome_.warnings = sources_.warnings;
        outcome_.totals.tallies.resize(sources_.grids.size());
        outcome_.lattice_points =
            static_cast<std::int64_t>(recipe_.lattice.rows) * recipe_.lattice.columns;
        // Checks that the output can be written before the work, not after it.
        if (options_.output.empty()) return {};
        writer_ = TRY(DatabaseWriter::create(
            options_.output, layout_of(recipe_),
            options_.overwrite ? IfTargetExists::replace : IfTargetExists::refuse));
        TRY(writer_->add_lattice(recipe_.lattice));
        return add_inputs();
    }

    /// A check, which does not write a file, does not list checksums.
    Result<void> add_inputs() {
        if (sources_.elevation) TRY(add_files_of(*sources_.elevation));
        for (const SourceGrid& grid : sources_.grids) TRY(add_files_of(*grid.grid));
        for (const StationRecipe& stations : recipe_.stations) {
            const auto files = TRY(station_files(stations.path, stations.where));
            for (const std::string& path : files) TRY(inputs_.add(path, stations.where));
            if (const auto& positions = stations.positions)
                TRY(inputs_.add(input_file(positions->path), positions->where));
        }
        for (const PostalRecipe& postal : recipe_.postal)
            TRY(inputs_.add(input_file(postal.path), postal.where));
        return {};
    }

    Result<void> add_files_of(const Grid& grid) {
        for (const std::string& path : grid.files()) {
            TRY(inputs_.add(path, grid.spec().where));
            if (is_interrupted()) return fail(interruption());
        }
        return {};
    }

    Result<std::vector<SourceFile>> unchanged_files_of(const Grid& grid) {
        std::vector<SourceFile> files;
        for (const std::string& path : grid.files()) {
            auto file = TRY(inputs_.unchanged(path, grid.spec().where));
            files.push_back(std::move(file));
        }
        return files;
    }

    Result<void> read_postal_codes() {
        outcome_.postal = TRY(read_postal_tables(recipe_));
        outcome_.postal_codes = static_cast<std::int64_t>(outcome_.postal.places.size());
        for (std::size_t p = 0; p < recipe_.postal.size(); ++p)
            note_outside("postal code", recipe_.postal[p].path, recipe_.postal[p].where,
                         outcome_.postal.tallies[p], region_of_postal_codes(recipe_));
        return {};
    }

    Result<void> survey_lattice() {
        auto survey = TRY(Survey::make(recipe_, sources_));
        survey_.emplace(std::move(survey));
        return {};
    }

    Result<void> fuse_stations() {
        auto stations = TRY(fused_stations(recipe_, sources_, *survey_, options_.interrupted));
        stations_.emplace(std::move(stations));
        outcome_.station_tallies = stations_->set.tallies;
        outcome_.station_counts = station_counts(stations_->set);
        outcome_.station_rows = stations_->set.rows_read;
        outcome_.records = stations_->set.records;
        outcome_.stations = static_cast<std::int64_t>(stations_->set.stations.size());
        for (std::size_t s = 0; s < recipe_.stations.size(); ++s)
            note_outside("station", recipe_.stations[s].path, recipe_.stations[s].where,
                         outcome_.station_tallies[s], region_of_stations(recipe_));
        return {};
    }

    /// A table of which nothing is in the region is not a fault: a recipe may be of a part.
    void note_outside(const char* what, const std::string& path, const std::string& where,
                      const SourceTally& tally, const UsedRegion& region) {
        if (tally.used > 0 || tally.outside == 0) return;
        outcome_.warnings.push_back(where + ": no " + what + " of " + path + " is " +
                                    region.text() + ", so the table is not used");
    }

    int tile_row_count() const {
        return last_tile(recipe_.lattice).tile_row - first_tile(recipe_.lattice).tile_row + 1;
    }

    Result<TileRows> wanted_tile_rows() const {
        const int rows = tile_row_count();
        const TileRows wanted = options_.tile_rows.value_or(TileRows{0, rows});
        if (wanted.first < 0 || wanted.end > rows || wanted.first >= wanted.end) {
            return fail(ErrorCode::usage, "--tile-rows must be within 0:" + std::to_string(rows) +
                                              " (the end excluded), the rows of the lattice, not " +
                                              std::to_string(wanted.first) + ":" +
                                              std::to_string(wanted.end));
        }
        return wanted;
    }

    /// Reads in this thread, computes in others, and writes in this one again, in order. Only a few
    /// blocks are processed at the same time, so that memory stays limited.
    Result<void> build_points() {
        const auto rows = TRY(wanted_tile_rows());
        BlockReader reader(recipe_.lattice, sources_, !recipe_.stations.empty());
        const int first_row = first_tile(recipe_.lattice).tile_row;
        const auto blocks = reader.blocks(first_row + rows.first, first_row + rows.end - 1);
        std::int64_t written = 0;
        progress_.at("build points", 0, static_cast<std::int64_t>(blocks.size()));
        OrderedPipeline<Result<BlockTiles>> pipeline(
            options_.jobs, static_cast<std::size_t>(options_.jobs) + 1,
            [&](const Result<BlockTiles>& tiles) -> Result<void> {
                if (!tiles) return fail(tiles.error());
                progress_.at("build points", ++written, static_cast<std::int64_t>(blocks.size()));
                return write(*tiles);
            });
        for (const BlockBounds& bounds : blocks) {
            if (is_interrupted()) return fail(interruption());
            auto inputs = TRY(reader.read(bounds));
            TRY(pipeline.add([this, shared = std::make_shared<BlockInputs>(std::move(inputs))] {
                return block_tiles(
                    *shared, sources_,
                    {recipe_, *survey_, stations_->fusion, stations_->eto, &stations_->years});
            }));
        }
        TRY(pipeline.finish());
        if (outcome_.totals.points == 0 && !options_.tile_rows) {
            return fail(
                ErrorCode::bad_input,
                "no point of the lattice has data in all the grids that it needs",
                "compare the grids' extents, and which cells hold data, with [lattice] bbox");
        }
        return {};
    }

    Result<void> write(const BlockTiles& block) {
        BlockTiles& totals = outcome_.totals;
        for (const EncodedTile& tile : block.tiles) {
            ++outcome_.tiles;
            if (!writer_) continue;
            TRY(writer_->add_tile(tile.key, tile.codec, tile.data));
        }
        for (const auto& [code, count] : block.points_by_method)
            totals.points_by_method[code] += count;
        for (const auto& [code, count] : block.months_by_method)
            totals.months_by_method[code] += count;
        for (const auto& [set, count] : block.points_by_period)
            totals.points_by_period[set] += count;
        totals.points += block.points;
        totals.points_without_rain += block.points_without_rain;
        totals.incomplete_points += block.incomplete_points;
        for (std::size_t g = 0; g < block.tallies.size(); ++g)
            totals.tallies[g].add(block.tallies[g]);
        return {};
    }

    /// What a reader of the file would otherwise take for the years of all numbers.
    void note_periods() {
        std::vector<Source> used;
        const auto note = [&used](const SourceTerms& terms, std::string variables,
                                  const SourceTally& tally) {
            Source source;
            source.id = static_cast<int>(used.size()) + 1;
            source.period = terms.period;
            source.variable = std::move(variables);
            source.values_used = tally.used;
            used.push_back(std::move(source));
        };
        for (std::size_t g = 0; g < sources_.grids.size(); ++g) {
            const GridRecipe& grid = *sources_.grids[g].recipe;
            note(grid.terms, std::string(variable_name(grid.variable)), outcome_.totals.tallies[g]);
        }
        for (std::size_t s = 0; s < recipe_.stations.size(); ++s) {
            note(recipe_.stations[s].terms, variables_text(recipe_.stations[s]),
                 outcome_.station_tallies[s]);
        }
        const auto kinds = periods_by_kind(used, recipe_.period, station_source_ids());
        const std::string text = period_text_of(kinds, recipe_.period);
        if (text == recipe_.period) return;
        outcome_.warnings.push_back("[baseline] period is \"" + recipe_.period +
                                    "\", and the sources that are used are of " + text +
                                    "; files and reports state the periods of the sources");
    }

    Result<void> finish_file() {
        note_periods();
        if (!writer_) {
            outcome_.coverage =
                lattice_coverage({recipe_, *survey_, stations_->fusion, stations_->eto});
            return {};
        }
        for (const auto& write_part :
             {&Build::write_sources, &Build::write_stations, &Build::write_dictionaries,
              &Build::write_postal_codes, &Build::write_metadata}) {
            TRY((this->*write_part)());
        }
        if (is_interrupted()) return fail(interruption());
        outcome_.file_bytes = TRY(writer_->finish());
        return {};
    }

    Result<void> write_sources() {
        for (std::size_t g = 0; g < sources_.grids.size(); ++g) {
            const SourceGrid& grid = sources_.grids[g];
            const SourceTerms& terms = grid.recipe->terms;
            const SourceTally& tally = outcome_.totals.tallies[g];
            auto files = TRY(unchanged_files_of(*grid.grid));
            Source source{static_cast<int>(g) + 1,
                          terms.name,
                          std::string(variable_name(grid.recipe->variable)),
                          terms.period,
                          terms.licence,
                          terms.attribution,
                          terms.url,
                          tally.used,
                          {},
                          std::move(files)};
            for (const auto& [rule, count] : tally.not_used())
                source.rejected.push_back({rule, count});
            TRY(writer_->add_source(source));
        }
        return write_station_sources();
    }

    /// After those of the grids, in the recipe's order: one row per variable of each.
    Result<void> write_station_sources() {
        int id = static_cast<int>(sources_.grids.size());
        for (std::size_t s = 0; s < recipe_.stations.size(); ++s) {
            const StationRecipe& recipe = recipe_.stations[s];
            const SourceTally& tally = outcome_.station_tallies[s];
            Source source{++id,
                          recipe.terms.name,
                          variables_text(recipe),
                          recipe.terms.period,
                          recipe.terms.licence,
                          recipe.terms.attribution,
                          recipe.terms.url,
                          tally.used,
                          {},
                          {}};
            for (const auto& [rule, count] : tally.not_used())
                source.rejected.push_back({rule, count});
            for (const std::string& path : stations_->set.inputs[s]) {
                auto file = TRY(inputs_.unchanged(path, recipe.where));
                source.files.push_back(std::move(file));
            }
            TRY(writer_->add_source(source));
        }
        return write_other_sources(id);
    }

    /// The sources of elevation and postal codes that the recipe names, after all others. They
    /// count no values: every part of a build reads them whole.
    Result<void> write_other_sources(int id) {
        const auto add = [&](const SourceTerms& terms, const char* what,
                             std::vector<SourceFile> files) {
            return writer_->add_source({++id,
                                        terms.name,
                                        what,
                                        "",
                                        terms.licence,
                                        terms.attribution,
                                        terms.url,
                                        0,
                                        {},
                                        std::move(files)});
        };
        if (sources_.elevation && !recipe_.elevation->terms.name.empty()) {
            auto files = TRY(unchanged_files_of(*sources_.elevation));
            TRY(add(recipe_.elevation->terms, "elevation", std::move(files)));
        }
        for (const PostalRecipe& postal : recipe_.postal) {
            if (postal.terms.name.empty()) continue;
            auto file = TRY(inputs_.unchanged(input_file(postal.path), postal.where));
            TRY(add(postal.terms, "postal codes", {std::move(file)}));
        }
        return {};
    }

    static std::string variables_text(const StationRecipe& recipe) {
        std::string text;
        for (const StationVariable& variable : recipe.variables)
            add_word(text, variable_name(variable.variable));
        return text;
    }

    Result<void> write_dictionaries() {
        const std::vector<std::string> periods = distinct_periods(recipe_);
        for (const auto& [set, count] : outcome_.totals.points_by_period)
            TRY(writer_->add_period(set, period_text(set, periods)));
        for (const auto& [code, count] : outcome_.totals.months_by_method) {
            TRY(writer_->add_method(code));
        }
        return {};
    }

    Result<void> write_stations() {
        for (const StationRecord& record : station_records(stations_->set, recipe_))
            TRY(writer_->add_station(record));
        return {};
    }

    Result<void> write_postal_codes() {
        for (const PostalPlace& place : outcome_.postal.places)
            TRY(writer_->add_postal_place(place));
        return {};
    }

    /// Inputs without a row in table source: one line "SHA-256  name" each.
    Result<std::string> other_input_files() {
        std::vector<SourceFile> files;
        if (sources_.elevation && recipe_.elevation->terms.name.empty())
            files = TRY(unchanged_files_of(*sources_.elevation));
        for (const PostalRecipe& postal : recipe_.postal) {
            if (!postal.terms.name.empty()) continue;
            auto file = TRY(inputs_.unchanged(input_file(postal.path), postal.where));
            files.push_back(std::move(file));
        }
        std::string lines;
        for (const SourceFile& file : files) lines += file.sha256 + "  " + file.name + "\n";
        return lines;
    }

    /// The reach of a station's rain, the most local of the drivers: for listing stations nearby.
    Result<void> write_station_reach() {
        const CovarianceModel* model = stations_->fusion.estimator(Driver::rain_root).covariance();
        if (model == nullptr) return {};
        char text[32];
        std::snprintf(text, sizeof text, "%.1f", model->short_range_km);
        TRY(writer_->add_metadata("station_range_km", text));
        std::snprintf(text, sizeof text, "%.2f", model->vertical_range_km);
        return writer_->add_metadata("station_vertical_km", text);
    }

    /// Separated by spaces; sources of stations follow those of the grids.
    std::string station_source_ids() const {
        std::string ids;
        for (std::size_t s = 0; s < recipe_.stations.size(); ++s)
            ids += (s == 0 ? "" : " ") + std::to_string(sources_.grids.size() + s + 1);
        return ids;
    }

    /// Metadata that are needed to join parts of a build.
    Result<void> write_parts() {
        // Parts have separate counts for the grids, but each of them reads all stations.
        const std::string station_sources = station_source_ids();
        if (!station_sources.empty()) {
            TRY(writer_->add_metadata("station_sources", station_sources));
        }
        const auto wanted = TRY(wanted_tile_rows());
        const TileRowRanges ranges{{{wanted.first, wanted.end}}, tile_row_count()};
        if (ranges.is_whole()) return {};
        return writer_->add_metadata("tile_rows", tile_row_ranges_text(ranges));
    }

    Result<void> write_metadata() {
        const auto other_files = TRY(other_input_files());
        const std::vector<std::pair<std::string, std::string>> entries{
            {"title", recipe_.title},
            {"region", recipe_.region},
            {"publisher", recipe_.publisher},
            {"notice", recipe_.notice},
            {"period", recipe_.period},
            {"reference", std::string(reference_name(recipe_.reference))},
            {"site_correction", recipe_.site_correction ? "reference" : "none"},
            {"soil_heat_flux", soil_heat_name(recipe_.soil_heat)},
            {"points", std::to_string(outcome_.totals.points)},
            {"incomplete_points", std::to_string(outcome_.totals.incomplete_points)},
            {"other_input_files", other_files},
            {"builder_version", kProgramVersion}};
        TRY(write_station_reach());
        TRY(write_parts());
        for (const auto& [key, value] : entries) TRY(writer_->add_metadata(key, value));
        for (const EditionKey& key : kEditionKeys) {
            const std::string& text = recipe_.edition.*key.text;
            if (!text.empty()) TRY(writer_->add_metadata(std::string(key.key), text));
        }
        HistoryStep step;
        step.step = 1;
        step.action = kBuildAction;
        step.program = kProgramVersion;
        step.title = recipe_.title;
        step.input_files_sha256 = input_files_sha256(inputs_.files());
        step.recipe_sha256 = sha256_of(recipe_.text);
        step.recipe = recipe_.text;
        return writer_->add_history(step);
    }

    const Recipe& recipe_;
    const BuildOptions& options_;
    Progress& progress_;
    StageClock clock_;
    InputFiles inputs_;
    SourceGrids sources_;
    std::optional<Survey> survey_;
    std::optional<FusedStations> stations_;
    std::unique_ptr<DatabaseWriter> writer_;
    BuildOutcome outcome_;
};

}  // namespace

Result<BuildOutcome> run_build(const Recipe& recipe, const BuildOptions& options,
                               Progress& progress) {
    return Build(recipe, options, progress).outcome();
}

}  // namespace thirstline
