// The input table of `batch`: its columns, and the site of each row.
//
// A header names `lat` and `lon`, or `postal` (and `country`), and optionally `id` and
// `elevation_m`, in any order and case; other columns are ignored. A row with both a position and a
// postal code uses the position.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

#include "lookup/site/site_query.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

struct BatchColumns {
    std::optional<std::size_t> id;
    std::optional<std::size_t> lat;
    std::optional<std::size_t> lon;
    std::optional<std::size_t> postal;
    std::optional<std::size_t> country;
    std::optional<std::size_t> elevation_m;
    std::size_t width = 0;  ///< total number of columns
};

/// Errors call the table `name`.
/// Errors (bad_input): neither position nor postal code, only one of lat and lon, a duplicate
/// column.
[[nodiscard]] Result<BatchColumns> batch_columns(const CsvRow& header, std::string_view name);

/// The row's own name; nothing if there is none.
[[nodiscard]] std::optional<std::string_view> id_of_row(const CsvRow& row,
                                                        const BatchColumns& columns);

/// The query of a row. An error in a row is the finding's miss, not an Error. Errors: those of
/// reading the database.
[[nodiscard]] Result<SiteFinding> site_of_row(const CsvRow& row, const BatchColumns& columns,
                                              Database& database);

}  // namespace thirstline
