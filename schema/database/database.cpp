#include "schema/database/database.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstring>

#include "schema/base/version.hpp"
#include "schema/database/accepted_schema.hpp"
#include "schema/database/checksum.hpp"
#include "schema/database/content_hash.hpp"
#include "schema/database/database_statements.hpp"
#include "schema/database/whole_tables.hpp"

namespace thirstline {

namespace {

std::uint32_t big_endian(const SqliteHeader& header, std::size_t offset, int bytes) {
    std::uint32_t value = 0;
    for (int i = 0; i < bytes; ++i)
        value = value << 8 | header[offset + static_cast<std::size_t>(i)];
    return value;
}

Result<void> check_versions(const SqliteHeader& header, const std::string& path) {
    if (big_endian(header, 68, 4) != static_cast<std::uint32_t>(kApplicationId)) {
        return fail(ErrorCode::bad_database,
                    path + " is an SQLite file, but not a Thirstline database");
    }
    const std::uint32_t version = big_endian(header, 60, 4);
    if (version / 1000 != static_cast<std::uint32_t>(kFormatMajor)) {
        const std::string found =
            std::to_string(version / 1000) + "." + std::to_string(version % 1000);
        return fail(ErrorCode::bad_database,
                    path + " is of format " + found + ", and this program reads format " +
                        std::to_string(kFormatMajor),
                    version / 1000 > static_cast<std::uint32_t>(kFormatMajor)
                        ? "install a newer version of this program"
                        : "build the file again with this version");
    }
    return {};
}

/// Checks that need only the first hundred bytes, without SQLite: kind, version and length.
Result<void> check_header(const OpenedFile& file) {
    const std::string& path = file.path();
    const SqliteHeader& header = file.header();
    static constexpr char kMagic[] = "SQLite format 3";
    if (std::memcmp(header.data(), kMagic, sizeof kMagic) != 0)
        return fail(ErrorCode::bad_database, path + " is not a Thirstline database");
    TRY(check_versions(header, path));
    const std::uint32_t page_field = big_endian(header, 16, 2);
    const std::int64_t page_bytes = page_field == 1 ? 65536 : page_field;
    const std::int64_t expected = page_bytes * big_endian(header, 28, 4);
    if (file.bytes() != expected) {
        return fail(ErrorCode::bad_database,
                    path + " is damaged: it has " + std::to_string(file.bytes()) +
                        " bytes where its header says " + std::to_string(expected),
                    kFetchAgain);
    }
    return {};
}

Result<Layer> layer_of_row(const SqliteStatement& row, const std::string& path) {
    const std::int64_t id = row.integer(0);
    const std::string shape = row.text(1);
    const std::int64_t divisor = row.integer(2);
    const std::int64_t width_bytes = row.integer(3);
    const auto known = layer_by_id(static_cast<int>(std::clamp<std::int64_t>(id, 0, 255)));
    Layer layer;
    if (known) layer = *known;
    layer.id = static_cast<LayerId>(id);
    layer.shape = shape == "point_month" ? LayerShape::point_month
                  : shape == "point"     ? LayerShape::point
                                         : LayerShape::tile_month;
    layer.divisor = static_cast<std::int32_t>(divisor);
    layer.width_bytes = static_cast<int>(width_bytes);
    layer.is_signed = row.integer(4) != 0;
    const bool sound =
        id >= 1 && id <= 255 &&
        (shape == "point_month" || shape == "point" || shape == "tile_month") && divisor >= 1 &&
        divisor <= 10'000 && (width_bytes == 1 || width_bytes == 2) &&
        (row.integer(4) == 0 || row.integer(4) == 1) && (!known || known->shape == layer.shape);
    if (!sound) {
        return fail(
            ErrorCode::bad_database,
            "row " + std::to_string(id) + " of table layer of " + path + " has invalid values",
            kFetchAgain);
    }
    return layer;
}

Lattice lattice_of_row(const SqliteStatement& row) {
    const auto number = [&row](int column) {
        // Out-of-range numbers are clamped; check_lattice then rejects them.
        const std::int64_t value = row.integer(column);
        return static_cast<std::int32_t>(std::clamp<std::int64_t>(value, INT32_MIN, INT32_MAX));
    };
    return {number(0), row.text(1), number(2), number(3), number(4),
            number(5), number(6),   number(7), number(8), number(9)};
}

}  // namespace

std::uint32_t crc32_of(const StationRecord& station) {
    const std::array<std::string_view, 5> texts{station.name, station.country, station.source,
                                                station.period, station.variables};
    return station_crc32(texts, station.position, station.elevation_m);
}

Database::~Database() = default;

Result<std::unique_ptr<Database>> Database::over(std::shared_ptr<OpenedFile> file) {
    TRY(check_header(*file));
    auto connection = TRY(ReadOnlyConnection::to(std::move(file)));
    std::unique_ptr<Database> database(new Database());
    database->path_ = connection.file()->path();
    database->statements_ = std::make_unique<Statements>(std::move(connection));
    TRY(check_schema(database->connection(), database->path_));
    TRY(database->check_head());
    TRY(database->read_head());
    return database;
}

Result<std::unique_ptr<Database>> Database::open(const std::string& path, FileAccess access) {
    auto file = TRY(OpenedFile::open(path, access));
    auto database = over(file);
    if (database || !file->was_replaced()) return database;
    // The file was replaced in the meantime: the fault may be due to the old file's removal.
    file = TRY(OpenedFile::open(path, access));
    return over(std::move(file));
}

Result<std::unique_ptr<Database>> Database::another() const {
    return over(statements_->connection.file());
}

std::int64_t Database::bytes() const {
    return statements_->connection.file()->bytes();
}

Result<void> Database::check_unchanged() {
    return statements_->connection.file()->check_unchanged();
}

sqlite3* Database::connection() const {
    return statements_->connection.get();
}

/// Calls `take(statement)` for each row; `take` returns Result<void>.
template <class Take>
static Result<void> for_each_row(sqlite3* connection, std::string_view sql,
                                 const std::string& doing, const Take& take) {
    auto rows = TRY(SqliteStatement::prepare(connection, sql, doing));
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return {};
        TRY(take(rows));
    }
}

