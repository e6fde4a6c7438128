// The tiles of a Database: found, tested, decoded as far as they are needed, and kept.
#include <algorithm>
#include <string>

#include "schema/database/checksum.hpp"
#include "schema/database/database_statements.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

// Some 350 bytes each in memory: a batch over a continent stays within 50 MB.
constexpr std::size_t kCachedPoints = 131'072;

}  // namespace

struct Database::TileRow {
    int codec = 0;
    std::span<const std::uint8_t> data;
};

void Database::see_blocks() {
    blocks_along_ = readable_blocks_along(layout_.edge);
    block_layout_ = layout_;
    block_layout_.edge = layout_.edge / blocks_along_;
    means_layout_ = layers_up_to(LayerId::rain, layout_);
    block_lattices_ = lattices_;
    for (Lattice& lattice : block_lattices_) lattice.tile_edge = block_layout_.edge;
    const auto tiles_of = [](const TileLayout& layout) {
        return kCachedPoints / static_cast<std::size_t>(layout.slots());
    };
    statements_->tiles.emplace(tiles_of(layout_));
    statements_->blocks.emplace(tiles_of(block_layout_));
    statements_->means.emplace(tiles_of(block_layout_));
}

Error Database::damaged_tile(std::int64_t key, const std::string& how) const {
    return {ErrorCode::bad_database,
            "tile " + std::to_string(key) + " of " + path_ + " is damaged: " + how, kFetchAgain};
}

/// The row of that key or the next after it. The next one proves by its gap that there is no tile
/// of that key; the end of the table, by the last key that the metadata name.
Result<std::optional<Database::TileRow>> Database::find_tile(std::int64_t key) {
    SqliteStatement& statement = *statements_->tile;
    statement.bind(1, key);
    const auto row = statement.step();
    if (!row) return fail(row.error());
    if (!*row) {
        if (key <= last_tile_key_) return fail(damaged_tile(key, "it cannot be found"));
        return std::optional<TileRow>();
    }
    const std::int64_t found_key = statement.integer(0);
    const std::int64_t gap = statement.integer(1);
    const std::int64_t codec = statement.integer(2);
    const auto data = statement.blob(4);
    // The file does not change: who reads one block after the other need not test it again.
    if (found_key != statements_->checked_key) {
        if (codec < 0 || codec > 255 ||
            statement.integer(3) !=
                std::int64_t{tile_crc32(found_key, gap, static_cast<int>(codec), data)}) {
            return fail(damaged_tile(found_key, "its checksum does not fit its bytes"));
        }
        statements_->checked_key = found_key;
    }
    if (found_key != key) {
        // In a damaged table the next row can be one before.
        if (found_key < key || gap <= found_key - key)
            return fail(damaged_tile(key, "it cannot be found"));
        return std::optional<TileRow>();
    }
    return std::optional<TileRow>({static_cast<int>(codec), data});
}

template <class T, class Decode>
Result<T> Database::from_tile(std::int64_t key, T absent, const Decode& decode) {
    const auto row = find_tile(key);
    Result<T> taken = std::move(absent);
    if (!row)
        taken = fail(row.error());
    else if (*row)
        taken = decode(**row);
    statements_->tile->reset();
    return taken;
}

Result<std::shared_ptr<const Tile>> Database::tile(const Lattice& lattice, TileAddress address) {
    if (blocks_along_ == 1) return block(lattice, address);
    const std::int64_t key = tile_key(lattice.id, address);
    if (const auto* kept = statements_->tiles->find(key)) return *kept;
    using Found = std::shared_ptr<const Tile>;
    auto found = from_tile<Found>(key, nullptr, [&](const TileRow& row) -> Result<Found> {
        auto decoded = decode_tile(row.codec, layout_, row.data);
        if (!decoded) return fail(damaged_tile(key, decoded.error().message));
        return std::make_shared<const Tile>(std::move(*decoded));
    });
    if (!found) return fail(std::move(found.error()));
    return statements_->tiles->keep(key, std::move(*found));
}

Result<std::shared_ptr<const Tile>> Database::block(const Lattice& block_lattice,
                                                    TileAddress block_address) {
    const std::int64_t block_key = tile_key(block_lattice.id, block_address);
    if (const auto* kept = statements_->blocks->find(block_key)) return *kept;
    auto found = decoded_block(block_lattice.id, block_address, layout_);
    if (!found) return fail(std::move(found.error()));
    return statements_->blocks->keep(block_key, std::move(*found));
}

Result<std::shared_ptr<const Tile>> Database::decoded_block(int lattice_id,
                                                            TileAddress block_address,
                                                            const TileLayout& wanted) {
    const std::int64_t key = tile_key(lattice_id, {block_address.tile_row / blocks_along_,
                                                   block_address.tile_column / blocks_along_});
    const int which = block_address.tile_row % blocks_along_ * blocks_along_ +
                      block_address.tile_column % blocks_along_;
    using Found = std::shared_ptr<const Tile>;
    return from_tile<Found>(key, nullptr, [&](const TileRow& row) -> Result<Found> {
        auto decoded = decode_block(row.codec, layout_, wanted, row.data, which);
        if (!decoded) return fail(damaged_tile(key, decoded.error().message));
        return std::make_shared<const Tile>(std::move(*decoded));
    });
}

Result<std::optional<PointMeans>> Database::point_means(const Lattice& lattice,
                                                        LatticePoint point) {
    Lattice in_blocks = lattice;
    in_blocks.tile_edge = block_layout_.edge;
    const TileAddress block_address = tile_of(in_blocks, point);
    const std::int64_t block_key = tile_key(lattice.id, block_address);
    const auto* kept = statements_->means->find(block_key);
    if (kept == nullptr && !statements_->blocks_of_means.add(block_key)) {
        const std::int64_t key = tile_key(lattice.id, tile_of(lattice, point));
        using Found = std::optional<PointMeans>;
        return from_tile<Found>(key, std::nullopt, [&](const TileRow& row) -> Result<Found> {
            auto decoded =
                decode_point_means(row.codec, layout_, row.data, slot_in_tile(lattice, point));
            if (!decoded) return fail(damaged_tile(key, decoded.error().message));
            return *decoded;
        });
    }
    std::shared_ptr<const Tile> block;
    if (kept == nullptr) {
        auto found = decoded_block(lattice.id, block_address, means_layout_);
        if (!found) return fail(std::move(found.error()));
        block = statements_->means->keep(block_key, std::move(*found));
        kept = &block;
    }
    if (*kept == nullptr) return std::optional<PointMeans>();
    const Tile& tile = **kept;
    const auto slot = static_cast<std::size_t>(slot_in_tile(in_blocks, point));
    if (tile.present[slot] == 0) return std::optional<PointMeans>();
    PointMeans means = PointMeans::unknown();
    const auto first = static_cast<std::ptrdiff_t>(slot * kMonths);
    const auto take = [&](LayerId id, Monthly<std::int32_t>& months) {
        if (!tile.of(id).empty()) std::copy_n(tile.of(id).begin() + first, kMonths, months.begin());
    };
    take(LayerId::eto, means.eto);
    take(LayerId::rain, means.rain);
    return means;
}

Result<Answer> Database::answer(LatLonE7 position, std::optional<std::int32_t> elevation_m) {
    return answer_at(position, elevation_m, block_lattices_, block_layout_, blocks_);
}

}  // namespace thirstline
