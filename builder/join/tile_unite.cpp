#include "builder/join/tile_unite.hpp"

#include <algorithm>

namespace thirstline {

namespace {

std::size_t values_of_slot(const Layer& layer) {
    return layer.shape == LayerShape::point_month ? kMonths : 1;
}

}  // namespace

bool unite(Tile& tile, const Tile& more, const TileLayout& layout) {
    for (const Layer& layer : layout.layers) {
        if (layer.shape == LayerShape::tile_month && tile.of(layer.id) != more.of(layer.id))
            return false;
    }
    for (std::size_t slot = 0; slot < tile.present.size(); ++slot) {
        if (more.present[slot] == 0) continue;
        for (const Layer& layer : layout.layers) {
            if (layer.shape == LayerShape::tile_month) continue;
            const std::size_t count = values_of_slot(layer);
            const auto from = more.of(layer.id).begin() + static_cast<std::ptrdiff_t>(slot * count);
            const auto to = tile.of(layer.id).begin() + static_cast<std::ptrdiff_t>(slot * count);
            if (tile.present[slot] == 0) {
                std::copy_n(from, count, to);
            } else if (!std::equal(to, to + static_cast<std::ptrdiff_t>(count), from)) {
                return false;
            }
        }
        tile.present[slot] = 1;
    }
    return true;
}

Tile in_joined_terms(Tile tile, const JoinPlan& plan, const JoinedLattice& lattice) {
    const TileLayout& own = lattice.baseline->layout();
    for (const Layer& layer : plan.layout.layers) {
        if (own.find(layer.id) == nullptr)
            tile.of(layer.id).assign(values_in_tile(layer, plan.layout.edge), kMissingValue);
    }
    if (own.find(LayerId::period) == nullptr) return tile;
    for (std::int32_t& period : tile.of(LayerId::period)) {
        const auto joined = lattice.period_ids.find(period);
        if (joined != lattice.period_ids.end()) period = joined->second;
    }
    return tile;
}

}  // namespace thirstline
