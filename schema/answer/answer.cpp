#include "schema/answer/answer.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <string>

#include "schema/answer/nearest_point.hpp"

namespace thirstline {

namespace {

/// One lattice point that takes part in an answer, with its weight.
struct Corner {
    const Tile* tile;
    int slot;
    std::int64_t weight;
};

/// Up to four, and their tiles, each sought once: mostly they lie in the same one.
class Corners {
  public:
    explicit Corners(const Lattice& lattice) : lattice_(lattice), grid_(lattice) {}

    /// Adds the corner if its point lies within the lattice and holds data.
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

std::int64_t rounded_half_away(std::int64_t dividend, std::int64_t divisor) {
    const std::int64_t half = divisor / 2;
    return dividend < 0 ? -((-dividend + half) / divisor) : (dividend + half) / divisor;
}

/// The corners of the position's cell that hold data, south-west, south-east, north-west,
/// north-east.
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

/// A corner's values of a layer, month by month; or its one value.
const std::int32_t* values_at(const Corner& corner, const Layer& layer) {
    const auto slot = static_cast<std::size_t>(corner.slot);
    return corner.tile->of(layer.id).data() + (layer.shape == LayerShape::point_month
                                                   ? slot * kMonths
                                               : layer.shape == LayerShape::point ? slot
                                                                                  : 0);
}

/// The weighted mean of a layer's value over the corners that hold it, in 1/kAnswerScale.
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

/// The sums of weight · value of the months of a layer that every corner holds in every month;
/// false if one does not.
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

/// The weight of a whole cell, by which is divided oftenest: known here, the division is a shift.
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

/// Has the processor fetch all that is about to be read: in a large file each line of it lies far
/// away, and one wait for all is shorter than a wait for each.
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

/// Limited to what an Answer can say, whatever stands in a file.
std::int32_t held(std::int64_t value) {
    return static_cast<std::int32_t>(
        std::clamp<std::int64_t>(value, -std::numeric_limits<std::int32_t>::max(),
                                 std::numeric_limits<std::int32_t>::max()));
}

constexpr std::int64_t kCmPerKm = 100'000;
constexpr std::int64_t kGrowthOne = std::int64_t{1} << 28;
constexpr std::int64_t kEtoErrorPercentPerKm = 10;
constexpr std::int64_t kRainErrorPercentPerKm = 15;

/// A value in 1/(divisor·kAnswerScale) moved by a gradient per km over a difference in cm.
std::int32_t shifted(std::int32_t value, const Layer& layer, std::int32_t gradient,
                     const Layer& gradient_layer, std::int64_t difference_cm) {
    return held(value + rounded_half_away(gradient * difference_cm * layer.divisor,
                                          gradient_layer.divisor * kCmPerKm));
}

/// The factor exp(gradient · difference), held to a quarter to four, in 2^-28: the series to its
/// third term at a sixteenth of the exponent, squared four times.
std::int64_t rain_growth(std::int32_t gradient, const Layer& gradient_layer,
                         std::int64_t difference_cm) {
    const std::int64_t share_divisor =
        static_cast<std::int64_t>(gradient_layer.divisor) * kAnswerScale;
    const std::int64_t most = rounded_half_away(share_divisor * 1'386'294, 1'000'000);  // ln 4
    const std::int64_t share =
        std::clamp(rounded_half_away(gradient * difference_cm, kCmPerKm), -most, most);
    const std::int64_t x = rounded_half_away(share * kGrowthOne, share_divisor * 16);
    const std::int64_t square = rounded_half_away(x * x, kGrowthOne);
    std::int64_t growth = kGrowthOne + x + rounded_half_away(square, 2) +
                          rounded_half_away(square * x, 6 * kGrowthOne);
    for (int i = 0; i < 4; ++i) growth = rounded_half_away(growth * growth, kGrowthOne);
    return growth;
}

std::int64_t whole_square_root(std::uint64_t square) {
    std::uint64_t root = 0;
    for (std::uint64_t bit = std::uint64_t{1} << 31U; bit != 0; bit >>= 1U) {
        const std::uint64_t next = root | bit;
        if (next * next <= square) root = next;
    }
    return static_cast<std::int64_t>(root);
}

/// A standard error and, apart from it, a share of the carried value for each km: the root of the
/// sum of their squares.
std::int32_t grown_error(std::int64_t error, const Layer& error_layer, std::int32_t value,
                         const Layer& layer, std::int64_t percent_per_km,
                         std::int64_t difference_cm) {
    const std::int64_t distance_cm = difference_cm < 0 ? -difference_cm : difference_cm;
    const std::int64_t share =
        rounded_half_away(value * percent_per_km * distance_cm, 100 * kCmPerKm);
    const auto own = static_cast<std::uint64_t>(held(error));
    const auto more = static_cast<std::uint64_t>(
        held(rounded_half_away(share * error_layer.divisor, layer.divisor)));
    return held(whole_square_root(own * own + more * more));
}

/// The layers of a variable, and the answer's values; null where the file lacks one.
struct CarriedLayers {
    CarriedLayers(Answer& answer, const TileLayout& layout, LayerId value, LayerId gradient)
        : layer(layout.find(value)),
          gradient_layer(layout.find(gradient)),
          values(answer.of(value)),
          gradients(answer.of(gradient)) {}

