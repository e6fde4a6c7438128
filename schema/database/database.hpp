// A Thirstline file opened for reading. FORMAT.md describes its content.
//
// The file is opened read-only and immutable, so it may be on a read-only medium. It is read with
// `pread` unless mapping is requested: see OpenedFile. To publish a new version, rename a finished
// file into place; a Database continues to read the file that it opened. No content is trusted: the
// small tables are checked against their checksum on opening, every tile and postal code when it is
// read, and the absence of a tile must be proved by its neighbour's gap. So damage gives an Error
// of code bad_database that names the table and row, never a wrong number. (One fault only `verify`
// can detect: a missing postal code.)
//
// Thread safety: a Database belongs to one thread at a time; open one per thread.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "schema/answer/answer.hpp"
#include "schema/base/result.hpp"
#include "schema/database/opened_file.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/tile/tile.hpp"
#include "schema/tile/tile_cache.hpp"

struct sqlite3;

namespace thirstline {

struct SourceFile {
    std::string name;    ///< without its folder
    std::string sha256;  ///< 64 hexadecimal digits
    friend bool operator==(const SourceFile&, const SourceFile&) = default;
};

struct RejectedCount {
    std::string rule;
    std::int64_t count = 0;
    friend bool operator==(const RejectedCount&, const RejectedCount&) = default;
};

struct Source {
    int id = 0;
    std::string name;
    std::string variable;
    std::string period;
    std::string licence;
    std::string attribution;
    std::string url;
    std::int64_t values_used = 0;  ///< point-months that use this source's value
    std::vector<RejectedCount> rejected;
    std::vector<SourceFile> files;
    friend bool operator==(const Source&, const Source&) = default;
};

struct PostalPlace {
    std::string country;
    std::string code;
    std::string place;
    LatLonE7 position;
    friend bool operator==(const PostalPlace&, const PostalPlace&) = default;
};

/// A station whose normals contribute to the file's numbers.
struct StationRecord {
    std::string name;
    std::string country;
    LatLonE7 position;
    std::int32_t elevation_m = 0;
    std::string source;     ///< names of its sources, separated by "; "
    std::string period;     ///< of those sources
    std::string variables;  ///< such as "tmax, tmin, rain"
    friend bool operator==(const StationRecord&, const StationRecord&) = default;
};

/// The years that a point's period id refers to.
struct PeriodRow {
    int id = 0;  ///< 0 to 254
    std::string text;
    friend bool operator==(const PeriodRow&, const PeriodRow&) = default;
};

/// The description of a method code.
struct MethodRow {
    std::uint16_t code = 0;
    std::string name;
    std::string note;
    std::string site_correction;
    friend bool operator==(const MethodRow&, const MethodRow&) = default;
};

/// The checksum stored with the record in the file.
[[nodiscard]] std::uint32_t crc32_of(const StationRecord& station);

class Database final : public TileSource {
  public:
    /// Errors: io if the file cannot be opened or is not a regular file; bad_database if it is not
    /// a Thirstline file, of an unsupported version, or damaged.
    [[nodiscard]] static Result<std::unique_ptr<Database>> open(
        const std::string& path, FileAccess access = FileAccess::read);
    /// The same for bytes that are open already.
    [[nodiscard]] static Result<std::unique_ptr<Database>> over(std::shared_ptr<OpenedFile> file);
    /// Another connection, for another thread, to the same open file, even if a new file has taken
    /// its name. Errors: as above.
    [[nodiscard]] Result<std::unique_ptr<Database>> another() const;
    ~Database() override;

    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] std::int64_t bytes() const;
    /// Errors (io): the file was overwritten or truncated since it was opened. Reads of a file that
    /// is not mapped make this check themselves.
    [[nodiscard]] Result<void> check_unchanged();
    [[nodiscard]] const std::vector<Lattice>& lattices() const { return lattices_; }
    [[nodiscard]] const TileLayout& layout() const { return layout_; }

    /// A metadata value ("title", "region", "publisher", "notice", "reference", "site_correction",
    /// "period", "builder_version", "content_sha256" …); empty where the key is absent.
    [[nodiscard]] const std::string& metadata(std::string_view key) const;
    /// All metadata rows.
    [[nodiscard]] const std::map<std::string, std::string, std::less<>>& all_metadata() const {
        return metadata_;
    }
    /// The largest; 0 if there are no tiles.
    [[nodiscard]] std::int64_t last_tile_key() const { return last_tile_key_; }

