// The work of `batch`: reads rows and writes a record for each, in order, with several threads.
//
// The calling thread reads and writes; each of the others answers a chunk of rows at a time with
// its own connection. Memory is bounded by the chunks in progress. If there are few rows, the
// calling thread answers them alone.
#pragma once

#include <optional>
#include <string>

#include "lookup/batch/batch_input.hpp"
#include "schema/base/result.hpp"
#include "schema/command_line/text_sink.hpp"
#include "schema/database/database.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

struct BatchOptions {
    std::string format = "csv";                         ///< or "ndjson"
    int jobs = 1;                                       ///< number of answering threads, 1 or more
    std::optional<double> year_percent = std::nullopt;  ///< of describe_year; empty: the means
};

/// True if every row had an answer. Records written before an error remain: those of all rows
/// before the one with the error. Errors: those of reading the table and the database, and of
/// writing.
[[nodiscard]] Result<bool> run_batch(CsvReader& reader, const BatchColumns& columns,
                                     Database& database, const BatchOptions& options,
                                     TextSink& out);

}  // namespace thirstline
