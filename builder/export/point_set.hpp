// A set of lattice points, stored tile by tile.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <vector>

#include "schema/geo/lattice.hpp"

namespace thirstline {

class PointSet {
  public:
    void add(const Lattice& lattice, LatticePoint point) {
        std::vector<bool>& slots = tiles_[tile_key(lattice.id, tile_of(lattice, point))];
        slots.resize(static_cast<std::size_t>(lattice.tile_edge) *
                     static_cast<std::size_t>(lattice.tile_edge));
        slots[static_cast<std::size_t>(slot_in_tile(lattice, point))] = true;
    }

    /// By slot; null if the set has no point of that tile.
    [[nodiscard]] const std::vector<bool>* slots_of(std::int64_t tile_key) const {
        const auto found = tiles_.find(tile_key);
        return found == tiles_.end() ? nullptr : &found->second;
    }

    /// By ascending key.
    [[nodiscard]] const std::map<std::int64_t, std::vector<bool>>& tiles() const { return tiles_; }

  private:
    std::map<std::int64_t, std::vector<bool>> tiles_;
};

}  // namespace thirstline
