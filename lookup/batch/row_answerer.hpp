// The records of a chunk of a batch's rows. They are looked up tile by tile, so that what a tile holds
// is fetched from memory once for all of its rows, and handed over in the rows' order.
//
// Thread safety: an answerer belongs to one thread at a time, and so does its database.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "lookup/batch/batch_input.hpp"
#include "lookup/batch/batch_output.hpp"
#include "lookup/batch/batch_tiles.hpp"
#include "lookup/site/site_query.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// The records of some rows, and how far they went.
struct Records {
    std::string_view text;  ///< the answerer's own, until it answers again
    bool all_found = true;
    std::optional<Error> error;  ///< then the text ends before the first row that met one
};

/// The periods of a file, each read once.
class Periods {
  public:
    explicit Periods(Database& database) : database_(database) {}
    [[nodiscard]] Result<const std::string*> text(std::uint8_t id);

  private:
    Database& database_;
    std::array<std::optional<std::string>, 256> texts_;
};

class RowAnswerer {
  public:
    RowAnswerer(Database& database, SharedTiles& shared, const BatchColumns& columns,
                std::unique_ptr<BatchWriter> writer);

    [[nodiscard]] const BatchWriter& writer() const { return *writer_; }

    /// Of the first `count` rows.
    [[nodiscard]] Records records_of(const std::vector<CsvRow>& rows, std::size_t count);

  private:
    /// A row that has a place, and the tile in which most of its answer lies.
    struct PendingRow {
        std::int64_t tile = 0;
        std::uint32_t row = 0;
        std::optional<std::uint32_t> named_place;  ///< of named_places_, if it named one
        LatLonE7 position;
        std::optional<std::int32_t> elevation_m;
    };
    /// Where in text_ a row's record stands.
    struct Span {
        std::size_t begin = 0, length = 0;
    };

    void take(const CsvRow& row, std::uint32_t index);
    void sort_by_tile();
    void answer(const CsvRow& row, const PendingRow& pending);
    [[nodiscard]] const SiteQuery& query_of(const PendingRow& pending);
    void append_miss(const CsvRow& row, std::uint32_t index, const SiteQuery& query,
                     std::string_view reason);
    void note_error(std::uint32_t index, Error error);
    [[nodiscard]] Records in_order(std::size_t count);

    Database& database_;
    TileLayout layout_;
    BatchTiles tiles_;
    const BatchColumns& columns_;
    Periods periods_;
    std::unique_ptr<BatchWriter> writer_;
    bool descends_ = false;

    // Of the chunk in hand; their memory is used again.
    std::vector<PendingRow> pending_;
    std::vector<SiteQuery> named_places_;
    SiteQuery query_;  ///< of the row in hand, if it gave a position
    std::vector<Span> spans_;
    std::string text_;           ///< records, in the order in which they were made
    std::string text_in_order_;  ///< the same in the order of their rows
    bool all_found_ = true;
    std::optional<Error> error_;
    std::size_t rows_before_error_ = 0;
};

}  // namespace thirstline
