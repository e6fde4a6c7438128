#include "builder/join/overlay_blend.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "builder/join/overlay_border.hpp"
#include "builder/join/tile_unite.hpp"
#include "schema/answer/rounded_quotient.hpp"

namespace thirstline {

namespace {

constexpr double kMPerKm = 1000.0;
constexpr double kEarthRadiusM = kEarthRadiusKm * kMPerKm;
constexpr double kMPerArcsec =
    kEarthRadiusM * std::numbers::pi / 180.0 / static_cast<double>(kArcsecPerDegree);
/// Some 50 MB of decoded tiles: those along a row of the coarser lattice.
constexpr std::size_t kRecentTiles = 512;

enum class Kind { value, error, other };

Kind kind_of(LayerId id) {
    switch (id) {
        case LayerId::eto:
        case LayerId::rain:
        case LayerId::tmax:
        case LayerId::tmin:
        case LayerId::elevation:
        case LayerId::eto_year_slope:
        case LayerId::rain_year_slope:
        case LayerId::normals_deviate:
            return Kind::value;
        case LayerId::eto_se:
        case LayerId::rain_se:
        case LayerId::year_slope_se:
            return Kind::error;
        default:
            return Kind::other;
    }
}

/// The layer whose standard error a layer is.
std::optional<LayerId> value_of_error(LayerId id) {
    if (id == LayerId::eto_se) return LayerId::eto;
    if (id == LayerId::rain_se) return LayerId::rain;
    return std::nullopt;
}

struct Weights {
    std::int64_t own = 0;
    std::int64_t whole = 1;
};

/// `below` in hundredths of the stored unit.
std::int32_t blended(std::int32_t own, std::int32_t below, Weights weights, bool is_rounded_up) {
    const std::int64_t sum =
        weights.own * own * kAnswerScale + (weights.whole - weights.own) * below;
    const std::int64_t divisor = weights.whole * kAnswerScale;
    return static_cast<std::int32_t>(is_rounded_up ? (sum + divisor - 1) / divisor
                                                   : rounded_half_away(sum, divisor));
}

double metres_between_columns(const Lattice& lattice, double lat_deg) {
    return lattice.spacing_arcsec * kMPerArcsec *
           std::max(0.0, std::cos(lat_deg * std::numbers::pi / 180.0));
}

/// Distance within the lattice's box to its edge; 0 outside, infinite if it is the whole globe.
double depth_in_box_m(const Lattice& lattice, LatLon place) {
    const double south = static_cast<double>(lattice.south_arcsec) / kArcsecPerDegree;
    const double rows = (place.lat_deg - south) * kArcsecPerDegree / lattice.spacing_arcsec;
    const auto last_row = static_cast<double>(lattice.rows - 1);
    const double north = south + last_row * lattice.spacing_arcsec / kArcsecPerDegree;
    const double row_m = lattice.spacing_arcsec * kMPerArcsec;
    double depth = std::numeric_limits<double>::infinity();
    // A box that ends at a pole has no edge there.
    if (south > -90.0) depth = std::min(depth, rows * row_m);
    if (north < 90.0) depth = std::min(depth, (last_row - rows) * row_m);
    if (!wraps(lattice)) {
        const double west = static_cast<double>(lattice.west_arcsec) / kArcsecPerDegree;
        double east_of_west = std::fmod(place.lon_deg - west, 360.0);
        if (east_of_west < 0.0) east_of_west += 360.0;
        const double columns = east_of_west * kArcsecPerDegree / lattice.spacing_arcsec;
        const double column_m = metres_between_columns(lattice, place.lat_deg);
        depth = std::min({depth, columns * column_m,
                          (static_cast<double>(lattice.columns - 1) - columns) * column_m});
    }
    return std::max(depth, 0.0);
}

}  // namespace

void blend_point(Tile& tile, int slot, const Answer& below, std::int64_t own_weight,
                 std::int64_t whole_weight, const TileLayout& layout) {
    const Weights weights{own_weight, whole_weight};
    const auto at = static_cast<std::size_t>(slot);
    // Errors first: whether one is known depends on what the values were.
    for (const Kind kind : {Kind::error, Kind::value}) {
        for (const Layer& layer : layout.layers) {
            if (kind_of(layer.id) != kind) continue;
            const std::size_t count = layer.shape == LayerShape::point_month ? kMonths : 1;
            const auto value_layer = value_of_error(layer.id);
            for (std::size_t month = 0; month < count; ++month) {
                std::int32_t& own = tile.of(layer.id)[at * count + month];
                const std::int32_t lower = below.of(layer.id)[month];
                if (own == kMissingValue) continue;
                if (lower != kMissingValue) {
                    own = blended(own, lower, weights, kind == Kind::error);
                } else if (value_layer && below.of(*value_layer)[month] != kMissingValue) {
                    own = kMissingValue;
                }
            }
        }
    }
    if (layout.find(LayerId::method) != nullptr) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            std::int32_t& code = tile.of(LayerId::method)[at * kMonths + month];
            if (code != kMissingValue) code = std::max<std::int32_t>(code, below.method[month]);
        }
    }
    if (layout.find(LayerId::period) != nullptr && 2 * own_weight < whole_weight)
        tile.of(LayerId::period)[at] = below.period;
}

