// Writes a Thirstline file: to a temporary file next to the target, which replaces the target only
// when everything is written, checked and on the disk. A writer that is destroyed before `finish`
// leaves nothing behind and the target unchanged.
//
// The same calls give the same bytes. Tiles must be added by ascending key.
//
// A file with tiles of a codec other than 0 gets the page size with which it is smallest; while
// sizes are compared, up to three times its size is used next to the target.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/database/history.hpp"
#include "schema/database/sqlite_handles.hpp"
#include "schema/files/temporary_file.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

enum class IfTargetExists {
    replace,
    refuse,  ///< also if another program has written it in the meantime
};

class DatabaseWriter {
  public:
    /// The file's format is the newest, or 1.1 if the layout's answers are adjusted linearly.
    /// Errors: io if the folder cannot be written to, and if another program is writing the target.
    [[nodiscard]] static Result<std::unique_ptr<DatabaseWriter>> create(
        const std::string& target, TileLayout layout,
        IfTargetExists if_exists = IfTargetExists::replace);
    DatabaseWriter(const DatabaseWriter&) = delete;
    DatabaseWriter& operator=(const DatabaseWriter&) = delete;

    [[nodiscard]] const TileLayout& layout() const { return layout_; }

    [[nodiscard]] Result<void> add_lattice(const Lattice& lattice);
    /// `data` is a tile encoded by encode_tile.
    [[nodiscard]] Result<void> add_tile(std::int64_t key, int codec,
                                        std::span<const std::uint8_t> data);
    [[nodiscard]] Result<void> add_source(const Source& source);
    [[nodiscard]] Result<void> add_period(int period_id, const std::string& text);
    /// The row of table method that explains a code; the texts are those of method.hpp.
    [[nodiscard]] Result<void> add_method(std::uint16_t code);
    /// The same with the texts of another file.
    [[nodiscard]] Result<void> add_method(const MethodRow& method);
    /// By code, then country: the same places in another order would give other bytes.
    [[nodiscard]] Result<void> add_postal_place(const PostalPlace& place);
    /// In the order in which they will be listed.
    [[nodiscard]] Result<void> add_station(const StationRecord& station);
    /// In order. The table is made with its first step. Errors: internal for a step out of order.
    [[nodiscard]] Result<void> add_history(const HistoryStep& step);
    /// In any order. `finish` itself writes "content_sha256", "head_crc32" and "last_tile_key".
    /// Errors: internal for a key that already exists.
    [[nodiscard]] Result<void> add_metadata(const std::string& key, const std::string& value);

    /// Writes hash and checksums, checks the file, syncs it and moves it into place. Returns the
    /// size in bytes. Nothing else may be called afterwards.
    [[nodiscard]] Result<std::int64_t> finish();

  private:
    DatabaseWriter() = default;
    [[nodiscard]] Result<SqliteStatement*> statement(const char* sql, const char* table);
    [[nodiscard]] Result<void> run(SqliteStatement& statement);
    [[nodiscard]] Result<void> write_metadata(const std::string& key, const std::string& value);
    [[nodiscard]] Result<void> add_checks();
    [[nodiscard]] Result<void> take_smallest_pages();

    std::string target_;
    IfTargetExists if_exists_ = IfTargetExists::replace;
    TemporaryFile temporary_;
    TileLayout layout_;
    SqliteConnection connection_;  ///< declared after the file, so it is closed first
    std::map<std::string, SqliteStatement> statements_;
    std::map<std::string, std::string> metadata_;  ///< written by `finish`, in order of keys
    std::int64_t stations_ = 0;
    int history_steps_ = 0;
    std::int64_t last_key_ = 0;
    bool is_compact_ = false;  ///< has a tile of a codec other than 0
};

}  // namespace thirstline
