// Scans a file's tables row by row, for code that copies, joins or checks whole files. Memory does
// not grow with the table. As elsewhere, each row is checked against its checksum, and a tile
// hidden by damage is detected by the gap of the next one.
//
// Thread safety: a scan belongs to the thread of its Database, which must outlive it.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/database/sqlite_handles.hpp"

namespace thirstline {

/// A row of table `tile` as stored in the file; its bytes are valid until the scan's next step.
struct TileRow {
    std::int64_t key = 0;
    int codec = 0;
    std::span<const std::uint8_t> data;
};

/// Tiles by ascending key.
class TileScan {
  public:
    /// Tiles from `first_key` to `last_key`, both included.
    /// Errors: those of reading the table.
    [[nodiscard]] static Result<TileScan> over(const Database& database, std::int64_t first_key,
                                               std::int64_t last_key);
    [[nodiscard]] static Result<TileScan> over(const Database& database);

    /// Nothing at the end. Errors: bad_database for a damaged or missing tile, naming it.
    [[nodiscard]] Result<std::optional<TileRow>> next();

  private:
    TileScan(const Database& database, SqliteStatement rows, std::int64_t first_key,
             std::int64_t last_key)
        : database_(&database),
          rows_(std::move(rows)),
          first_key_(first_key),
          last_key_(last_key),
          key_before_(first_key - 1) {}
    [[nodiscard]] tl::unexpected<Error> damaged(std::int64_t key, const std::string& how) const;
    [[nodiscard]] Result<std::optional<TileRow>> end_of_table() const;

    const Database* database_;
    SqliteStatement rows_;
    std::int64_t first_key_;
    std::int64_t last_key_;
    std::int64_t key_before_;
    bool is_first_ = true;
};

/// Postal codes by code, then country.
class PostalScan {
  public:
    /// Errors: those of reading the table.
    [[nodiscard]] static Result<PostalScan> over(const Database& database);

    /// Nothing at the end. Errors: bad_database for a damaged row, naming it.
    [[nodiscard]] Result<std::optional<PostalPlace>> next();

  private:
    PostalScan(const Database& database, SqliteStatement rows)
        : database_(&database), rows_(std::move(rows)) {}

    const Database* database_;
    SqliteStatement rows_;
};

/// The place in a row of columns country, code, place, lat_e7, lon_e7, crc32. Errors: bad_database
/// if it does not match its checksum or its position is out of range.
[[nodiscard]] Result<PostalPlace> postal_place_of_row(const SqliteStatement& row,
                                                      const Database& database);

/// By ascending id. Errors: those of reading the table.
[[nodiscard]] Result<std::vector<PeriodRow>> period_rows(const Database& database);

/// By ascending code. Errors: those of reading the table.
[[nodiscard]] Result<std::vector<MethodRow>> method_rows(const Database& database);

/// Errors: bad_database for a file of a newer minor version: a copy made here could lose data that
/// this program does not know.
[[nodiscard]] Result<void> check_copyable(const Database& database);

}  // namespace thirstline
