#include "schema/database/whole_tables.hpp"

#include <limits>

#include "schema/base/version.hpp"
#include "schema/database/checksum.hpp"
#include "schema/database/database_statements.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

namespace {

std::string reading(const char* table, const Database& database) {
    return std::string("reading table ") + table + " of " + database.path();
}

}  // namespace

Result<TileScan> TileScan::over(const Database& database, std::int64_t first_key,
                                std::int64_t last_key) {
    auto rows = TRY(SqliteStatement::prepare(
        database.connection(),
        "SELECT tile_key, gap, codec, crc32, data FROM tile WHERE tile_key >= ?1 ORDER BY tile_key",
        reading("tile", database)));
    rows.bind(1, first_key);
    return TileScan(database, std::move(rows), first_key, last_key);
}

Result<TileScan> TileScan::over(const Database& database) {
    return over(database, 1, std::numeric_limits<std::int64_t>::max());
}

tl::unexpected<Error> TileScan::damaged(std::int64_t key, const std::string& how) const {
    return fail(ErrorCode::bad_database,
                "tile " + std::to_string(key) + " of " + database_->path() + " is damaged: " + how,
                kFetchAgain);
}

Result<std::optional<TileRow>> TileScan::next() {
    const auto row = TRY(rows_.step());
    if (!row) return end_of_table();
    const std::int64_t key = rows_.integer(0);
    const std::int64_t gap = rows_.integer(1);
    const std::int64_t codec = rows_.integer(2);
    const auto data = rows_.blob(4);
    if (codec < 0 || codec > 255 ||
        rows_.integer(3) != std::int64_t{tile_crc32(key, gap, static_cast<int>(codec), data)}) {
        return damaged(key, "its checksum does not match its bytes");
    }
    // A scan that begins within the table knows only that the first row's gap reaches back far
    // enough.
    const bool follows = is_first_ && first_key_ > 1 ? gap <= key && key - gap < first_key_
                                                     : gap == key - key_before_;
    if (key <= key_before_ || !follows) return damaged(key, "the one before is missing");
    is_first_ = false;
    key_before_ = key;
    if (key > last_key_) {
        rows_.reset();
        return std::optional<TileRow>{};
    }
    return std::optional(TileRow{key, static_cast<int>(codec), data});
}

Result<std::optional<TileRow>> TileScan::end_of_table() const {
    const std::int64_t last = database_->last_tile_key();
    const bool is_whole = is_first_ ? last < first_key_ : last == key_before_;
    if (is_whole) return std::optional<TileRow>{};
    return fail(ErrorCode::bad_database,
                database_->path() + " is damaged: table tile ends with tile " +
                    std::to_string(key_before_) + " instead of " + std::to_string(last),
                kFetchAgain);
}

Result<PostalPlace> postal_place_of_row(const SqliteStatement& row, const Database& database) {
    const std::int64_t lat_e7 = row.integer(3);
    const std::int64_t lon_e7 = row.integer(4);
    const bool in_range = is_on_earth(lat_e7, lon_e7);
    PostalPlace place{row.text(0), row.text(1), row.text(2), {}};
    if (in_range)
        place.position = {static_cast<std::int32_t>(lat_e7), static_cast<std::int32_t>(lon_e7)};
    if (!in_range || row.integer(5) != std::int64_t{postal_crc32(place.code, place.country,
                                                                 place.place, place.position)}) {
        return fail(ErrorCode::bad_database,
                    "postal code " + place.code + " of " + database.path() +
                        " is damaged: its checksum does not match its values",
                    kFetchAgain);
    }
    return place;
}

Result<PostalScan> PostalScan::over(const Database& database) {
    auto rows = TRY(
        SqliteStatement::prepare(database.connection(),
                                 "SELECT country, code, place, lat_e7, lon_e7, crc32 FROM postal "
                                 "ORDER BY postal.code, postal.country",
                                 reading("postal", database)));
    return PostalScan(database, std::move(rows));
}

Result<std::optional<PostalPlace>> PostalScan::next() {
    const auto row = TRY(rows_.step());
    if (!row) return std::optional<PostalPlace>{};
    auto place = TRY(postal_place_of_row(rows_, *database_));
    return std::optional(std::move(place));
}

Result<std::vector<PeriodRow>> period_rows(const Database& database) {
    auto rows = TRY(SqliteStatement::prepare(
        database.connection(), "SELECT period_id, text FROM period ORDER BY period_id",
        reading("period", database)));
    std::vector<PeriodRow> periods;
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return periods;
        periods.push_back({static_cast<int>(rows.integer(0)), rows.text(1)});
    }
}

Result<std::vector<MethodRow>> method_rows(const Database& database) {
    auto rows = TRY(SqliteStatement::prepare(
        database.connection(), "SELECT code, name, note, site_correction FROM method ORDER BY code",
        reading("method", database)));
    std::vector<MethodRow> methods;
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return methods;
        methods.push_back({static_cast<std::uint16_t>(rows.integer(0)), rows.text(1), rows.text(2),
                           rows.text(3)});
    }
}

Result<void> check_copyable(const Database& database) {
    auto statement = TRY(SqliteStatement::prepare(database.connection(), "PRAGMA user_version",
                                                  "reading the header of " + database.path()));
    const auto row = TRY(statement.step());
    const std::int64_t minor = row ? statement.integer(0) % 1000 : 0;
    if (minor <= kFormatMinor) return {};
    const std::string major = std::to_string(kFormatMajor) + ".";
    return fail(ErrorCode::bad_database,
                database.path() + " is of format " + major + std::to_string(minor) +
                    ", and a copy made by this program, which supports  " + major +
                    std::to_string(kFormatMinor) + ", could lose data",
                "install a newer version of this program");
}

}  // namespace thirstline
