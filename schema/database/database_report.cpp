#include "schema/database/database_report.hpp"

#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <set>

#include "schema/base/version.hpp"
#include "schema/base/words.hpp"
#include "schema/database/content_hash.hpp"
#include "schema/database/database_statements.hpp"
#include "schema/database/edition.hpp"
#include "schema/database/history.hpp"
#include "schema/database/missing_rows.hpp"
#include "schema/database/sqlite_handles.hpp"
#include "schema/database/whole_tables.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

using Json = nlohmann::ordered_json;

/// The metadata keys that are shown, in this order.
constexpr const char* kShownMetadata[] = {
    "title",     "region",          "publisher",      "notice",          "period",
    "reference", "site_correction", "soil_heat_flux", "builder_version", "content_sha256"};

Result<std::int64_t> counted(Database& database, const char* sql, const char* table) {
    auto statement = TRY(
        SqliteStatement::prepare(database.connection(), sql,
                                 std::string("reading table ") + table + " of " + database.path()));
    const auto row = TRY(statement.step());
    return row ? statement.integer(0) : 0;
}

std::string degrees(std::int64_t arcsec) {
    char text[32];
    std::snprintf(text, sizeof text, "%.6g", static_cast<double>(arcsec) / kArcsecPerDegree);
    return text;
}

std::string user_version_text(Database& database) {
    const auto version = counted(database, "PRAGMA user_version", "sqlite_schema");
    if (!version) return "unknown";
    return std::to_string(*version / 1000) + "." + std::to_string(*version % 1000);
}

Json lattice_json(const Lattice& lattice) {
    const double degree = kArcsecPerDegree;
    return {{"id", lattice.id},
            {"name", lattice.name},
            {"west", lattice.west_arcsec / degree},
            {"south", lattice.south_arcsec / degree},
            {"spacing_arcsec", lattice.spacing_arcsec},
            {"columns", lattice.columns},
            {"rows", lattice.rows},
            {"rank", lattice.rank},
            {"tile_edge", lattice.tile_edge},
            {"reach_m", lattice.reach_m}};
}

Json source_json(const Source& source) {
    Json rejected = Json::object();
    for (const RejectedCount& count : source.rejected) rejected[count.rule] = count.count;
    Json files = Json::array();
    for (const SourceFile& file : source.files)
        files.push_back({{"name", file.name}, {"sha256", file.sha256}});
    return {{"name", source.name},
            {"variable", source.variable},
            {"period", source.period},
            {"licence", source.licence},
            {"attribution", source.attribution},
            {"url", source.url},
            {"values_used", source.values_used},
            {"rejected", rejected},
            {"files", files}};
}

/// Null for a complete file.
Json rows_json(const Database& database) {
    const auto present = rows_present(database);
    if (!present) return nullptr;
    Json ranges = Json::array();
    for (const TileRowRange& range : present->ranges) ranges.push_back({range.first, range.end});
    Json missing = Json::array();
    for (const MissingBand& band : missing_bands(database.lattices().front(), *present)) {
        missing.push_back({band.south_arcsec / double{kArcsecPerDegree},
                           band.north_arcsec / double{kArcsecPerDegree}});
    }
    return {{"tile_rows", ranges}, {"of", present->of}, {"missing_latitudes", missing}};
}

Result<Json> history_json(const Database& database) {
    const auto history = TRY(history_steps(database));
    Json steps = Json::array();
    for (const HistoryStep& step : history) {
        steps.push_back({{"step", step.step},
                         {"action", step.action},
                         {"program", step.program},
                         {"title", step.title},
                         {"inputs", step.inputs},
                         {"note", step.note},
                         {"content_sha256", step.content_sha256},
                         {"input_files_sha256", step.input_files_sha256},
                         {"recipe_sha256", step.recipe_sha256}});
    }
    return steps;
}

