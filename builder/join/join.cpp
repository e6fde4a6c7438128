#include "builder/join/join.hpp"

#include <algorithm>
#include <memory>
#include <optional>
#include <tuple>

#include "builder/join/conflicts.hpp"
#include "builder/join/join_plan.hpp"
#include "builder/join/joined_baseline.hpp"
#include "builder/join/overlay_blend.hpp"
#include "builder/join/tile_merge.hpp"
#include "schema/database/database_writer.hpp"
#include "schema/database/missing_rows.hpp"
#include "schema/database/whole_tables.hpp"

namespace thirstline {

namespace {

class Join {
  public:
    Join(const std::vector<std::string>& paths, const std::string& output,
         const JoinOptions& options, const std::atomic<bool>& interrupted)
        : paths_(paths), output_(output), options_(options), interrupted_(interrupted) {}

    Result<void> write() {
        using Step = Result<void> (Join::*)();
        // In the order of a build, so that the same content gives the same bytes.
        for (const Step step :
             {&Join::open_inputs, &Join::write_tiles, &Join::write_sources, &Join::write_stations,
              &Join::write_dictionaries, &Join::write_postal_codes, &Join::write_metadata,
              &Join::write_history}) {
            TRY((this->*step)());
            if (interrupted_.load()) return fail(ErrorCode::interrupted, "interrupted");
        }
        TRY(writer_->finish());
        return {};
    }

  private:
    Result<void> open_inputs() {
        for (const std::string& path : paths_) {
            auto input = TRY(opened_input(path));
            if (!has_content_of(input)) inputs_.push_back(std::move(input));
            if (interrupted_.load()) return fail(ErrorCode::interrupted, "interrupted");
        }
        baselines_ = TRY(baselines_of(inputs_));
        if (!options_.partial) TRY(check_complete());
        if (baselines_.size() == 1 && !options_.texts.empty()) {
            return fail(ErrorCode::usage,
                        "the files are of one baseline, which keeps the texts of its recipe",
                        "omit --" + options_.texts.begin()->first + ", or change the recipe");
        }
        plan_ = TRY(plan_of(baselines_, overlay_texts()));
        return {};
    }

    /// With the options in the history, so that the join can be repeated.
    OverlayTexts overlay_texts() const {
        OverlayTexts texts{options_.texts, {}};
        texts.metadata["overlay_blend_km"] = std::to_string(options_.blend_km);
        texts.note = "--blend-km " + std::to_string(options_.blend_km);
        for (const auto& [key, text] : options_.texts)
            texts.note += " --" + key + " " + shell_word(text);
        return texts;
    }

    /// In single quotes.
    static std::string shell_word(const std::string& text) {
        std::string word = "'";
        for (const char c : text) word += c == '\'' ? std::string("'\\''") : std::string(1, c);
        return word + "'";
    }

    /// The same file twice, or a copy of it, is not a contradiction.
    bool has_content_of(const JoinInput& input) const {
        const auto hash = [](const JoinInput& of) {
            return of.database->metadata("content_sha256");
        };
        return std::ranges::any_of(
            inputs_, [&](const JoinInput& known) { return hash(known) == hash(input); });
    }

    Result<void> check_complete() const {
        if (baselines_.size() != 1 || !baselines_.front().tile_rows.is_part()) return {};
        const JoinedBaseline& baseline = baselines_.front();
        std::string missing;
        for (const TileRowRange& range : missing_ranges(baseline.tile_rows)) {
            missing += (missing.empty() ? "" : ", ") + std::to_string(range.first) + ":" +
                       std::to_string(range.end);
        }
        const std::string bands =
            bands_text(missing_bands(baseline.lattices().front(), baseline.tile_rows));
        return fail(ErrorCode::bad_input,
                    "the parts lack the tile rows " + missing + " of " +
                        std::to_string(baseline.tile_rows.of) + " (" + bands +
                        "), so the joined file would have a hole",
                    "join the part with these rows too (build --tile-rows makes it), or use "
                    "--partial for a file that states what it lacks");
    }