Result<void> Database::read_head() {
    const auto doing = [this](const char* table) {
        return std::string("reading table ") + table + " of " + path_;
    };
    auto read =
        for_each_row(connection(),
                     "SELECT layer_id, shape, divisor, width_bytes, is_signed FROM layer ORDER "
                     "BY layer_id",
                     doing("layer"), [this](const SqliteStatement& row) -> Result<void> {
                         auto layer = TRY(layer_of_row(row, path_));
                         layout_.layers.push_back(layer);
                         return {};
                     });
    if (!read) return read;
    read = for_each_row(connection(),
                        "SELECT lattice_id, name, west_arcsec, south_arcsec, spacing_arcsec, "
                        "columns, rows, rank, tile_edge, reach_m FROM lattice ORDER BY lattice_id",
                        doing("lattice"), [this](const SqliteStatement& row) -> Result<void> {
                            lattices_.push_back(lattice_of_row(row));
                            return check_lattice(lattices_.back());
                        });
    if (!read) return read;
    if (lattices_.empty() || layout_.find(LayerId::eto) == nullptr) {
        return fail(ErrorCode::bad_database, path_ + " is damaged: it has no lattice or no ETo",
                    kFetchAgain);
    }
    layout_.edge = lattices_.front().tile_edge;
    layout_.elevation_adjustment = metadata(kElevationAdjustmentKey).empty()
                                       ? ElevationAdjustment::along_straight_lines
                                       : ElevationAdjustment::bounded;
    for (const Lattice& lattice : lattices_) {
        if (lattice.tile_edge != layout_.edge) {
            return fail(ErrorCode::bad_database,
                        path_ + " is damaged: its lattices differ in tile_edge", kFetchAgain);
        }
    }
    see_blocks();
    statements_->tile = TRY(SqliteStatement::prepare(
        connection(),
        "SELECT tile_key, gap, codec, crc32, data FROM tile WHERE tile_key >= ?1 ORDER BY tile_key "
        "LIMIT 1",
        doing("tile")));
    statements_->tile->limit_steps(kLookUpSteps);
    return {};
}

