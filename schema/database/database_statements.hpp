// Internal state of a Database: the connection, prepared statements, cached tiles. Only for
// database.cpp and database_tiles.cpp.
//
// Thread safety: belongs to one thread at a time, like its Database.
#pragma once

#include <cstdint>
#include <map>
#include <optional>

#include "schema/database/database.hpp"
#include "schema/database/read_only_connection.hpp"
#include "schema/database/sqlite_handles.hpp"
#include "schema/tile/tile_cache.hpp"

namespace thirstline {

inline constexpr const char* kFetchAgain = "download or build the file again";

inline constexpr std::size_t kMaxAbsentKept = 16'384;

struct Database::Statements {
    explicit Statements(ReadOnlyConnection opened) : connection(std::move(opened)) {}

    void note_absent(std::int64_t after, std::int64_t before) {
        if (absent.size() >= kMaxAbsentKept) absent.clear();
        absent[before] = after;
    }

    ReadOnlyConnection connection;
    std::optional<SqliteStatement> tile;
    std::optional<SqliteStatement> postal;
    std::int64_t checked_key = 0;  ///< of the tile whose checksum was verified last
    /// Ranges of keys without a tile, lower bound by upper bound: proved by earlier searches.
    std::map<std::int64_t, std::int64_t> absent;
    std::optional<TileCache> tiles, blocks;
};

}  // namespace thirstline
