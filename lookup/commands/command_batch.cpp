#include "lookup/commands/command_batch.hpp"

#include <CLI/App.hpp>
#include <CLI/Validators.hpp>
#include <algorithm>
#include <thread>
#include <utility>

#include "lookup/batch/batch_input.hpp"
#include "lookup/batch/batch_run.hpp"
#include "lookup/commands/common_options.hpp"
#include "lookup/site/wet_and_dry_years.hpp"
#include "schema/base/worker_pool.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {
namespace {}  // namespace

void BatchCommand::declare(CLI::App& app) {
    app.add_option("--input", input_, "CSV table of sites; default: -, standard input")
        ->type_name("FILE")
        ->group("Input");
    add_word_option(app, format_,
                    {"--format",
                     "output format: ",
                     {"csv", "ndjson"},
                     " (a line of JSON each); default: csv",
                     "FORMAT",
                     "Output"});
    declare_year_option(app, year_);
    app.add_flag("--allow-missing", allow_missing_, "exit with 0 even if some rows have no data")
        ->group("Output");
    require_number(*app.add_option("--jobs", jobs_, "number of threads; default: all cores")
                        ->type_name("N")
                        ->group("Output"),
                   1, kMaxJobs);
    declare_database_option(app, database_);
    app.footer(
        "The table's header must have lat and lon, or postal; id, country and elevation_m are\n"
        "optional. The output has one record for each row, in order, including rows\n"
        "without data.\n\n" +
        help_footer(
            {"thirstline-lookup batch --db merrow.sqlite --input sites.csv > answers.csv",
             "printf 'lat,lon\\n44.45,-37.59\\n' | thirstline-lookup batch --format ndjson"}));
}

Result<Outcome> BatchCommand::run(const Environment& environment, TextSink& out) {
    const auto year_percent = TRY(year_percent_named(year_));
    const auto database = TRY(open_database(database_, environment));
    auto reader = TRY(CsvReader::open(input_));
    CsvRow row;
    const auto has_header = TRY(reader.next(row));
    if (!has_header) {
        return fail(ErrorCode::bad_input, reader.name() + " is empty; it needs a header",
                    "a header such as id,lat,lon");
    }
    const auto columns = TRY(batch_columns(row, reader.name()));
    const auto all_found = TRY(run_batch(
        reader, columns, *database, {format_, jobs_ > 0 ? jobs_ : all_cores(), year_percent}, out));
    return all_found || allow_missing_ ? Outcome::done : Outcome::no_data;
}

}  // namespace thirstline
