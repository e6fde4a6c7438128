// A cache of recently used decoded tiles: two generations, of which the older is dropped when the
// younger is full. A tile that is requested again moves to the younger one, so tiles in use stay.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <unordered_map>

#include "schema/tile/tile.hpp"

namespace thirstline {

class TileCache {
  public:
    explicit TileCache(std::size_t tiles) : half_(tiles / 2) {}

    /// Null if the key is not cached. The cached pointer may itself be null: there is no such tile.
    [[nodiscard]] const std::shared_ptr<const Tile>* find(std::int64_t key) {
        if (const auto found = younger_.find(key); found != younger_.end()) return &found->second;
        const auto found = older_.find(key);
        if (found == older_.end()) return nullptr;
        std::shared_ptr<const Tile> tile = std::move(found->second);
        older_.erase(found);
        return &keep(key, std::move(tile));
    }

    const std::shared_ptr<const Tile>& keep(std::int64_t key, std::shared_ptr<const Tile> tile) {
        if (younger_.size() >= half_) {
            older_ = std::move(younger_);
            younger_.clear();
        }
        return younger_[key] = std::move(tile);
    }

  private:
    std::size_t half_;
    std::unordered_map<std::int64_t, std::shared_ptr<const Tile>> younger_;
    std::unordered_map<std::int64_t, std::shared_ptr<const Tile>> older_;
};

}  // namespace thirstline
