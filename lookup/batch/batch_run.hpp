// The work of `batch`: rows in, a record for each out, in order, by several threads.
//
// The calling thread reads and writes; each of the others answers a chunk of rows at a time from a
// connection of its own. Memory is bounded by the chunks under way. Few rows are answered by the
// calling thread alone.
#pragma once

#include <string>

#include "lookup/batch/batch_input.hpp"
#include "schema/base/result.hpp"
#include "schema/command_line/text_sink.hpp"
#include "schema/database/database.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

struct BatchOptions {
    std::string format = "csv";  ///< or "ndjson"
    int jobs = 1;                ///< threads that answer; 1 or more
};

/// True if every row had an answer. What was written before an error stays: all rows before the one
/// that met it.
/// Errors: those of reading the table and the database, and of writing.
[[nodiscard]] Result<bool> run_batch(CsvReader& reader, const BatchColumns& columns,
                                     Database& database, const BatchOptions& options,
                                     TextSink& out);

}  // namespace thirstline
