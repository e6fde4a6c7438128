// The table that `batch` reads: which columns it has, and which site a row means.
//
// A header names `lat` and `lon`, or `postal` (and `country`), and perhaps `id` and `elevation_m`,
// in any order and case; other columns are passed over. A row with both a position and a postal
// code is taken at its position.
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
    std::size_t width = 0;  ///< columns in all
};

/// `name` is what errors call the table.
/// Errors (bad_input): no position and no postal code, one of lat and lon alone, a column that
/// comes twice.
[[nodiscard]] Result<BatchColumns> batch_columns(const CsvRow& header, std::string_view name);

/// The row's own name; nothing if there is none.
[[nodiscard]] std::optional<std::string_view> id_of_row(const CsvRow& row,
                                                        const BatchColumns& columns);

/// What a row asks. What is wrong with a row is the finding's miss, not an error.
/// Errors: those of reading the database.
[[nodiscard]] Result<SiteFinding> site_of_row(const CsvRow& row, const BatchColumns& columns,
                                              Database& database);

}  // namespace thirstline