    [[nodiscard]] Result<std::vector<Source>> sources();
    [[nodiscard]] Result<std::string> period(int period_id);

    /// Each country's row for a normalised code; empty if there is none.
    [[nodiscard]] Result<std::vector<PostalPlace>> postal_places(std::string_view code);
    /// The country's codes before and after one that is not in the file, up to two each, in order,
    /// with the same first three characters; empty if there are none.
    [[nodiscard]] Result<std::vector<std::string>> adjacent_postal_codes(std::string_view code,
                                                                         std::string_view country);
    /// Postal codes of places whose name begins with `name`, ignoring case (of A to Z): those of
    /// exactly that name first, then in order of name and code; at most `limit`. Reads the whole
    /// table.
    [[nodiscard]] Result<std::vector<PostalPlace>> postal_places_named(std::string_view name,
                                                                       int limit);
    /// The countries that have postal codes, sorted. Read once.
    [[nodiscard]] Result<std::vector<std::string>> postal_countries();

    /// All stations that were used; empty in a file made from grids alone.
    [[nodiscard]] Result<std::vector<StationRecord>> stations();

    [[nodiscard]] Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                           TileAddress address) override;
    [[nodiscard]] Result<AbsentTiles> absent_around(const Lattice& lattice,
                                                    TileAddress address) override;
    /// As `tile`, but decoded on each call, for callers that cache tiles themselves.
    [[nodiscard]] Result<std::shared_ptr<const Tile>> decoded_tile(const Lattice& lattice,
                                                                   TileAddress address);

    /// `answer_at` over this file's lattices. Only the required blocks of large tiles are decoded.
    [[nodiscard]] Result<Answer> answer(LatLonE7 position,
                                        std::optional<std::int32_t> elevation_m = std::nullopt);

    /// The connection, for reading whole tables, within schema/ only.
    [[nodiscard]] sqlite3* connection() const;

  private:
    struct Statements;
    Database() = default;
    [[nodiscard]] Result<void> read_head();
    void see_blocks();
    [[nodiscard]] Result<void> check_head();
    /// A tile as stored in the file; its bytes are valid until the statement is reset.
    struct TileRow;
    [[nodiscard]] Result<std::optional<TileRow>> find_tile(std::int64_t key);
    /// The result of `decode` for the tile of that key, or `absent`.
    template <class T, class Decode>
    [[nodiscard]] Result<T> from_tile(std::int64_t key, T absent, const Decode& decode);
    [[nodiscard]] Error damaged_tile(std::int64_t key, const std::string& how) const;
    [[nodiscard]] Result<std::shared_ptr<const Tile>> block(const Lattice& block_lattice,
                                                            TileAddress block_address);
    [[nodiscard]] Result<AbsentTiles> absent_blocks_around(const Lattice& block_lattice,
                                                           TileAddress block_address);
    [[nodiscard]] Result<std::shared_ptr<const Tile>> decoded_block(int lattice_id,
                                                                    TileAddress block_address);

    /// The same file with every block as a tile: see readable_blocks_along.
    class Blocks final : public TileSource {
      public:
        explicit Blocks(Database& database) : database_(database) {}
        [[nodiscard]] Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                               TileAddress address) override {
            return database_.block(lattice, address);
        }
        [[nodiscard]] Result<AbsentTiles> absent_around(const Lattice& lattice,
                                                        TileAddress address) override {
            return database_.absent_blocks_around(lattice, address);
        }

      private:
        Database& database_;
    };

    std::string path_;
    std::unique_ptr<Statements> statements_;
    std::vector<Lattice> lattices_, block_lattices_;
    TileLayout layout_, block_layout_;
    int blocks_along_ = 1;  ///< blocks along the side of a tile
    Blocks blocks_{*this};
    std::int64_t last_tile_key_ = 0;
    std::map<std::string, std::string, std::less<>> metadata_;
    std::optional<std::vector<std::string>> postal_countries_;
};

}  // namespace thirstline