    Result<void> write_tiles() {
        writer_ = TRY(DatabaseWriter::create(
            output_, plan_.layout,
            options_.overwrite ? IfTargetExists::replace : IfTargetExists::refuse));
        for (const JoinedLattice& lattice : plan_.lattices)
            TRY(writer_->add_lattice(lattice.lattice));
        const TakeTile take = [this](std::int64_t key, int codec,
                                     std::span<const std::uint8_t> data) {
            return writer_->add_tile(key, codec, data);
        };
        std::unique_ptr<OverlayBlend> blend;
        if (baselines_.size() > 1 && options_.blend_km > 0)
            blend = TRY(OverlayBlend::over(plan_, options_.blend_km));
        points_ = TRY(merge_tiles(plan_, blend.get(), conflicts_, take, interrupted_));
        return {};
    }

    Result<void> write_sources() {
        for (const Source& source : plan_.sources) TRY(writer_->add_source(source));
        return {};
    }

    Result<void> write_stations() {
        for (const StationRecord& station : plan_.stations) TRY(writer_->add_station(station));
        return {};
    }

    Result<void> write_dictionaries() {
        for (const PeriodRow& period : plan_.periods)
            TRY(writer_->add_period(period.id, period.text));
        for (const MethodRow& method : plan_.methods) {
            TRY(writer_->add_method(method));
        }
        return {};
    }

    struct PostalCursor {
        const JoinInput* input;
        PostalScan scan;
        std::optional<PostalPlace> place;
    };

    Result<void> write_postal_codes() {
        std::vector<PostalCursor> cursors;
        const auto step = [](PostalCursor& cursor) -> Result<void> {
            cursor.place = TRY(cursor.scan.next());
            return {};
        };
        for (const JoinInput& input : inputs_) {
            auto scan = TRY(PostalScan::over(*input.database));
            cursors.push_back({&input, std::move(scan), std::nullopt});
            TRY(step(cursors.back()));
        }
        const auto key_of = [](const PostalPlace& place) {
            return std::tie(place.code, place.country);
        };
        while (true) {
            const PostalCursor* first = nullptr;
            for (const PostalCursor& cursor : cursors) {
                if (cursor.place &&
                    (first == nullptr || key_of(*cursor.place) < key_of(*first->place)))
                    first = &cursor;
            }
            if (first == nullptr) return conflicts_.none();
            const PostalPlace place = *first->place;
            const std::string& path = first->input->path();
            TRY(writer_->add_postal_place(place));
            for (PostalCursor& cursor : cursors) {
                if (!cursor.place || key_of(*cursor.place) != key_of(place)) continue;
                if (*cursor.place != place) {
                    conflicts_.add("postal code " + place.code + " of " + place.country +
                                   " is at different places in " + path + " and " +
                                   cursor.input->path());
                }
                TRY(step(cursor));
            }
        }
    }

    Result<void> write_metadata() {
        for (const auto& [key, value] : plan_.metadata) TRY(writer_->add_metadata(key, value));
        std::int64_t incomplete = 0;
        for (const JoinInput& input : inputs_) {
            const std::string& points = input.database->metadata("incomplete_points");
            // A subset lacks the count; then the joined file lacks it, too.
            if (points.empty()) return writer_->add_metadata("points", std::to_string(points_));
            incomplete += std::strtoll(points.c_str(), nullptr, 10);
        }
        TRY(writer_->add_metadata("incomplete_points", std::to_string(incomplete)));
        return writer_->add_metadata("points", std::to_string(points_));
    }

    Result<void> write_history() {
        for (const HistoryStep& step : plan_.history) TRY(writer_->add_history(step));
        return {};
    }

    const std::vector<std::string>& paths_;
    const std::string& output_;
    const JoinOptions& options_;
    const std::atomic<bool>& interrupted_;
    std::vector<JoinInput> inputs_;
    std::vector<JoinedBaseline> baselines_;
    JoinPlan plan_;
    Conflicts conflicts_;
    std::unique_ptr<DatabaseWriter> writer_;
    std::int64_t points_ = 0;
};

}  // namespace

Result<void> run_join(const std::vector<std::string>& paths, const std::string& output,
                      const JoinOptions& options, const std::atomic<bool>& interrupted) {
    return Join(paths, output, options, interrupted).write();
}

}  // namespace thirstline
