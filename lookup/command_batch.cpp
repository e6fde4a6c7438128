#include "lookup/command_batch.hpp"

#include <CLI/App.hpp>
#include <array>
#include <optional>
#include <utility>

#include "lookup/batch_input.hpp"
#include "lookup/batch_output.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/csv_rows.hpp"

namespace thirstline {
namespace {

/// The periods of a file, each read once.
class Periods {
  public:
    explicit Periods(Database& database) : database_(database) {}

    [[nodiscard]] Result<const std::string*> text(std::uint8_t id) {
        std::optional<std::string>& known = texts_[id];
        if (!known) {
            auto read = database_.period(id);
            if (!read) return fail(std::move(read.error()));
            known = std::move(*read);
        }
        return &*known;
    }

  private:
    Database& database_;
    std::array<std::optional<std::string>, 256> texts_;
};

/// Appends the record of one row; true if it is a miss.
Result<bool> append_record(std::string& out, const CsvRow& row, const BatchColumns& columns,
                           Database& database, Periods& periods, const BatchWriter& writer) {
    const auto id = id_of_row(row, columns);
    auto finding = site_of_row(row, columns, database);
    if (!finding) return fail(std::move(finding.error()));
    const SiteQuery& query = finding->query;
    if (finding->miss) {
        writer.append_miss(out, id, query, finding->miss->reason);
        return true;
    }
    const auto answer = database.answer(*query.position, query.elevation_m);
    if (!answer) return fail(answer.error());
    if (!answer->found) {
        writer.append_miss(out, id, query, no_data_near(*query.position, answer->reach_m).reason);
        return true;
    }
    const auto period = periods.text(answer->period);
    if (!period) return fail(period.error());
    writer.append_site(out, id, query, site_profile(*answer, database.layout()), **period);
    return false;
}

Result<std::unique_ptr<BatchWriter>> writer_for(Database& database, const std::string& format) {
    if (format == "csv") {
        const TileLayout& layout = database.layout();
        return batch_csv_writer(layout.find(LayerId::tmax) != nullptr &&
                                layout.find(LayerId::tmin) != nullptr);
    }
    auto baseline = read_baseline(database);
    if (!baseline) return fail(std::move(baseline.error()));
    return batch_ndjson_writer(*baseline);
}

/// True if every row had an answer.
Result<bool> answer_rows(CsvReader& reader, CsvRow& row, const BatchColumns& columns,
                         Database& database, const BatchWriter& writer, TextSink& out) {
    Periods periods(database);
    bool all_found = true;
    std::string record;
    writer.append_head(record);
    if (auto written = out.write(record); !written) return fail(std::move(written.error()));
    for (;;) {
        const auto more = reader.next(row);
        if (!more) return fail(more.error());
        if (!*more) return all_found;
        record.clear();
        const auto missed = append_record(record, row, columns, database, periods, writer);
        if (!missed) return fail(missed.error());
        if (*missed) all_found = false;
        if (auto written = out.write(record); !written) return fail(std::move(written.error()));
    }
}

}  // namespace

void BatchCommand::declare(CLI::App& app) {
    app.add_option("--input", input_, "a CSV table; default: -, standard input")
        ->type_name("FILE")
        ->group("Input");
    app.add_option("--format", format_, "csv or ndjson (a line of JSON each); default: csv")
        ->type_name("FORM")
        ->group("Answer");
    app.add_flag("--allow-missing", allow_missing_, "exit with 0 although some rows have no data")
        ->group("Answer");
    declare_database_option(app, database_);
    app.footer(
        "The table's header names lat and lon, or postal and country; id and elevation_m may\n"
        "be added. Each row has one record in the output, in order, misses included.\n\n" +
        help_footer(
            {"thirstline-lookup batch --db merrow.sqlite --input sites.csv > answers.csv",
             "printf 'lat,lon\\n44.05,-123.09\\n' | thirstline-lookup batch --format ndjson"}));
}

Result<Outcome> BatchCommand::run(const Environment& environment, TextSink& out) {
    if (auto checked = check_word("--format", format_, {"csv", "ndjson"}); !checked) {
        return fail(std::move(checked.error()));
    }
    const auto database = open_database(database_, environment);
    if (!database) return fail(database.error());
    auto reader = CsvReader::open(input_);
    if (!reader) return fail(reader.error());
    CsvRow row;
    const auto has_header = reader->next(row);
    if (!has_header) return fail(has_header.error());
    if (!*has_header) {
        return fail(ErrorCode::bad_input, reader->name() + " is empty; a header is wanted",
                    "such as: id,lat,lon");
    }
    const auto columns = batch_columns(row, reader->name());
    if (!columns) return fail(columns.error());
    const auto writer = writer_for(**database, format_);
    if (!writer) return fail(writer.error());
    const auto all_found = answer_rows(*reader, row, *columns, **database, **writer, out);
    if (!all_found) return fail(all_found.error());
    return *all_found || allow_missing_ ? Outcome::done : Outcome::no_data;
}

}  // namespace thirstline
