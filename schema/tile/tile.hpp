// A tile in memory: the decoded integers of a small square of adjacent lattice points.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/tile/layers.hpp"

namespace thirstline {

/// The content of a file's tiles. The layers are sorted by id, without repetition.
/// How a file's answers are adjusted to a site's elevation: FORMAT.md, section 6.
enum class ElevationAdjustment {
    bounded,
    along_straight_lines,  ///< of formats 1.0 and 1.1: rain may reach 0, errors do not grow
};
/// The metadata key of a file whose answers are adjusted within bounds; it is absent in others.
inline constexpr std::string_view kElevationAdjustmentKey = "elevation_adjustment";

struct TileLayout {
    int edge = 8;
    std::vector<Layer> layers;
    ElevationAdjustment elevation_adjustment = ElevationAdjustment::bounded;

    [[nodiscard]] int slots() const { return edge * edge; }
    [[nodiscard]] const Layer* find(LayerId id) const {
        for (const Layer& layer : layers)
            if (layer.id == id) return &layer;
        return nullptr;
    }
};

/// Values of a layer within a tile: slots × 12, slots, or 12, by its shape.
[[nodiscard]] inline std::size_t values_in_tile(const Layer& layer, int edge) {
    const auto slots = static_cast<std::size_t>(edge) * static_cast<std::size_t>(edge);
    switch (layer.shape) {
        case LayerShape::point_month:
            return slots * kMonths;
        case LayerShape::point:
            return slots;
        case LayerShape::tile_month:
            return kMonths;
    }
    return 0;
}

struct Tile {  // NOLINT: clang names what it makes of the defaulted ==
    int edge = 8;
    std::vector<std::uint8_t> present;              ///< one per slot: 1 if its point has data
    std::vector<std::int32_t> values[kLayerSlots];  ///< by LayerId; empty if the file lacks it

    /// An empty tile: no point present, every value missing.
    static Tile empty(const TileLayout& layout) {
        Tile tile;
        tile.edge = layout.edge;
        tile.present.assign(static_cast<std::size_t>(layout.slots()), 0);
        for (const Layer& layer : layout.layers) {
            if (!is_known(layer.id)) continue;
            tile.of(layer.id).assign(values_in_tile(layer, layout.edge), kMissingValue);
        }
        return tile;
    }

    [[nodiscard]] std::vector<std::int32_t>& of(LayerId id) {
        return values[static_cast<std::size_t>(id)];
    }
    [[nodiscard]] const std::vector<std::int32_t>& of(LayerId id) const {
        return values[static_cast<std::size_t>(id)];
    }
    [[nodiscard]] std::int32_t month_value(LayerId id, int slot, int month) const {
        return of(id)[static_cast<std::size_t>(slot * kMonths + month)];
    }
    friend bool operator==(const Tile&, const Tile&) = default;
};

}  // namespace thirstline