Result<std::unique_ptr<OverlayBlend>> OverlayBlend::over(const JoinPlan& plan, int width_km) {
    std::unique_ptr<OverlayBlend> blend(new OverlayBlend(plan, width_km * kMPerKm));
    std::vector<Lattice> below;
    for (std::size_t number = 0; number < plan.lattices.size(); ++number) {
        const JoinedLattice& lattice = plan.lattices[number];
        const bool is_over_another =
            std::any_of(plan.lattices.begin(), plan.lattices.begin() + static_cast<int>(number),
                        [&](const JoinedLattice& b) { return b.baseline != lattice.baseline; });
        blend->below_.push_back(below);
        blend->borders_.push_back(nullptr);
        if (is_over_another) {
            auto places = TRY(border_of_overlay(plan, number, *blend));
            if (!places.empty())
                blend->borders_.back() = std::make_unique<Border>(std::move(places));
        }
        below.push_back(lattice.lattice);
    }
    return blend;
}

std::size_t OverlayBlend::number_of(const Lattice& lattice) const {
    return static_cast<std::size_t>(lattice.rank);
}

/// How far the place is within the lattices of other baselines below.
double OverlayBlend::depth_of_overlap_m(std::size_t number, LatLon place) const {
    double depth = 0.0;
    for (std::size_t below = 0; below < number; ++below) {
        if (plan_.lattices[below].baseline != plan_.lattices[number].baseline)
            depth = std::max(depth, depth_in_box_m(plan_.lattices[below].lattice, place));
    }
    return depth;
}

Result<bool> OverlayBlend::blend(const Lattice& lattice, TileAddress address, Tile& tile) {
    const std::size_t number = number_of(lattice);
    if (borders_[number] == nullptr) return false;
    bool is_blended = false;
    for (int slot = 0; slot < static_cast<int>(tile.present.size()); ++slot) {
        if (tile.present[static_cast<std::size_t>(slot)] == 0) continue;
        const LatLon place = position_of(lattice, point_in_tile(lattice, address, slot));
        std::size_t nearest = 0;
        double squared = 0.0;
        borders_[number]->tree.nearest(unit_vector(place), 1, &nearest, &squared);
        // Of a point beside the border, in any direction, nothing is kept.
        const double step_m = std::hypot(lattice.spacing_arcsec * kMPerArcsec,
                                         metres_between_columns(lattice, place.lat_deg));
        const double distance_m = std::max(0.0, std::sqrt(squared) * kEarthRadiusM - step_m);
        const double width_m = std::min(width_m_, distance_m + depth_of_overlap_m(number, place));
        const std::int64_t own_weight = std::llround(distance_m);
        const std::int64_t whole_weight = std::llround(width_m);
        if (own_weight >= whole_weight) continue;
        const auto below =
            TRY(answer_at(to_e7(place), std::nullopt, below_[number], plan_.layout, *this));
        if (!below.interpolated) continue;
        const auto source = static_cast<std::size_t>(below.lattice_id - 1);
        if (plan_.lattices[source].baseline == plan_.lattices[number].baseline) continue;
        blend_point(tile, slot, below, own_weight, whole_weight, plan_.layout);
        is_blended = true;
    }
    return is_blended;
}

Result<std::shared_ptr<const Tile>> OverlayBlend::tile(const Lattice& lattice,
                                                       TileAddress address) {
    const std::int64_t key = tile_key(lattice.id, address);
    const auto found = recent_.find(key);
    if (found != recent_.end()) return found->second;
    auto tile = TRY(blended_tile(number_of(lattice), address));
    if (recent_.size() >= kRecentTiles) recent_.clear();
    recent_.emplace(key, tile);
    return tile;
}

Result<std::shared_ptr<const Tile>> OverlayBlend::blended_tile(std::size_t number,
                                                               TileAddress address) {
    const JoinedLattice& joined = plan_.lattices[number];
    Lattice own = joined.lattice;
    own.id = joined.own_id;
    std::optional<Tile> united;
    for (const JoinInput* input : joined.baseline->inputs) {
        const auto tile = TRY(input->database->decoded_tile(own, address));
        if (tile == nullptr) continue;
        // A contradiction is reported where the tile is written.
        if (!united) {
            united = *tile;
        } else {
            static_cast<void>(unite(*united, *tile, joined.baseline->layout()));
        }
    }
    if (!united) return std::shared_ptr<const Tile>();
    Tile tile = in_joined_terms(std::move(*united), plan_, joined);
    TRY(blend(joined.lattice, address, tile));
    return std::make_shared<const Tile>(std::move(tile));
}

}  // namespace thirstline
