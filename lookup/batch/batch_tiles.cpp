#include "lookup/batch/batch_tiles.hpp"

#include <utility>

namespace thirstline {
namespace {

constexpr std::size_t kSharedBytes = std::size_t{128} << 20;

std::size_t bytes_of_tile(const TileLayout& layout) {
    std::size_t bytes = sizeof(Tile) + static_cast<std::size_t>(layout.slots());
    for (const Layer& layer : layout.layers)
        bytes += values_in_tile(layer, layout.edge) * sizeof(std::int32_t);
    return bytes;
}

}  // namespace

SharedTiles::SharedTiles(const TileLayout& layout) : cache_(kSharedBytes / bytes_of_tile(layout)) {}

std::optional<std::shared_ptr<const Tile>> SharedTiles::find(std::int64_t key) {
    const std::lock_guard lock(mutex_);
    const std::shared_ptr<const Tile>* kept = cache_.find(key);
    if (kept == nullptr) return std::nullopt;
    return *kept;
}

void SharedTiles::keep(std::int64_t key, const std::shared_ptr<const Tile>& tile) {
    const std::lock_guard lock(mutex_);
    cache_.keep(key, tile);
}

BatchTiles::BatchTiles(Database& database, SharedTiles& shared)
    : database_(database), shared_(shared) {}

Result<std::shared_ptr<const Tile>> BatchTiles::tile(const Lattice& lattice, TileAddress address) {
    const std::int64_t key = tile_key(lattice.id, address);
    const auto place = static_cast<std::size_t>(address.tile_row % kRows * kColumns +
                                                address.tile_column % kColumns);
    AtHand& at_hand = at_hand_[place];
    if (at_hand.key == key) return at_hand.tile;
    std::optional<std::shared_ptr<const Tile>> tile = shared_.find(key);
    if (!tile) {
        auto read = TRY(database_.decoded_tile(lattice, address));
        shared_.keep(key, read);
        tile = std::move(read);
    }
    at_hand = {key, std::move(*tile)};
    return at_hand.tile;
}

}  // namespace thirstline
