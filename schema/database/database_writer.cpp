#include "schema/database/database_writer.hpp"

#include <array>

#include "schema/base/version.hpp"
#include "schema/database/checksum.hpp"
#include "schema/database/content_hash.hpp"
#include "schema/database/sql_text.hpp"
#include "schema/files/file_replacement.hpp"
#include "schema/tile/method.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

const char* shape_name(LayerShape shape) {
    switch (shape) {
        case LayerShape::point_month:
            return "point_month";
        case LayerShape::point:
            return "point";
        case LayerShape::tile_month:
            return "tile_month";
    }
    return "";
}

// Sizes of SQLite's pages, in bytes. A plain tile takes several kilobytes. Compact ones take
// hundreds to a few thousand bytes, and the unused space in pages becomes a large part of such a
// file. Small pages leave less unused, but tables of many short rows are smaller with larger pages.
constexpr int kUsualPageBytes = 4096;
constexpr int kSmallPageBytes[] = {512, 1024, 2048};

}  // namespace

Result<std::unique_ptr<DatabaseWriter>> DatabaseWriter::create(const std::string& target,
                                                               TileLayout layout,
                                                               IfTargetExists if_exists) {
    TRY(refuse_second_writer(target));
    std::unique_ptr<DatabaseWriter> writer(new DatabaseWriter());
    writer->target_ = target;
    writer->if_exists_ = if_exists;
    writer->layout_ = std::move(layout);
    writer->temporary_ = TRY(TemporaryFile::beside(target));

    sqlite3* raw = nullptr;
    const int code = sqlite3_open_v2(writer->temporary_.path().c_str(), &raw,
                                     SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, nullptr);
    writer->connection_.reset(raw);
    const std::string doing = "writing " + target;
    if (code != SQLITE_OK) return fail(sqlite_error(raw, code, doing));
    sqlite3_extended_result_codes(raw, 1);

    // No journal and no intermediate syncing: an unfinished file is discarded.
    const std::string pragmas =
        "PRAGMA page_size=" + std::to_string(kUsualPageBytes) +
        "; PRAGMA journal_mode=OFF; PRAGMA synchronous=OFF; "
        "PRAGMA locking_mode=EXCLUSIVE; PRAGMA cache_size=-8000; PRAGMA foreign_keys=ON; "
        "PRAGMA application_id=" +
        std::to_string(kApplicationId) + "; PRAGMA user_version=" + std::to_string(kUserVersion) +
        "; BEGIN";
    for (const std::string& sql : {pragmas, std::string(tables_sql()), std::string(views_sql())}) {
        TRY(run_sql(raw, sql.c_str(), doing));
    }
    for (const Layer& layer : writer->layout_.layers) {
        auto insert = TRY(
            writer->statement("INSERT INTO layer VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)", "layer"));
        insert->bind(1, static_cast<std::int64_t>(layer.id));
        insert->bind(2, layer.name);
        insert->bind(3, layer.unit);
        insert->bind(4, std::string_view(shape_name(layer.shape)));
        insert->bind(5, static_cast<std::int64_t>(layer.divisor));
        insert->bind(6, static_cast<std::int64_t>(layer.width_bytes));
        insert->bind(7, static_cast<std::int64_t>(layer.is_signed));
        TRY(writer->run(*insert));
    }
    return writer;
}

Result<SqliteStatement*> DatabaseWriter::statement(const char* sql, const char* table) {
    const auto found = statements_.find(table);
    if (found != statements_.end()) return &found->second;
    auto prepared = TRY(SqliteStatement::prepare(
        connection_.get(), sql, std::string("writing table ") + table + " of " + target_));
    return &statements_.emplace(table, std::move(prepared)).first->second;
}

Result<void> DatabaseWriter::run(SqliteStatement& statement) {
    TRY(statement.step());
    return {};
}

Result<void> DatabaseWriter::add_lattice(const Lattice& lattice) {
    auto insert = TRY(statement(
        "INSERT INTO lattice VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)", "lattice"));
    SqliteStatement& row = *insert;
    row.bind(1, static_cast<std::int64_t>(lattice.id));
    row.bind(2, std::string_view(lattice.name));
    int column = 3;
    for (const std::int64_t value :
         {lattice.west_arcsec, lattice.south_arcsec, lattice.spacing_arcsec, lattice.columns,
          lattice.rows, static_cast<std::int32_t>(lattice.rank),
          static_cast<std::int32_t>(lattice.tile_edge), lattice.reach_m}) {
        row.bind(column++, value);
    }
    return run(row);
}