Result<Json> info_json(Database& database) {
    Json info;
    info["schema_version"] = 1;
    info["format"] = user_version_text(database);
    info["bytes"] = database.bytes();
    for (const char* key : kShownMetadata) info[key] = database.metadata(key);
    info["notice"] = shown_notice(database);
    for (const EditionKey& key : kEditionKeys)
        info[std::string(key.key)] = database.metadata(key.key);
    info["rows_present"] = rows_json(database);
    info["lattices"] = Json::array();
    for (const Lattice& lattice : database.lattices())
        info["lattices"].push_back(lattice_json(lattice));
    info["layers"] = Json::array();
    for (const Layer& layer : database.layout().layers)
        if (is_known(layer.id)) info["layers"].push_back(layer.name);
    const auto tiles = TRY(counted(database, "SELECT count(*) FROM tile", "tile"));
    const auto codes = TRY(counted(database, "SELECT count(*) FROM postal", "postal"));
    info["tiles"] = tiles;
    // Not every file states its number of points.
    const std::string& points = database.metadata("points");
    info["points"] = points.empty() ? Json(nullptr) : Json(std::atoll(points.c_str()));
    info["postal_codes"] = codes;
    const auto stations = TRY(counted(database, "SELECT count(*) FROM station", "station"));
    info["stations"] = stations;
    info["history"] = TRY(history_json(database));
    const auto sources = TRY(database.sources());
    info["sources"] = Json::array();
    for (const Source& source : sources) info["sources"].push_back(source_json(source));
    return info;
}

Result<void> integrity_checked(Database& database) {
    const std::string doing = "checking " + database.path();
    // A file's own constraints can contain any expression; the rules are checked below instead.
    TRY(run_sql(database.connection(), "PRAGMA ignore_check_constraints=ON", doing));
    auto check =
        TRY(SqliteStatement::prepare(database.connection(), "PRAGMA integrity_check(1)", doing));
    const auto row = TRY(check.step());
    if (row && check.text(0) != "ok") {
        return fail(ErrorCode::bad_database, database.path() + " is damaged: " + check.text(0),
                    kFetchAgain);
    }
    return {};
}

/// A query that finds no row in a valid file, for faults that no other check detects.
struct RowRule {
    const char* table;
    const char* offending_rows;
};

constexpr RowRule kRowRules[] = {
    {"layer", "SELECT layer_id FROM layer WHERE is_signed NOT IN (0, 1)"},
    {"source", "SELECT source_id FROM source WHERE values_used < 0"},
    {"source_rejection", "SELECT source_id FROM source_rejection WHERE count <= 0"},
    {"source_file", "SELECT source_id FROM source_file WHERE length(sha256) <> 64"},
    {"period", "SELECT period_id FROM period WHERE period_id NOT BETWEEN 0 AND 254"},
    {"method", "SELECT code FROM method WHERE code NOT BETWEEN 0 AND 65534"},
    {"station",
     "SELECT station_id FROM station WHERE station_id <= 0 OR "
     "lat_e7 NOT BETWEEN -900000000 AND 900000000 OR "
     "lon_e7 NOT BETWEEN -1800000000 AND 1799999999 OR elevation_m NOT BETWEEN -1000 AND 10000"},
    {"postal", "SELECT code FROM postal WHERE length(code) = 0 OR country NOT GLOB '[A-Z][A-Z]'"},
};

Result<void> rows_checked(Database& database) {
    for (const RowRule& rule : kRowRules) {
        auto rows = TRY(SqliteStatement::prepare(
            database.connection(), rule.offending_rows,
            std::string("reading table ") + rule.table + " of " + database.path()));
        const auto offends = TRY(rows.step());
        if (!offends) continue;
        return fail(ErrorCode::bad_database,
                    "row " + in_quotes(rows.text(0), 40) + " of table " + rule.table + " of " +
                        database.path() + " holds a value that the format does not allow",
                    kFetchAgain);
    }
    return {};
}

Result<std::int64_t> postal_codes_checked(Database& database) {
    auto scan = TRY(PostalScan::over(database));
    for (std::int64_t count = 0;; ++count) {
        const auto place = TRY(scan.next());
        if (!place) return count;
    }
}

/// What points may refer to. A missing value refers to nothing.
struct KnownRows {
    std::set<std::int64_t> methods;
    std::set<std::int64_t> periods;
};