/// Checks the small tables against their checksum, and reads the metadata.
Result<void> Database::check_head() {
    const auto damaged = [this](const std::string& how) {
        return fail(ErrorCode::bad_database, path_ + " is damaged: " + how, kFetchAgain);
    };
    const auto crc = TRY(head_crc32(connection(), path_));
    TRY(for_each_row(connection(), "SELECT key, value FROM metadata",
                     "reading table metadata of " + path_,
                     [this](const SqliteStatement& row) -> Result<void> {
                         metadata_[row.text(0)] = row.text(1);
                         return {};
                     }));
    if (std::to_string(crc) != metadata("head_crc32"))
        return damaged("its small tables do not match their checksum");
    const std::string& last = metadata("last_tile_key");
    const auto [end, status] =
        std::from_chars(last.data(), last.data() + last.size(), last_tile_key_);
    if (status != std::errc{} || end != last.data() + last.size())
        return damaged("its metadata last_tile_key is not a number");
    return {};
}

const std::string& Database::metadata(std::string_view key) const {
    static const std::string kNone;
    const auto found = metadata_.find(key);
    return found == metadata_.end() ? kNone : found->second;
}

Result<std::vector<Source>> Database::sources() {
    std::vector<Source> sources;
    auto read = for_each_row(
        connection(),
        "SELECT source_id, name, variable, period, licence, attribution, url, values_used FROM "
        "source ORDER BY source_id",
        "reading table source of " + path_, [&](const SqliteStatement& row) -> Result<void> {
            sources.push_back({static_cast<int>(row.integer(0)),
                               row.text(1),
                               row.text(2),
                               row.text(3),
                               row.text(4),
                               row.text(5),
                               row.text(6),
                               row.integer(7),
                               {},
                               {}});
            return {};
        });
    if (!read) return fail(read.error());
    // Sorted by ascending id, as they are read.
    const auto owner = [&sources](std::int64_t id) -> Source* {
        const auto found = std::ranges::lower_bound(sources, id, {}, &Source::id);
        return found != sources.end() && found->id == id ? &*found : nullptr;
    };
    read = for_each_row(connection(),
                        "SELECT source_id, rule, count FROM source_rejection ORDER BY source_id, "
                        "rule",
                        "reading table source_rejection of " + path_,
                        [&](const SqliteStatement& row) -> Result<void> {
                            if (Source* source = owner(row.integer(0)))
                                source->rejected.push_back({row.text(1), row.integer(2)});
                            return {};
                        });
    if (!read) return fail(read.error());
    read = for_each_row(connection(),
                        "SELECT source_id, name, sha256 FROM source_file ORDER BY source_id, "
                        "position",
                        "reading table source_file of " + path_,
                        [&](const SqliteStatement& row) -> Result<void> {
                            if (Source* source = owner(row.integer(0)))
                                source->files.push_back({row.text(1), row.text(2)});
                            return {};
                        });
    if (!read) return fail(read.error());
    return sources;
}

Result<std::string> Database::period(int period_id) {
    std::string text;
    auto statement =
        TRY(SqliteStatement::prepare(connection(), "SELECT text FROM period WHERE period_id = ?1",
                                     "reading table period of " + path_));
    statement.bind(1, static_cast<std::int64_t>(period_id));
    const auto row = TRY(statement.step());
    if (row) text = statement.text(0);
    return text;
}

Result<std::vector<PostalPlace>> Database::postal_places(std::string_view code) {
    if (!statements_->postal) {
        statements_->postal = TRY(SqliteStatement::prepare(
            connection(),
            "SELECT country, code, place, lat_e7, lon_e7, crc32 FROM postal WHERE code = ?1 ORDER "
            "BY country",
            "reading table postal of " + path_));
        statements_->postal->limit_steps(kLookUpSteps);
    }
    SqliteStatement& statement = *statements_->postal;
    statement.reset();
    statement.bind(1, code);
    std::vector<PostalPlace> places;
    while (true) {
        const auto row = TRY(statement.step());
        if (!row) return places;
        auto place = TRY(postal_place_of_row(statement, *this));
        places.push_back(std::move(place));
    }
}

