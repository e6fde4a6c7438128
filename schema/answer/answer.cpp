#include "schema/answer/answer.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <string>

#include "schema/answer/elevation_adjustment.hpp"
#include "schema/answer/nearest_point.hpp"
#include "schema/answer/rounded_quotient.hpp"

namespace thirstline {

namespace {

/// One lattice point that is used for an answer, with its weight.
struct Corner {
    const Tile* tile;
    int slot;
    std::int64_t weight;
};

/// Up to four corners and their tiles. Each tile is looked up once: usually all are in the same
/// one.
class Corners {
  public:
    explicit Corners(const Lattice& lattice) : lattice_(lattice), grid_(lattice) {}

    /// Adds the corner if its point is within the lattice and has data.
    [[nodiscard]] Result<void> add(LatticePoint point, std::int64_t weight, TileSource& tiles) {
        if (wraps(lattice_)) point.column = (point.column + lattice_.columns) % lattice_.columns;
        if (weight == 0 || !contains(lattice_, point)) return {};
        const PlaceInTile place = grid_.place_of(point);
        const auto tile = TRY(tile_at(place.tile, tiles));
        if (tile == nullptr || tile->present[static_cast<std::size_t>(place.slot)] == 0) return {};
        corners_[count_++] = {tile, place.slot, weight};
        return {};
    }

    [[nodiscard]] bool empty() const { return count_ == 0; }
    [[nodiscard]] const Corner* begin() const { return corners_.data(); }
    [[nodiscard]] const Corner* end() const { return corners_.data() + count_; }

  private:
    Result<const Tile*> tile_at(TileAddress address, TileSource& tiles) {
        for (std::size_t i = 0; i < tile_count_; ++i)
            if (addresses_[i] == address) return tiles_[i].get();
        auto tile = TRY(tiles.tile(lattice_, address));
        addresses_[tile_count_] = address;
        tiles_[tile_count_] = std::move(tile);
        return tiles_[tile_count_++].get();
    }

