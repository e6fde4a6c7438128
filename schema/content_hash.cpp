#include "schema/content_hash.hpp"

#include <array>
#include <string_view>

#include "schema/sha256.hpp"
#include "schema/sqlite_handles.hpp"

namespace thirstline {

namespace {

struct Dump {
    std::string_view table;
    std::string_view query;
    std::string_view columns;  ///< a type letter each
};

constexpr std::array<Dump, 10> kDumps{{
    {"metadata", "SELECT key, value FROM metadata WHERE key <> 'content_sha256' ORDER BY key",
     "tt"},
    {"lattice",
     "SELECT lattice_id, name, west_arcsec, south_arcsec, spacing_arcsec, columns, rows, rank, "
     "tile_edge, reach_m FROM lattice ORDER BY lattice_id",
     "itiiiiiiii"},
    {"layer",
     "SELECT layer_id, name, unit, shape, divisor, width_bytes, is_signed FROM layer ORDER BY "
     "layer_id",
     "itttiii"},
    {"source",
     "SELECT source_id, name, variable, period, licence, attribution, url, values_used FROM source "
     "ORDER BY source_id",
     "itttttti"},
    {"source_rejection",
     "SELECT source_id, rule, count FROM source_rejection ORDER BY source_id, rule", "iti"},
    {"source_file",
     "SELECT source_id, position, name, sha256 FROM source_file ORDER BY source_id, position",
     "iitt"},
    {"period", "SELECT period_id, text FROM period ORDER BY period_id", "it"},
    {"method", "SELECT code, name, note, site_correction FROM method ORDER BY code", "ittt"},
    {"tile", "SELECT tile_key, codec, crc32, data FROM tile ORDER BY tile_key", "iiib"},
    {"postal", "SELECT code, country, place, lat_e7, lon_e7 FROM postal ORDER BY code, country",
     "tttii"},
}};

void add_column(Sha256& hash, const SqliteStatement& row, int column, char type) {
    hash.add(std::string(1, type));
    if (type == 'i') {
        hash.add(std::to_string(row.integer(column)));
    } else if (type == 't') {
        const std::string text = row.text(column);
        hash.add(std::to_string(text.size()) + ":");
        hash.add(text);
    } else {
        const auto blob = row.blob(column);
        hash.add(std::to_string(blob.size()) + ":");
        hash.add(blob);
    }
    hash.add("\n");
}

}  // namespace

Result<std::string> content_sha256(sqlite3* connection, const std::string& path) {
    Sha256 hash;
    for (const Dump& dump : kDumps) {
        const std::string doing = "reading table " + std::string(dump.table) + " of " + path;
        auto rows = SqliteStatement::prepare(connection, dump.query, doing);
        if (!rows) return fail(rows.error());
        hash.add("table " + std::string(dump.table) + "\n");
        while (true) {
            const auto row = rows->step();
            if (!row) return fail(row.error());
            if (!*row) break;
            for (int column = 0; column < static_cast<int>(dump.columns.size()); ++column) {
                add_column(hash, *rows, column, dump.columns[static_cast<std::size_t>(column)]);
            }
        }
    }
    return hash.hex_digest();
}

}  // namespace thirstline