Result<std::set<std::int64_t>> integers(Database& database, const char* sql, const char* table) {
    auto rows = TRY(
        SqliteStatement::prepare(database.connection(), sql,
                                 std::string("reading table ") + table + " of " + database.path()));
    std::set<std::int64_t> found;
    while (true) {
        const auto row = TRY(rows.step());
        if (!row) return found;
        found.insert(rows.integer(0));
    }
}

Result<KnownRows> known_rows(Database& database) {
    auto methods = TRY(integers(database, "SELECT code FROM method", "method"));
    auto periods = TRY(integers(database, "SELECT period_id FROM period", "period"));
    return KnownRows{std::move(methods), std::move(periods)};
}

/// The number of points in a decoded tile; the end of an error sentence if the content is not
/// valid.
Result<std::int64_t> points_of(const Tile& tile, const Lattice& lattice, TileAddress address,
                               const TileLayout& layout, const KnownRows& known) {
    std::int64_t points = 0;
    for (int slot = 0; slot < layout.slots(); ++slot) {
        if (tile.present[static_cast<std::size_t>(slot)] == 0) continue;
        ++points;
        if (!contains(lattice, point_in_tile(lattice, address, slot)))
            return fail(ErrorCode::bad_database, "it holds a point outside its lattice");
        const auto is_unknown = [](const std::set<std::int64_t>& rows, std::int32_t value) {
            return value != kMissingValue && !rows.contains(value);
        };
        if (layout.find(LayerId::period) != nullptr &&
            is_unknown(known.periods, tile.of(LayerId::period)[static_cast<std::size_t>(slot)])) {
            return fail(ErrorCode::bad_database, "it holds a period that table period lacks");
        }
        for (int month = 0; month < kMonths; ++month) {
            if (tile.month_value(LayerId::eto, slot, month) == kMissingValue)
                return fail(ErrorCode::bad_database, "it holds a point without ETo");
            if (layout.find(LayerId::method) != nullptr &&
                is_unknown(known.methods, tile.month_value(LayerId::method, slot, month)))
                return fail(ErrorCode::bad_database, "it holds a method that table method lacks");
        }
    }
    return points;
}

Result<void> tiles_checked(Database& database, Verified& verified) {
    const auto known = TRY(known_rows(database));
    auto scan = TRY(TileScan::over(database));
    while (true) {
        const auto row = TRY(scan.next());
        if (!row) return {};
        const auto& [key, codec, data] = *row;
        const auto damaged = [&database, number = key](const std::string& how) {
            return fail(
                ErrorCode::bad_database,
                "tile " + std::to_string(number) + " of " + database.path() + " is damaged: " + how,
                kFetchAgain);
        };
        const Lattice* lattice = nullptr;
        for (const Lattice& candidate : database.lattices())
            if (candidate.id == lattice_id_of_key(key)) lattice = &candidate;
        if (lattice == nullptr) return damaged("it belongs to no lattice");
        const auto tile = decode_tile(codec, database.layout(), data);
        if (!tile) return damaged(tile.error().message);
        const auto points = points_of(*tile, *lattice, tile_of_key(key), database.layout(), known);
        if (!points) return damaged(points.error().message);
        ++verified.tiles;
        verified.points += *points;
    }
}

/// "Merrow Weather Office. License: CC0-1.0"
std::string terms_text(const Source& source) {
    std::string text = source.attribution;
    if (source.licence.empty()) return text;
    if (!text.empty()) text += text.ends_with('.') ? " " : ". ";
    return text + "License: " + source.licence;
}

/// "build of Merrow valley by version 1.2.0; recipe SHA-256 …"
std::string history_text(const HistoryStep& step) {
    std::string text = step.action + " of " + step.title + " by version " + step.program;
    std::string inputs;
    for (const int input : step.inputs)
        inputs += (inputs.empty() ? "" : ", ") + std::to_string(input);
    if (!inputs.empty()) text += "; from the results of steps " + inputs;
    if (!step.note.empty()) text += "; " + step.note;
    if (!step.recipe_sha256.empty()) text += "; recipe SHA-256 " + step.recipe_sha256;
    return text;
}