Result<void> DatabaseWriter::add_tile(std::int64_t key, int codec,
                                      std::span<const std::uint8_t> data) {
    if (key <= last_key_) {
        return fail(ErrorCode::internal,
                    "tile " + std::to_string(key) + " was written after a later one");
    }
    const std::int64_t gap = key - last_key_;
    last_key_ = key;
    is_compact_ = is_compact_ || codec != kCodecPlain;
    auto insert = TRY(statement("INSERT INTO tile VALUES (?1, ?2, ?3, ?4, ?5)", "tile"));
    insert->bind(1, key);
    insert->bind(2, gap);
    insert->bind(3, static_cast<std::int64_t>(codec));
    insert->bind(4, static_cast<std::int64_t>(tile_crc32(key, gap, codec, data)));
    insert->bind(5, data);
    return run(*insert);
}

Result<void> DatabaseWriter::add_source(const Source& source) {
    auto insert =
        TRY(statement("INSERT INTO source VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)", "source"));
    SqliteStatement& row = *insert;
    row.bind(1, static_cast<std::int64_t>(source.id));
    int column = 2;
    for (const std::string* text : {&source.name, &source.variable, &source.period, &source.licence,
                                    &source.attribution, &source.url}) {
        row.bind(column++, std::string_view(*text));
    }
    row.bind(8, source.values_used);
    TRY(run(row));

    for (const RejectedCount& rejected : source.rejected) {
        auto rejection =
            TRY(statement("INSERT INTO source_rejection VALUES (?1, ?2, ?3)", "source_rejection"));
        rejection->bind(1, static_cast<std::int64_t>(source.id));
        rejection->bind(2, std::string_view(rejected.rule));
        rejection->bind(3, rejected.count);
        TRY(run(*rejection));
    }
    std::int64_t position = 0;
    for (const SourceFile& file : source.files) {
        auto insert_file =
            TRY(statement("INSERT INTO source_file VALUES (?1, ?2, ?3, ?4)", "source_file"));
        insert_file->bind(1, static_cast<std::int64_t>(source.id));
        insert_file->bind(2, ++position);
        insert_file->bind(3, std::string_view(file.name));
        insert_file->bind(4, std::string_view(file.sha256));
        TRY(run(*insert_file));
    }
    return {};
}

Result<void> DatabaseWriter::add_period(int period_id, const std::string& text) {
    auto insert = TRY(statement("INSERT INTO period VALUES (?1, ?2)", "period"));
    insert->bind(1, static_cast<std::int64_t>(period_id));
    insert->bind(2, std::string_view(text));
    return run(*insert);
}

Result<void> DatabaseWriter::add_method(std::uint16_t code) {
    const Method method = method_of_code(code);
    return add_method(MethodRow{code, method_name(method), method_note(method),
                                site_correction_text(method.correction)});
}

Result<void> DatabaseWriter::add_method(const MethodRow& method) {
    auto insert = TRY(statement("INSERT INTO method VALUES (?1, ?2, ?3, ?4)", "method"));
    insert->bind(1, static_cast<std::int64_t>(method.code));
    insert->bind(2, std::string_view(method.name));
    insert->bind(3, std::string_view(method.note));
    insert->bind(4, std::string_view(method.site_correction));
    return run(*insert);
}

Result<void> DatabaseWriter::add_postal_place(const PostalPlace& place) {
    auto insert = TRY(statement("INSERT INTO postal VALUES (?1, ?2, ?3, ?4, ?5, ?6)", "postal"));
    insert->bind(1, std::string_view(place.code));
    insert->bind(2, std::string_view(place.country));
    insert->bind(3, std::string_view(place.place));
    insert->bind(4, static_cast<std::int64_t>(place.position.lat_e7));
    insert->bind(5, static_cast<std::int64_t>(place.position.lon_e7));
    insert->bind(6, static_cast<std::int64_t>(
                        postal_crc32(place.code, place.country, place.place, place.position)));
    return run(*insert);
}

