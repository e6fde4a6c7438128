// Makes the records of a chunk of rows. Rows are looked up tile by tile, so that a tile's data are
// fetched from memory once for all of its rows, and returned in the order of the rows.
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
#include "lookup/batch/tile_order.hpp"
#include "lookup/site/site_query.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// The records of some rows, up to a possible error.
struct Records {
    std::string_view text;  ///< owned by the answerer, valid until its next call
    bool all_found = true;
    std::optional<Error> error;  ///< if set, the text ends before the first row with an error
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

    /// The records of the first `count` rows.
    [[nodiscard]] Records records_of(const std::vector<CsvRow>& rows, std::size_t count);

  private:
    /// A row that has a place, and the tile with most of the data for its answer.
    struct PendingRow {
        std::int64_t tile = 0;
        std::uint32_t row = 0;
        std::optional<std::uint32_t> named_place;  ///< in named_places_, if it has a postal code
        LatLonE7 position;
        std::optional<std::int32_t> elevation_m;
    };
    /// The position of a row's record in text_.
    struct Span {
        std::size_t begin = 0, length = 0;
    };

    void take(const CsvRow& row, std::uint32_t index);
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
    TileOrder order_;

    // Of the current chunk; their memory is reused.
    std::vector<PendingRow> pending_;
    std::vector<SiteQuery> named_places_;
    SiteQuery query_;  ///< of the current row, if it has a position
    std::vector<Span> spans_;
    std::string text_;           ///< records, in the order in which they were made
    std::string text_in_order_;  ///< the same in the order of the rows
    bool all_found_ = true;
    std::optional<Error> error_;
    std::size_t rows_before_error_ = 0;
};

}  // namespace thirstline