std::string line(const std::string& name, const std::string& value) {
    return value.empty()
               ? ""
               : name + std::string(name.size() < 16 ? 16 - name.size() : 1, ' ') + value + "\n";
}

}  // namespace

Result<std::string> database_info_json(Database& database) {
    const auto info = TRY(info_json(database));
    return info.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<std::string> database_info_text(Database& database) {
    const auto info = info_json(database);
    if (!info) return fail(info.error());
    const auto text_of = [&info](const char* key) { return info->at(key).get<std::string>(); };
    const auto number_of = [&info](const char* key) {
        return std::to_string(info->at(key).get<std::int64_t>());
    };
    std::string out;
    for (const char* key : kShownMetadata) out += line(key, text_of(key));
    for (const EditionKey& key : kEditionKeys)
        out += line(std::string(key.key), text_of(std::string(key.key).c_str()));
    out += line("format", text_of("format"));
    out += line("size", number_of("bytes") + " bytes");
    for (const Lattice& lattice : database.lattices()) {
        out += line("lattice " + std::to_string(lattice.id),
                    std::to_string(lattice.columns) + " x " + std::to_string(lattice.rows) +
                        " points, " + std::to_string(lattice.spacing_arcsec) +
                        " arc-seconds apart, from " + degrees(lattice.south_arcsec) + "," +
                        degrees(lattice.west_arcsec) + ", rank " + std::to_string(lattice.rank) +
                        ", reach " + std::to_string(lattice.reach_m / 1000) + " km");
    }
    if (const auto present = rows_present(database)) {
        const auto bands = missing_bands(database.lattices().front(), *present);
        out += line("tile rows",
                    tile_row_ranges_text(*present) +
                        (bands.empty() ? std::string() : "; missing: " + bands_text(bands)));
    }
    std::string layers;
    for (const auto& layer : info->at("layers")) add_word(layers, layer.get<std::string>());
    out += line("layers", layers);
    if (!info->at("points").is_null()) out += line("points", number_of("points"));
    out += line("postal codes", number_of("postal_codes"));
    out += line("stations", number_of("stations"));
    const auto history = TRY(history_steps(database));
    for (const HistoryStep& step : history)
        out += line("step " + std::to_string(step.step), history_text(step));
    const auto sources = TRY(database.sources());
    for (const Source& source : sources) {
        out += line("source " + std::to_string(source.id),
                    source.variable + ": " + source.name +
                        (source.period.empty() ? "" : ", " + source.period));
        out += line("", terms_text(source));
        const bool is_of_values = source.variable != "postal codes";
        if (is_of_values) out += line("", std::to_string(source.values_used) + " values used");
        for (const RejectedCount& rejected : source.rejected)
            out += line("", std::to_string(rejected.count) + " rejected: " + rejected.rule);
    }
    return out;
}

namespace {

Result<Verified> all_verified(Database& database) {
    Verified verified;
    TRY(integrity_checked(database));
    TRY(rows_checked(database));
    TRY(check_history(database));
    TRY(tiles_checked(database, verified));
    const auto hash = TRY(content_sha256(database.connection(), database.path()));
    if (hash != database.metadata("content_sha256")) {
        return fail(ErrorCode::bad_database,
                    database.path() + " is damaged: its content does not match its content hash",
                    kFetchAgain);
    }
    TRY(database.stations());
    verified.postal_codes = TRY(postal_codes_checked(database));
    verified.bytes = database.bytes();
    verified.incomplete = incomplete_words(database);
    return verified;
}

}  // namespace

Result<Verified> verify_database(Database& database) {
    auto verified = all_verified(database);
    // The apparent damage may come from a file that is being overwritten.
    TRY(database.check_unchanged());
    return verified;
}

std::string verified_text(const Verified& verified) {
    return "OK: " + std::to_string(verified.tiles) + " tiles, " + std::to_string(verified.points) +
           " points, " + std::to_string(verified.postal_codes) + " postal codes, " +
           std::to_string(verified.bytes) + " bytes" +
           (verified.incomplete.empty() ? std::string() : "; " + verified.incomplete) + "\n";
}

}  // namespace thirstline