Result<std::vector<StationRecord>> Database::stations() {
    std::vector<StationRecord> stations;
    TRY(for_each_row(
        connection(),
        "SELECT name, country, lat_e7, lon_e7, elevation_m, source, period, variables, crc32, "
        "station_id FROM station ORDER BY station_id",
        "reading table station of " + path_, [&](const SqliteStatement& row) -> Result<void> {
            StationRecord station{row.text(0),
                                  row.text(1),
                                  {static_cast<std::int32_t>(row.integer(2)),
                                   static_cast<std::int32_t>(row.integer(3))},
                                  static_cast<std::int32_t>(row.integer(4)),
                                  row.text(5),
                                  row.text(6),
                                  row.text(7)};
            const bool is_in_range = is_on_earth(row.integer(2), row.integer(3)) &&
                                     row.integer(4) == station.elevation_m;
            if (!is_in_range || row.integer(8) != std::int64_t{crc32_of(station)}) {
                return fail(ErrorCode::bad_database,
                            "station " + std::to_string(row.integer(9)) + " of " + path_ +
                                " is damaged: its checksum does not match",
                            kFetchAgain);
            }
            stations.push_back(std::move(station));
            return {};
        }));
    return stations;
}

Result<std::vector<std::string>> Database::adjacent_postal_codes(std::string_view code,
                                                                 std::string_view country) {
    constexpr std::size_t kSharedCharacters = 3;
    constexpr const char* kBefore =
        "SELECT code FROM postal WHERE code >= ?1 AND code < ?2 AND country = ?3 ORDER BY code "
        "DESC LIMIT 2";
    constexpr const char* kAfter =
        "SELECT code FROM postal WHERE code > ?2 AND code < ?1 || x'7f' AND country = ?3 ORDER BY "
        "code LIMIT 2";
    std::vector<std::string> codes;
    if (code.size() <= kSharedCharacters) return codes;
    for (const char* sql : {kBefore, kAfter}) {
        auto statement =
            TRY(SqliteStatement::prepare(connection(), sql, "reading table postal of " + path_));
        statement.limit_steps(kLookUpSteps);
        statement.bind(1, code.substr(0, kSharedCharacters));
        statement.bind(2, code);
        statement.bind(3, country);
        while (TRY(statement.step())) codes.push_back(statement.text(0));
        if (sql == kBefore) std::reverse(codes.begin(), codes.end());
    }
    return codes;
}

Result<std::vector<PostalPlace>> Database::postal_places_named(std::string_view name, int limit) {
    // instr() compares byte by byte; LIKE would treat % and _ as wildcards.
    auto statement = TRY(SqliteStatement::prepare(
        connection(),
        "SELECT country, code, place, lat_e7, lon_e7, crc32 FROM postal WHERE "
        "instr(lower(place), lower(?1)) = 1 ORDER BY lower(place) <> lower(?1), place, code LIMIT "
        "?2",
        "reading table postal of " + path_));
    statement.bind(1, name);
    statement.bind(2, static_cast<std::int64_t>(limit));
    std::vector<PostalPlace> places;
    while (TRY(statement.step())) places.push_back(TRY(postal_place_of_row(statement, *this)));
    return places;
}

Result<std::vector<std::string>> Database::postal_countries() {
    if (!postal_countries_) {
        std::vector<std::string> countries;
        TRY(for_each_row(connection(), "SELECT DISTINCT country FROM postal ORDER BY country",
                         "reading table postal of " + path_,
                         [&](const SqliteStatement& row) -> Result<void> {
                             countries.push_back(row.text(0));
                             return {};
                         }));
        postal_countries_ = std::move(countries);
    }
    return *postal_countries_;
}

}  // namespace thirstline
