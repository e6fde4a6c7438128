#include "schema/answer.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <string>

#include "schema/nearest_point.hpp"

namespace thirstline {

namespace {

/// One lattice point that takes part in an answer, with its weight.
struct Corner {
    std::shared_ptr<const Tile> tile;
    int slot = 0;
    std::int64_t weight = 0;
};

struct Corners {
    std::array<Corner, 4> at;
    int count = 0;

    void add(Corner corner) { at[static_cast<std::size_t>(count++)] = std::move(corner); }
    [[nodiscard]] auto begin() const { return at.begin(); }
    [[nodiscard]] auto end() const { return at.begin() + count; }
};

std::int64_t rounded_half_away(std::int64_t dividend, std::int64_t divisor) {
    const std::int64_t half = divisor / 2;
    return dividend < 0 ? -((-dividend + half) / divisor) : (dividend + half) / divisor;
}

/// Adds the corner if its point lies within the lattice and holds data.
Result<void> add_corner(Corners& corners, const Lattice& lattice, LatticePoint point,
                        std::int64_t weight, TileSource& tiles) {
    if (wraps(lattice)) point.column = (point.column + lattice.columns) % lattice.columns;
    if (weight == 0 || !contains(lattice, point)) return {};
    auto tile = tiles.tile(lattice, tile_of(lattice, point));
    if (!tile) return fail(std::move(tile.error()));
    const int slot = slot_in_tile(lattice, point);
    if (*tile && (*tile)->present[static_cast<std::size_t>(slot)] != 0) {
        corners.add({std::move(*tile), slot, weight});
    }
    return {};
}

/// The corners of the position's cell that hold data, south-west, south-east, north-west,
/// north-east.
Result<Corners> corners_of_cell(const Lattice& lattice, LatLonE7 position, TileSource& tiles) {
    const CellPosition cell = cell_of(lattice, position);
    Corners corners;
    for (const int north : {0, 1}) {
        for (const int east : {0, 1}) {
            const std::int64_t weight =
                static_cast<std::int64_t>(north ? cell.north_fraction
                                                : kFractionOne - cell.north_fraction) *
                (east ? cell.east_fraction : kFractionOne - cell.east_fraction);
            const LatticePoint point{cell.south_west.row + north, cell.south_west.column + east};
            if (auto added = add_corner(corners, lattice, point, weight, tiles); !added) {
                return fail(std::move(added.error()));
            }
        }
    }
    return corners;
}

/// The weighted mean of a layer's value over the corners that hold it, in 1/kAnswerScale.
std::int32_t mean_value(const Corners& corners, const Layer& layer, int month) {
    std::int64_t sum = 0;
    std::int64_t weight = 0;
    for (const Corner& corner : corners) {
        const auto slot = static_cast<std::size_t>(corner.slot);
        const auto m = static_cast<std::size_t>(month);
        const std::size_t index = layer.shape == LayerShape::point_month ? slot * kMonths + m
                                  : layer.shape == LayerShape::point     ? slot
                                                                         : m;
        const std::int32_t value = corner.tile->of(layer.id)[index];
        if (value == kMissingValue) continue;
        sum += corner.weight * value;
        weight += corner.weight;
    }
    if (weight == 0) return kMissingValue;
    return static_cast<std::int32_t>(rounded_half_away(sum * kAnswerScale, weight));
}

void fill_values(Answer& answer, const Corners& corners, const TileLayout& layout) {
    for (auto& months : answer.values) months.fill(kMissingValue);
    for (const Layer& layer : layout.layers) {
        if (layer.id == LayerId::method || layer.id == LayerId::period) continue;
        if (!is_known(layer.id)) continue;
        const int months = layer.shape == LayerShape::point ? 1 : kMonths;
        for (int month = 0; month < months; ++month) {
            answer.of(layer.id)[static_cast<std::size_t>(month)] =
                mean_value(corners, layer, month);
        }
    }
}

void fill_provenance(Answer& answer, const Corners& corners, const TileLayout& layout) {
    const Corner* heaviest = nullptr;
    for (const Corner& corner : corners) {
        if (heaviest == nullptr || corner.weight > heaviest->weight) heaviest = &corner;
        if (layout.find(LayerId::method) == nullptr) continue;
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

/// Held within what an Answer can say, whatever stands in a file.
std::int32_t held(std::int64_t value) {
    return static_cast<std::int32_t>(
        std::clamp<std::int64_t>(value, -std::numeric_limits<std::int32_t>::max(),
                                 std::numeric_limits<std::int32_t>::max()));
}

/// A value in 1/(divisor·kAnswerScale) moved by a gradient per km over a difference in cm.
std::int32_t shifted(std::int32_t value, const Layer& layer, std::int32_t gradient,
                     const Layer& gradient_layer, std::int64_t difference_cm) {
    if (value == kMissingValue || gradient == kMissingValue) return value;
    constexpr std::int64_t kCmPerKm = 100'000;
    return held(value + rounded_half_away(gradient * difference_cm * layer.divisor,
                                          gradient_layer.divisor * kCmPerKm));
}

void shift_by_elevation(Answer& answer, std::int32_t elevation_m, const TileLayout& layout) {
    const Layer* elevation_layer = layout.find(LayerId::elevation);
    const std::int32_t own = answer.of(LayerId::elevation)[0];
    if (elevation_layer == nullptr || own == kMissingValue) return;
    const std::int64_t own_cm =
        static_cast<std::int64_t>(own) * 100 /
        (static_cast<std::int64_t>(elevation_layer->divisor) * kAnswerScale);
    const std::int64_t difference_cm = static_cast<std::int64_t>(elevation_m) * 100 - own_cm;
    answer.shifted_by_cm = static_cast<std::int32_t>(difference_cm);

    struct Shift {
        LayerId value, gradient;
        bool never_negative, as_share;
    };
    using enum LayerId;
    for (const Shift& shift :
         {Shift{eto, eto_gradient, true, false}, Shift{rain, rain_gradient, true, true},
          Shift{tmax, tmax_gradient, false, false}, Shift{tmin, tmin_gradient, false, false}}) {
        const Layer* layer = layout.find(shift.value);
        const Layer* gradient_layer = layout.find(shift.gradient);
        if (layer == nullptr || gradient_layer == nullptr) continue;
        for (std::size_t month = 0; month < kMonths; ++month) {
            std::int32_t& value = answer.of(shift.value)[month];
            const std::int32_t gradient = answer.of(shift.gradient)[month];
            if (value == kMissingValue || gradient == kMissingValue) continue;
            if (shift.as_share) {
                constexpr std::int64_t kCmPerKm = 100'000;
                const std::int64_t share_divisor =
                    static_cast<std::int64_t>(gradient_layer->divisor) * kAnswerScale;
                // Twice divided, so that the product stays within 64 bits.
                const std::int64_t share = rounded_half_away(gradient * difference_cm, kCmPerKm);
                value = held(value + rounded_half_away(value * share, share_divisor));
            } else {
                value = shifted(value, *layer, gradient, *gradient_layer, difference_cm);
            }
            if (shift.never_negative) value = std::max(value, 0);
        }
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
    if (elevation_m) shift_by_elevation(answer, *elevation_m, layout);
}

}  // namespace

Result<Answer> answer_at(LatLonE7 position, std::optional<std::int32_t> elevation_m,
                         const std::vector<Lattice>& lattices, const TileLayout& layout,
                         TileSource& tiles) {
    if (elevation_m && (*elevation_m < kLowestElevationM || *elevation_m > kHighestElevationM)) {
        return fail(ErrorCode::usage,
                    "the elevation must be -1000 to 10000 m, not " + std::to_string(*elevation_m));
    }
    const std::vector<const Lattice*> ranked = by_falling_rank(lattices);
    Answer answer;
    for (const Lattice* lattice : ranked) {
        auto corners = corners_of_cell(*lattice, position, tiles);
        if (!corners) return fail(std::move(corners.error()));
        if (corners->count == 0) continue;
        answer.interpolated = true;
        answer.at = position;
        fill(answer, *lattice, *corners, elevation_m, layout);
        return answer;
    }
    for (const Lattice* lattice : ranked) {
        answer.reach_m = std::max(answer.reach_m, lattice->reach_m);
        const auto nearest = nearest_point(position, *lattice, lattice->reach_m, tiles);
        if (!nearest) return fail(nearest.error());
        if (!*nearest) continue;
        const LatticePoint point = (*nearest)->point;
        Corners corners;
        if (auto added = add_corner(corners, *lattice, point, 1, tiles); !added) {
            return fail(std::move(added.error()));
        }
        answer.at = position_e7_of(*lattice, point);
        answer.distance_m = (*nearest)->distance_m;
        fill(answer, *lattice, corners, elevation_m, layout);
        return answer;
    }
    return answer;
}

}  // namespace thirstline
