// The decoded tiles of a batch: a cache shared by all threads, and for each thread the few tiles in
// current use.
//
// Rows come in any order and are answered chunk by chunk, so every chunk needs the same tiles
// again: a tile decoded once serves all chunks of all threads.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>

#include "schema/answer/answer.hpp"
#include "schema/database/database.hpp"
#include "schema/tile/tile_cache.hpp"

namespace thirstline {

/// Thread safety: may be used by several threads at once.
class SharedTiles {
  public:
    /// For the tiles of a file of that layout, limited to about 128 MB.
    explicit SharedTiles(const TileLayout& layout);

    /// Nothing if the key is not cached; a null pointer if it is known that there is no such tile.
    [[nodiscard]] std::optional<std::shared_ptr<const Tile>> find(std::int64_t key);
    void keep(std::int64_t key, const std::shared_ptr<const Tile>& tile);

  private:
    std::mutex mutex_;
    TileCache cache_;
};

/// Thread safety: belongs to one thread at a time, as its database does.
class BatchTiles final : public TileSource {
  public:
    BatchTiles(Database& database, SharedTiles& shared);

    [[nodiscard]] Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                           TileAddress address) override;
    [[nodiscard]] Result<AbsentTiles> absent_around(const Lattice& lattice,
                                                    TileAddress address) override {
        return database_.absent_around(lattice, address);
    }

  private:
    /// A few rows of tiles across a continent. Tiles whose rows and columns differ by multiples of
    /// these share an entry.
    static constexpr int kRows = 4;
    static constexpr int kColumns = 128;
    struct AtHand {
        std::int64_t key = -1;
        std::shared_ptr<const Tile> tile;
    };

    Database& database_;
    SharedTiles& shared_;
    std::array<AtHand, std::size_t{kRows} * kColumns> at_hand_;
};

}  // namespace thirstline
