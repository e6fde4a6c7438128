// The tiles of a Database: finding, checking, decoding as far as needed, and caching them.
#include <algorithm>
#include <limits>
#include <string>

#include "schema/database/checksum.hpp"
#include "schema/database/database_statements.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

// About 350 bytes each in memory: a batch over a continent stays within 50 MB.
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
    block_lattices_ = lattices_;
    for (Lattice& lattice : block_lattices_) lattice.tile_edge = block_layout_.edge;
    const auto tiles_of = [](const TileLayout& layout) {
        return kCachedPoints / static_cast<std::size_t>(layout.slots());
    };
    statements_->tiles.emplace(tiles_of(layout_));
    statements_->blocks.emplace(tiles_of(block_layout_));
}

Error Database::damaged_tile(std::int64_t key, const std::string& how) const {
    return {ErrorCode::bad_database,
            "tile " + std::to_string(key) + " of " + path_ + " is damaged: " + how, kFetchAgain};
}

/// The row of that key or the next one after it. The next row's gap proves that there is no tile
/// with that key; at the end of the table, the last key named in the metadata proves it.
Result<std::optional<Database::TileRow>> Database::find_tile(std::int64_t key) {
    SqliteStatement& statement = *statements_->tile;
    statement.bind(1, key);
    const auto row = TRY(statement.step());
    if (!row) {
        if (key <= last_tile_key_) return fail(damaged_tile(key, "it cannot be found"));
        statements_->note_absent(last_tile_key_, std::numeric_limits<std::int64_t>::max());
        return std::optional<TileRow>();
    }
    const std::int64_t found_key = statement.integer(0);
    const std::int64_t gap = statement.integer(1);
    const std::int64_t codec = statement.integer(2);
    const auto data = statement.blob(4);
    // The file does not change, so a reader of several blocks need not check the same tile again.
    if (found_key != statements_->checked_key) {
        if (codec < 0 || codec > 255 ||
            statement.integer(3) !=
                std::int64_t{tile_crc32(found_key, gap, static_cast<int>(codec), data)}) {
            return fail(damaged_tile(found_key, "its checksum does not match its bytes"));
        }
        statements_->checked_key = found_key;
    }
    if (found_key != key) {
        // In a damaged table the next row can have a smaller key.
        if (found_key < key || gap <= found_key - key || gap > found_key)
            return fail(damaged_tile(key, "it cannot be found"));
        statements_->note_absent(found_key - gap, found_key);
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
    auto found = TRY(decoded_tile(lattice, address));
    return statements_->tiles->keep(key, std::move(found));
}

Result<std::shared_ptr<const Tile>> Database::decoded_tile(const Lattice& lattice,
                                                           TileAddress address) {
    const std::int64_t key = tile_key(lattice.id, address);
    using Found = std::shared_ptr<const Tile>;
    return from_tile<Found>(key, nullptr, [&](const TileRow& row) -> Result<Found> {
        auto decoded = decode_tile(row.codec, layout_, row.data);
        if (!decoded) return fail(damaged_tile(key, decoded.error().message));
        return std::make_shared<const Tile>(std::move(*decoded));
    });
}

Result<AbsentTiles> Database::absent_around(const Lattice& lattice, TileAddress address) {
    const std::int64_t key = tile_key(lattice.id, address);
    auto known = statements_->absent.upper_bound(key);
    if (known == statements_->absent.end() || key <= known->second) {
        const auto is_there =
            TRY(from_tile<bool>(key, false, [](const TileRow&) -> Result<bool> { return true; }));
        if (is_there) return TileSource::absent_around(lattice, address);
        known = statements_->absent.upper_bound(key);
    }
    // Tiles of other lattices only bound the range: it ends where this lattice's keys begin and
    // end.
    const std::int64_t before = std::max(known->second, tile_key(lattice.id, {0, 0}) - 1);
    const std::int64_t after = std::min(known->first, tile_key(lattice.id + 1, {0, 0}));
    const TileAddress first = tile_of_key(before + 1);
    const TileAddress last = tile_of_key(after - 1);
    AbsentTiles absent{0, kLastTileColumn, first.tile_row, last.tile_row};
    if (first.tile_row == address.tile_row) absent.first_column = first.tile_column;
    if (last.tile_row == address.tile_row) absent.last_column = last.tile_column;
    if (first.tile_column > 0) ++absent.first_row;
    if (last.tile_column < kLastTileColumn) --absent.last_row;
    return absent;
}

Result<AbsentTiles> Database::absent_blocks_around(const Lattice& block_lattice,
                                                   TileAddress block_address) {
    const auto tiles =
        TRY(absent_around(block_lattice, {block_address.tile_row / blocks_along_,
                                          block_address.tile_column / blocks_along_}));
    return AbsentTiles{tiles.first_column * blocks_along_,
                       (tiles.last_column + 1) * blocks_along_ - 1, tiles.first_row * blocks_along_,
                       (tiles.last_row + 1) * blocks_along_ - 1};
}

Result<std::shared_ptr<const Tile>> Database::block(const Lattice& block_lattice,
                                                    TileAddress block_address) {
    const std::int64_t block_key = tile_key(block_lattice.id, block_address);
    if (const auto* kept = statements_->blocks->find(block_key)) return *kept;
    auto found = TRY(decoded_block(block_lattice.id, block_address));
    return statements_->blocks->keep(block_key, std::move(found));
}

Result<std::shared_ptr<const Tile>> Database::decoded_block(int lattice_id,
                                                            TileAddress block_address) {
    const std::int64_t key = tile_key(lattice_id, {block_address.tile_row / blocks_along_,
                                                   block_address.tile_column / blocks_along_});
    const int which = block_address.tile_row % blocks_along_ * blocks_along_ +
                      block_address.tile_column % blocks_along_;
    using Found = std::shared_ptr<const Tile>;
    return from_tile<Found>(key, nullptr, [&](const TileRow& row) -> Result<Found> {
        auto decoded = decode_block(row.codec, layout_, row.data, which);
        if (!decoded) return fail(damaged_tile(key, decoded.error().message));
        return std::make_shared<const Tile>(std::move(*decoded));
    });
}

Result<Answer> Database::answer(LatLonE7 position, std::optional<std::int32_t> elevation_m) {
    return answer_at(position, elevation_m, block_lattices_, block_layout_, blocks_);
}

}  // namespace thirstline