    [[nodiscard]] bool moves(std::size_t month) const {
        return layer != nullptr && gradient_layer != nullptr && values[month] != kMissingValue &&
               gradients[month] != kMissingValue;
    }

    const Layer* layer;
    const Layer* gradient_layer;
    Monthly<std::int32_t>& values;
    const Monthly<std::int32_t>& gradients;
};

void carry_temperature(Answer& answer, const TileLayout& layout, LayerId value, LayerId gradient,
                       std::int64_t difference_cm) {
    const CarriedLayers carried(answer, layout, value, gradient);
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (!carried.moves(month)) continue;
        carried.values[month] =
            shifted(carried.values[month], *carried.layer, carried.gradients[month],
                    *carried.gradient_layer, difference_cm);
    }
}

void carry_eto(Answer& answer, const TileLayout& layout, std::int64_t difference_cm) {
    const CarriedLayers carried(answer, layout, LayerId::eto, LayerId::eto_gradient);
    const Layer* error_layer = layout.find(LayerId::eto_se);
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (!carried.moves(month)) continue;
        std::int32_t& value = carried.values[month];
        const std::int64_t own = value;
        value =
            held(std::clamp<std::int64_t>(shifted(value, *carried.layer, carried.gradients[month],
                                                  *carried.gradient_layer, difference_cm),
                                          std::min(rounded_half_away(own, 2), own * 2),
                                          std::max(rounded_half_away(own, 2), own * 2)));
        value = std::max(value, 0);
        std::int32_t& error = answer.of(LayerId::eto_se)[month];
        if (error_layer == nullptr || error == kMissingValue) continue;
        error = grown_error(error, *error_layer, value, *carried.layer, kEtoErrorPercentPerKm,
                            difference_cm);
    }
}

void carry_rain(Answer& answer, const TileLayout& layout, std::int64_t difference_cm) {
    const CarriedLayers carried(answer, layout, LayerId::rain, LayerId::rain_gradient);
    const Layer* error_layer = layout.find(LayerId::rain_se);
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (!carried.moves(month)) continue;
        const std::int64_t growth =
            rain_growth(carried.gradients[month], *carried.gradient_layer, difference_cm);
        std::int32_t& value = carried.values[month];
        value = std::max(held(rounded_half_away(value * growth, kGrowthOne)), 0);
        std::int32_t& error = answer.of(LayerId::rain_se)[month];
        if (error_layer == nullptr || error == kMissingValue) continue;
        error = grown_error(rounded_half_away(error * growth, kGrowthOne), *error_layer, value,
                            *carried.layer, kRainErrorPercentPerKm, difference_cm);
    }
}

void shift_by_elevation(Answer& answer, std::int32_t elevation_m, const TileLayout& layout) {
    const Layer* elevation_layer = layout.find(LayerId::elevation);
    const std::int32_t own = answer.of(LayerId::elevation)[0];
    if (elevation_layer == nullptr || own == kMissingValue) return;
    const std::int64_t own_cm =
        static_cast<std::int64_t>(own) * 100 /
        (static_cast<std::int64_t>(elevation_layer->divisor) * kAnswerScale);
    const std::int64_t wanted_cm = static_cast<std::int64_t>(elevation_m) * 100 - own_cm;
    constexpr std::int64_t kMaxCarriedCm = std::int64_t{kMaxCarriedM} * 100;
    const std::int64_t difference_cm = std::clamp(wanted_cm, -kMaxCarriedCm, kMaxCarriedCm);
    answer.shifted_by_cm = static_cast<std::int32_t>(difference_cm);
    answer.is_beyond_carrying = difference_cm != wanted_cm;

    carry_eto(answer, layout, difference_cm);
    carry_rain(answer, layout, difference_cm);
    carry_temperature(answer, layout, LayerId::tmax, LayerId::tmax_gradient, difference_cm);
    carry_temperature(answer, layout, LayerId::tmin, LayerId::tmin_gradient, difference_cm);
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
    if (elevation_m) shift_by_elevation(answer, *elevation_m, layout);
}

/// Leaves the answer not found where there is none.
Result<void> seek(Answer& answer, LatLonE7 position, std::optional<std::int32_t> elevation_m,
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
    Result<Answer> answer;  // the one that is returned: it is too large to be copied for each site
    if (elevation_m && (*elevation_m < kLowestSiteM || *elevation_m > kHighestSiteM)) {
        answer = fail(ErrorCode::usage, "the elevation must be -1000 to 10000 m, not " +
                                            std::to_string(*elevation_m));
        return answer;
    }
    auto sought = seek(*answer, position, elevation_m, by_falling_rank(lattices), layout, tiles);
    if (!sought) answer = fail(std::move(sought.error()));
    return answer;
}

}  // namespace thirstline
