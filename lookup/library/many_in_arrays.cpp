#include "lookup/library/many_in_arrays.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <utility>

#include "lookup/batch/batch_tiles.hpp"
#include "lookup/batch/tile_order.hpp"
#include "schema/answer/answer.hpp"
#include "schema/base/ordered_pipeline.hpp"
#include "schema/geo/coordinates.hpp"
#include "schema/tile/method.hpp"

namespace thirstline {
namespace {

using Arrays = thirstline_site_arrays;

struct LayerArray {
    LayerId layer;
    std::int32_t* Arrays::*array;
};
constexpr std::array kMonthly{LayerArray{LayerId::eto, &Arrays::eto_fixed},
                              LayerArray{LayerId::eto_se, &Arrays::eto_se_fixed},
                              LayerArray{LayerId::rain, &Arrays::rain_fixed},
                              LayerArray{LayerId::rain_se, &Arrays::rain_se_fixed},
                              LayerArray{LayerId::tmax, &Arrays::tmax_fixed},
                              LayerArray{LayerId::tmin, &Arrays::tmin_fixed}};

struct PendingSite {
    std::int64_t tile = 0;
    std::size_t row = 0;  ///< in the arrays
    LatLonE7 position;
    std::optional<std::int32_t> elevation_m;
};

/// Answers chunks with one database. Chunks differ in their sites, so several answerers may write
/// into the same arrays at once.
class ArrayAnswerer {
  public:
    ArrayAnswerer(Database& database, SharedTiles& shared, const ArrayQuestions& questions,
                  const Arrays& arrays)
        : database_(database),
          layout_(layers_to_answer(database.layout(), questions.elevation_m != nullptr, false)),
          tiles_(database, shared),
          questions_(questions),
          arrays_(arrays) {}

    Result<void> answer_chunk(std::size_t first, std::size_t end) {
        pending_.clear();
        for (std::size_t row = first; row < end; ++row) take(row);
        order_.sort(pending_);
        for (const PendingSite& site : pending_) {
            const auto answer =
                answer_at(site.position, site.elevation_m, database_.lattices(), layout_, tiles_);
            if (!answer && answer.error().code != ErrorCode::usage) return fail(answer.error());
            if (!answer || (site.elevation_m && answer->exceeds_max_adjustment))
                write_miss(site.row, THIRSTLINE_USAGE);
            else if (!answer->found)
                write_miss(site.row, THIRSTLINE_NO_DATA);
            else
                write(site.row, *answer);
        }
        return {};
    }

  private:
    void take(std::size_t row) {
        const auto position = checked_position({questions_.lat_deg[row], questions_.lon_deg[row]});
        if (!position) return write_miss(row, THIRSTLINE_USAGE);
        PendingSite site{main_tile_key(database_.lattices(), *position), row, *position, {}};
        if (questions_.elevation_m != nullptr &&
            questions_.elevation_m[row] != THIRSTLINE_UNKNOWN) {
            site.elevation_m = questions_.elevation_m[row];
        }
        pending_.push_back(site);
    }

    static void put(std::int32_t* array, std::size_t row, std::int32_t value) {
        if (array != nullptr) array[row] = value;
    }

    void write_miss(std::size_t row, thirstline_status status) const {
        put(arrays_.status, row, status);
        for (std::int32_t* array : {arrays_.point_lat_e7, arrays_.point_lon_e7, arrays_.distance_m,
                                    arrays_.shifted_by_cm, arrays_.data_elevation_fixed})
            put(array, row, THIRSTLINE_UNKNOWN);
        for (const LayerArray& each : kMonthly)
            if (std::int32_t* array = arrays_.*each.array)
                std::fill_n(array + row * kMonths, kMonths, std::int32_t{THIRSTLINE_UNKNOWN});
        if (arrays_.method_codes != nullptr)
            std::fill_n(arrays_.method_codes + row * kMonths, kMonths,
                        std::int32_t{THIRSTLINE_UNKNOWN});
    }

    void write(std::size_t row, const Answer& answer) const {
        put(arrays_.status, row, THIRSTLINE_OK);
        put(arrays_.point_lat_e7, row, answer.at.lat_e7);
        put(arrays_.point_lon_e7, row, answer.at.lon_e7);
        put(arrays_.distance_m, row, answer.distance_m);
        put(arrays_.shifted_by_cm, row, answer.shifted_by_cm);
        put(arrays_.data_elevation_fixed, row, value_of(answer, LayerId::elevation, 0));
        for (const LayerArray& each : kMonthly) {
            std::int32_t* array = arrays_.*each.array;
            if (array == nullptr) continue;
            for (std::size_t m = 0; m < kMonths; ++m)
                array[row * kMonths + m] = value_of(answer, each.layer, m);
        }
        if (arrays_.method_codes != nullptr)
            std::ranges::copy(answer.method, arrays_.method_codes + row * kMonths);
    }

    /// A layer that the file lacks is unknown, not 0.
    [[nodiscard]] std::int32_t value_of(const Answer& answer, LayerId id, std::size_t month) const {
        return layout_.find(id) == nullptr ? THIRSTLINE_UNKNOWN : answer.of(id)[month];
    }

    Database& database_;
    TileLayout layout_;
    BatchTiles tiles_;
    const ArrayQuestions& questions_;
    const Arrays& arrays_;
    TileOrder order_;
    std::vector<PendingSite> pending_;
};

std::size_t sites_in_chunk(std::size_t count) {
    return count <= kSitesAnsweredAlone ? kSitesAnsweredAlone : kSitesInChunk;
}

}  // namespace

static_assert(kMissingValue == THIRSTLINE_UNKNOWN);

std::size_t chunks_of(std::size_t count) {
    return count == 0 ? 1 : (count - 1) / sites_in_chunk(count) + 1;
}

Result<void> fill_arrays(const std::vector<Database*>& databases, const ArrayQuestions& questions,
                         const thirstline_site_arrays& arrays) {
    SharedTiles shared(databases.front()->layout());
    std::vector<std::unique_ptr<ArrayAnswerer>> answerers;
    for (Database* database : databases)
        answerers.push_back(std::make_unique<ArrayAnswerer>(*database, shared, questions, arrays));
    const std::size_t sites = sites_in_chunk(questions.count);
    const std::size_t chunks = chunks_of(questions.count);
    const auto answer_chunk = [&](std::size_t number) {
        return answerers[number % answerers.size()]->answer_chunk(
            number * sites, std::min((number + 1) * sites, questions.count));
    };
    if (databases.size() < 2) {
        for (std::size_t number = 0; number < chunks; ++number) TRY(answer_chunk(number));
        return {};
    }
    // An answerer is free once the outcome of its last chunk has been taken.
    OrderedPipeline<Result<void>> pipeline(static_cast<int>(databases.size()), databases.size(),
                                           [](const Result<void>& outcome) { return outcome; });
    for (std::size_t number = 0; number < chunks; ++number)
        TRY(pipeline.add([&answer_chunk, number] { return answer_chunk(number); }));
    return pipeline.finish();
}

}  // namespace thirstline