Result<void> DatabaseWriter::add_station(const StationRecord& station) {
    auto insert = TRY(statement(
        "INSERT INTO station VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)", "station"));
    SqliteStatement& row = *insert;
    row.bind(1, ++stations_);
    row.bind(2, std::string_view(station.name));
    row.bind(3, std::string_view(station.country));
    row.bind(4, static_cast<std::int64_t>(station.position.lat_e7));
    row.bind(5, static_cast<std::int64_t>(station.position.lon_e7));
    row.bind(6, static_cast<std::int64_t>(station.elevation_m));
    row.bind(7, std::string_view(station.source));
    row.bind(8, std::string_view(station.period));
    row.bind(9, std::string_view(station.variables));
    row.bind(10, static_cast<std::int64_t>(crc32_of(station)));
    return run(row);
}

Result<void> DatabaseWriter::add_history(const HistoryStep& step) {
    if (step.step != ++history_steps_) {
        return fail(ErrorCode::internal, "step " + std::to_string(step.step) +
                                             " of the history was written out of order");
    }
    if (step.step == 1)
        TRY(run_sql(connection_.get(), history_sql(), "writing table history of " + target_));
    std::string inputs;
    for (const int input : step.inputs)
        inputs += (inputs.empty() ? "" : " ") + std::to_string(input);
    auto insert = TRY(statement(
        "INSERT INTO history VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)", "history"));
    insert->bind(1, static_cast<std::int64_t>(step.step));
    int column = 2;
    const std::array<const std::string*, 9> texts{&step.action,
                                                  &step.program,
                                                  &step.title,
                                                  &inputs,
                                                  &step.note,
                                                  &step.content_sha256,
                                                  &step.input_files_sha256,
                                                  &step.recipe_sha256,
                                                  &step.recipe};
    for (const std::string* text : texts) insert->bind(column++, std::string_view(*text));
    return run(*insert);
}

Result<void> DatabaseWriter::add_metadata(const std::string& key, const std::string& value) {
    if (!metadata_.emplace(key, value).second)
        return fail(ErrorCode::internal, "metadata \"" + key + "\" was written twice");
    return {};
}

Result<void> DatabaseWriter::write_metadata(const std::string& key, const std::string& value) {
    auto insert = TRY(statement("INSERT INTO metadata VALUES (?1, ?2)", "metadata"));
    insert->bind(1, std::string_view(key));
    insert->bind(2, std::string_view(value));
    return run(*insert);
}

Result<void> DatabaseWriter::add_checks() {
    if (layout_.elevation_adjustment == ElevationAdjustment::bounded)
        metadata_.insert_or_assign(std::string(kElevationAdjustmentKey), "bounded");
    for (const auto& [key, value] : metadata_) TRY(write_metadata(key, value));
    TRY(write_metadata("last_tile_key", std::to_string(last_key_)));
    const auto hash = TRY(content_sha256(connection_.get(), target_));
    TRY(write_metadata("content_sha256", hash));
    const auto crc = TRY(head_crc32(connection_.get(), target_));
    return write_metadata("head_crc32", std::to_string(crc));
}

/// Makes copies and keeps the smallest rather than predicting sizes: unused space depends on every
/// row.
Result<void> DatabaseWriter::take_smallest_pages() {
    const std::string doing = "writing " + target_;
    auto least = temporary_.bytes();
    if (!least) return fail(least.error());
    TemporaryFile smallest;
    for (const int page_bytes : kSmallPageBytes) {
        auto copy = TRY(TemporaryFile::beside(target_));
        const std::string page_size = "PRAGMA page_size=" + std::to_string(page_bytes);
        TRY(run_sql(connection_.get(), page_size.c_str(), doing));
        auto vacuum = TRY(SqliteStatement::prepare(connection_.get(), "VACUUM INTO ?1", doing));
        vacuum.bind(1, std::string_view(copy.path()));
        TRY(run(vacuum));
        const auto bytes = copy.bytes();
        if (!bytes) return fail(bytes.error());
        if (*bytes >= *least) continue;
        least = bytes;
        smallest = std::move(copy);
    }
    connection_.reset();
    if (!smallest.path().empty()) temporary_ = std::move(smallest);
    return {};
}

Result<std::int64_t> DatabaseWriter::finish() {
    TRY(add_checks());
    statements_.clear();
    TRY(run_sql(connection_.get(), "COMMIT", "writing " + target_));
    if (is_compact_) TRY(take_smallest_pages());
    connection_.reset();

    // The last check is a reader's own: the file must open.
    TRY(Database::open(temporary_.path()));
    const auto bytes = TRY(temporary_.bytes());
    if (if_exists_ == IfTargetExists::refuse) {
        TRY(temporary_.move_to_new(target_));
    } else {
        TRY(temporary_.replace(target_));
    }
    return bytes;
}

}  // namespace thirstline
