// What a Database keeps beside its head: the connection, statements in use, tiles read before. For
// database.cpp and database_tiles.cpp alone.
//
// Thread safety: belongs to one thread at a time, as its Database does.
#pragma once

#include <cstdint>
#include <optional>

#include "schema/database/database.hpp"
#include "schema/database/sqlite_handles.hpp"
#include "schema/tile/tile_cache.hpp"

namespace thirstline {

inline constexpr const char* kFetchAgain = "fetch or build the file again";

struct Database::Statements {
    explicit Statements(SqliteConnection opened) : connection(std::move(opened)) {}

    SqliteConnection connection;
    std::optional<SqliteStatement> tile;
    std::optional<SqliteStatement> postal;
    std::int64_t checked_key = 0;  ///< of the tile whose checksum was found to fit last
    std::optional<TileCache> tiles, blocks;
};

}  // namespace thirstline
