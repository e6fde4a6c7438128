#include "builder/join/join.hpp"

#include <optional>
#include <tuple>

#include "builder/join/baseline.hpp"
#include "builder/join/conflicts.hpp"
#include "builder/join/join_plan.hpp"
#include "builder/join/tile_merge.hpp"
#include "schema/database/database_writer.hpp"
#include "schema/database/whole_tables.hpp"

namespace thirstline {

namespace {

class Join {
  public:
    Join(const std::vector<std::string>& paths, const std::string& output,
         const std::atomic<bool>& interrupted)
        : paths_(paths), output_(output), interrupted_(interrupted) {}

    Result<void> write() {
        using Step = Result<void> (Join::*)();
        // The order of a build, so that the same content gives the same bytes.
        for (const Step step :
             {&Join::open_inputs, &Join::write_tiles, &Join::write_sources, &Join::write_stations,
              &Join::write_dictionaries, &Join::write_postal_codes, &Join::write_metadata}) {
            if (auto done = (this->*step)(); !done) return done;
            if (interrupted_.load()) return fail(ErrorCode::interrupted, "interrupted");
        }
        const auto bytes = writer_->finish();
        if (!bytes) return fail(bytes.error());
        return {};
    }

  private:
    Result<void> open_inputs() {
        for (const std::string& path : paths_) {
            auto input = opened_input(path);
            if (!input) return fail(input.error());
            inputs_.push_back(std::move(*input));
            if (interrupted_.load()) return fail(ErrorCode::interrupted, "interrupted");
        }
        auto baselines = baselines_of(inputs_);
        if (!baselines) return fail(baselines.error());
        baselines_ = std::move(*baselines);
        auto plan = plan_of(baselines_);
        if (!plan) return fail(plan.error());
        plan_ = std::move(*plan);
        return {};
    }

    Result<void> write_tiles() {
        auto writer = DatabaseWriter::create(output_, plan_.layout);
        if (!writer) return fail(writer.error());
        writer_ = std::move(*writer);
        for (const JoinedLattice& lattice : plan_.lattices) {
            if (auto added = writer_->add_lattice(lattice.lattice); !added) return added;
        }
        const TakeTile take = [this](std::int64_t key, int codec,
                                     std::span<const std::uint8_t> data) {
            return writer_->add_tile(key, codec, data);
        };
        const auto points = merge_tiles(plan_, conflicts_, take, interrupted_);
        if (!points) return fail(points.error());
        points_ = *points;
        return {};
    }

    Result<void> write_sources() {
        for (const Source& source : plan_.sources) {
            if (auto added = writer_->add_source(source); !added) return added;
        }
        return {};
    }

    Result<void> write_stations() {
        for (const StationRecord& station : plan_.stations) {
            if (auto added = writer_->add_station(station); !added) return added;
        }
        return {};
    }

    Result<void> write_dictionaries() {
        for (const PeriodRow& period : plan_.periods) {
            if (auto added = writer_->add_period(period.id, period.text); !added) return added;
        }
        for (const MethodRow& method : plan_.methods) {
            if (auto added = writer_->add_method(method); !added) return added;
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
            auto next = cursor.scan.next();
            if (!next) return fail(next.error());
            cursor.place = std::move(*next);
            return {};
        };
        for (const JoinInput& input : inputs_) {
            auto scan = PostalScan::over(*input.database);
            if (!scan) return fail(scan.error());
            cursors.push_back({&input, std::move(*scan), std::nullopt});
            if (auto stepped = step(cursors.back()); !stepped) return stepped;
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
            if (auto added = writer_->add_postal_place(place); !added) return added;
            for (PostalCursor& cursor : cursors) {
                if (!cursor.place || key_of(*cursor.place) != key_of(place)) continue;
                if (*cursor.place != place) {
                    conflicts_.add("postal code " + place.code + " of " + place.country +
                                   " is another place in " + path + " than in " +
                                   cursor.input->path());
                }
                if (auto stepped = step(cursor); !stepped) return stepped;
            }
        }
    }

    Result<void> write_metadata() {
        for (const auto& [key, value] : plan_.metadata) {
            if (auto added = writer_->add_metadata(key, value); !added) return added;
        }
        std::int64_t incomplete = 0;
        for (const JoinInput& input : inputs_) {
            const std::string& points = input.database->metadata("incomplete_points");
            // A subset does not know; then the joined file does not either.
            if (points.empty()) return writer_->add_metadata("points", std::to_string(points_));
            incomplete += std::strtoll(points.c_str(), nullptr, 10);
        }
        if (auto added = writer_->add_metadata("incomplete_points", std::to_string(incomplete));
            !added) {
            return added;
        }
        return writer_->add_metadata("points", std::to_string(points_));
    }

    const std::vector<std::string>& paths_;
    const std::string& output_;
    const std::atomic<bool>& interrupted_;
    std::vector<JoinInput> inputs_;
    std::vector<Baseline> baselines_;
    JoinPlan plan_;
    Conflicts conflicts_;
    std::unique_ptr<DatabaseWriter> writer_;
    std::int64_t points_ = 0;
};

}  // namespace

Result<void> run_join(const std::vector<std::string>& paths, const std::string& output,
                      const std::atomic<bool>& interrupted) {
    return Join(paths, output, interrupted).write();
}

}  // namespace thirstline