    const Lattice& lattice_;
    TileGrid grid_;
    std::array<Corner, 4> corners_;  // only the first count_ of them are set
    std::size_t count_ = 0;
    std::array<TileAddress, 4> addresses_;
    std::array<std::shared_ptr<const Tile>, 4> tiles_;
    std::size_t tile_count_ = 0;
};

/// The corners of the position's cell that have data, in the order south-west, south-east,
/// north-west, north-east.
Result<void> add_corners_of_cell(Corners& corners, const Lattice& lattice, LatLonE7 position,
                                 TileSource& tiles) {
    const CellPosition cell = cell_of(lattice, position);
    for (const int north : {0, 1}) {
        for (const int east : {0, 1}) {
            const std::int64_t weight =
                static_cast<std::int64_t>(north ? cell.north_fraction
                                                : kFractionOne - cell.north_fraction) *
                (east ? cell.east_fraction : kFractionOne - cell.east_fraction);
            const LatticePoint point{cell.south_west.row + north, cell.south_west.column + east};
            TRY(corners.add(point, weight, tiles));
        }
    }
    return {};
}

/// A corner's values of a layer by month; or its single value.
const std::int32_t* values_at(const Corner& corner, const Layer& layer) {
    const auto slot = static_cast<std::size_t>(corner.slot);
    return corner.tile->of(layer.id).data() + (layer.shape == LayerShape::point_month
                                                   ? slot * kMonths
                                               : layer.shape == LayerShape::point ? slot
                                                                                  : 0);
}

/// The weighted mean of a layer's value over the corners that have it, in 1/kAnswerScale.
std::int32_t mean_value(const Corners& corners, const Layer& layer, std::size_t month) {
    std::int64_t sum = 0;
    std::int64_t weight = 0;
    for (const Corner& corner : corners) {
        const std::int32_t value = values_at(corner, layer)[month];
        if (value == kMissingValue) continue;
        sum += corner.weight * value;
        weight += corner.weight;
    }
    if (weight == 0) return kMissingValue;
    return static_cast<std::int32_t>(rounded_half_away(sum * kAnswerScale, weight));
}

/// The sums of weight · value of the months of a layer that all corners have in every month; false
/// if one does not.
bool sum_months(Monthly<std::int64_t>& sums, const Corners& corners, const Layer& layer) {
    sums.fill(0);
    bool any_missing = false;
    for (const Corner& corner : corners) {
        const std::int32_t* values = values_at(corner, layer);
        for (std::size_t month = 0; month < kMonths; ++month) {
            any_missing |= values[month] == kMissingValue;
            sums[month] += corner.weight * values[month];
        }
    }
    return !any_missing;
}

/// The weight of a whole cell, the most frequent divisor: as a constant, the division is a shift.
constexpr std::int64_t kWholeCell = std::int64_t{kFractionOne} * kFractionOne;

void fill_months(Monthly<std::int32_t>& means, const Corners& corners, const Layer& layer,
                 std::int64_t weight) {
    Monthly<std::int64_t> sums;
    if (!sum_months(sums, corners, layer)) {
        for (std::size_t month = 0; month < kMonths; ++month)
            means[month] = mean_value(corners, layer, month);
        return;
    }
    for (std::size_t month = 0; month < kMonths; ++month) {
        const std::int64_t scaled = sums[month] * kAnswerScale;
        means[month] =
            static_cast<std::int32_t>(weight == kWholeCell ? rounded_half_away(scaled, kWholeCell)
                                                           : rounded_half_away(scaled, weight));
    }
}

/// Prefetches everything that is about to be read. In a large file the cache lines are far apart,
/// and one wait for all of them is shorter than a wait for each.
[[gnu::always_inline]] inline void fetch_values(const Corners& corners, const TileLayout& layout) {
#if defined(__GNUC__)
    for (const Corner& corner : corners) {
        for (const Layer& layer : layout.layers) {
            if (!is_known(layer.id)) continue;
            const std::int32_t* values = values_at(corner, layer);
            __builtin_prefetch(values);
            if (layer.shape != LayerShape::point) __builtin_prefetch(values + kMonths - 1);
        }
    }
#endif
}

void fill_values(Answer& answer, const Corners& corners, const TileLayout& layout) {
    fetch_values(corners, layout);
    for (auto& months : answer.values) months.fill(kMissingValue);
    std::int64_t weight = 0;
    for (const Corner& corner : corners) weight += corner.weight;
    for (const Layer& layer : layout.layers) {
        if (layer.id == LayerId::method || layer.id == LayerId::period) continue;
        if (!is_known(layer.id)) continue;
        if (layer.shape == LayerShape::point)
            answer.of(layer.id)[0] = mean_value(corners, layer, 0);
        else
            fill_months(answer.of(layer.id), corners, layer, weight);
    }
}

void fill_provenance(Answer& answer, const Corners& corners, const TileLayout& layout) {
    const Corner* heaviest = nullptr;
    const bool has_method = layout.find(LayerId::method) != nullptr;
    for (const Corner& corner : corners) {
        if (heaviest == nullptr || corner.weight > heaviest->weight) heaviest = &corner;
        if (!has_method) continue;
        for (int month = 0; month < kMonths; ++month) {
            const std::int32_t code = corner.tile->month_value(LayerId::method, corner.slot, month);
            auto& least = answer.method[static_cast<std::size_t>(month)];
            if (code != kMissingValue) least = std::max(least, static_cast<std::uint16_t>(code));
        }
    }
    if (layout.find(LayerId::period) != nullptr && heaviest != nullptr) {
        const std::int32_t period =
            heaviest->tile->of(LayerId::period)[static_cast<std::size_t>(heaviest->slot)];
        answer.period = static_cast<std::uint8_t>(std::max(period, 0));
    }
}

std::vector<const Lattice*> by_falling_rank(const std::vector<Lattice>& lattices) {
    std::vector<const Lattice*> ranked;
    ranked.reserve(lattices.size());
    for (const Lattice& lattice : lattices) ranked.push_back(&lattice);
    std::sort(ranked.begin(), ranked.end(), [](const Lattice* a, const Lattice* b) {
        return a->rank != b->rank ? a->rank > b->rank : a->id < b->id;
    });
    return ranked;
}

void fill(Answer& answer, const Lattice& lattice, const Corners& corners,
          std::optional<std::int32_t> elevation_m, const TileLayout& layout) {
    answer.found = true;
    answer.lattice_id = lattice.id;
    fill_values(answer, corners, layout);
    fill_provenance(answer, corners, layout);
    if (elevation_m) adjust_to_elevation(answer, *elevation_m, layout);
}

/// Sets nothing if there is no answer: it is then not found.
Result<void> find_answer(Answer& answer, LatLonE7 position, std::optional<std::int32_t> elevation_m,
                         const std::vector<const Lattice*>& ranked, const TileLayout& layout,
                         TileSource& tiles) {
    for (const Lattice* lattice : ranked) {
        Corners corners(*lattice);
        TRY(add_corners_of_cell(corners, *lattice, position, tiles));
        if (corners.empty()) continue;
        answer.interpolated = true;
        answer.at = position;
        fill(answer, *lattice, corners, elevation_m, layout);
        return {};
    }
    for (const Lattice* lattice : ranked) {
        answer.reach_m = std::max(answer.reach_m, lattice->reach_m);
        const auto nearest = TRY(nearest_point(position, *lattice, lattice->reach_m, tiles));
        if (!nearest) continue;
        const LatticePoint point = nearest->point;
        Corners corners(*lattice);
        TRY(corners.add(point, 1, tiles));
        answer.at = position_e7_of(*lattice, point);
        answer.distance_m = nearest->distance_m;
        fill(answer, *lattice, corners, elevation_m, layout);
        return {};
    }
    return {};
}

}  // namespace

Result<Answer> answer_at(LatLonE7 position, std::optional<std::int32_t> elevation_m,
                         const std::vector<Lattice>& lattices, const TileLayout& layout,
                         TileSource& tiles) {
    Result<Answer> answer;  // the returned object: it is too large to be copied for each site
    if (elevation_m && (*elevation_m < kLowestSiteM || *elevation_m > kHighestSiteM)) {
        answer = fail(ErrorCode::usage, "the elevation must be -1000 to 10000 m, not " +
                                            std::to_string(*elevation_m));
        return answer;
    }
    auto found =
        find_answer(*answer, position, elevation_m, by_falling_rank(lattices), layout, tiles);
    if (!found) answer = fail(std::move(found.error()));
    return answer;
}

}  // namespace thirstline
