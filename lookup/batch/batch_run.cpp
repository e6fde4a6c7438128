#include "lookup/batch/batch_run.hpp"

#include <memory>
#include <utility>
#include <vector>

#include "lookup/batch/batch_output.hpp"
#include "lookup/batch/batch_tiles.hpp"
#include "lookup/batch/row_answerer.hpp"
#include "lookup/batch/tile_order.hpp"
#include "schema/base/ordered_pipeline.hpp"

namespace thirstline {
namespace {

// Limited by the memory for the rows' records until they are written: about 16 MB per thread in
// either format.
std::size_t rows_in_chunk(const std::string& format) {
    return format == "csv" ? kSitesInChunk : 4'096;
}

Result<std::unique_ptr<BatchWriter>> writer_for(Database& database, const BatchOptions& options) {
    if (options.format == "csv") return batch_csv_writer(database.layout(), options.year_percent);
    auto baseline = TRY(read_baseline(database));
    return batch_ndjson_writer(baseline, database.layout(), options.year_percent);
}

/// Some rows of the table; their memory is reused.
struct Chunk {
    explicit Chunk(std::size_t most_rows) : rows(most_rows) {}
    std::vector<CsvRow> rows;
    std::size_t count = 0;
};

/// False if the table ended within the chunk. Rows are read into the memory of earlier ones.
Result<bool> fill(Chunk& chunk, CsvReader& reader) {
    for (chunk.count = 0; chunk.count < chunk.rows.size(); ++chunk.count) {
        const auto more = TRY(reader.next(chunk.rows[chunk.count]));
        if (!more) return false;
    }
    return true;
}

class BatchRun {
  public:
    BatchRun(CsvReader& reader, const BatchColumns& columns, Database& database,
             const BatchOptions& options, TextSink& out)
        : reader_(reader),
          columns_(columns),
          database_(database),
          options_(options),
          out_(out),
          shared_(database.layout()) {}

    Result<bool> all_found() {
        auto writer = TRY(writer_for(database_, options_));
        answerers_.push_back(
            std::make_unique<RowAnswerer>(database_, shared_, columns_, std::move(writer)));
        std::string head;
        answerers_.front()->writer().append_head(head);
        TRY(out_.write(head));
        const auto more = TRY(answer_alone());
        if (more && !all_ended_) TRY(answer_together());
        return all_found_;
    }

  private:
    /// The first chunk, which for most tables is the only one; all chunks if there are no other
    /// threads.
    Result<bool> answer_alone() {
        Chunk chunk(kSitesAnsweredAlone);
        do {
            const auto more = fill(chunk, reader_);
            // Rows read before a read error still get their records.
            TRY(take(answerers_.front()->records_of(chunk.rows, chunk.count)));
            if (!more) return fail(more.error());
            if (!*more) {
                all_ended_ = true;
                return false;
            }
            chunk.rows.resize(rows_in_chunk(options_.format));
        } while (options_.jobs < 2);
        return true;
    }

    Result<void> answer_together() {
        const auto jobs = static_cast<std::size_t>(options_.jobs);
        std::vector<std::unique_ptr<Database>> databases;
        while (answerers_.size() < jobs) {
            auto database = TRY(database_.another());
            databases.push_back(std::move(database));
            auto writer = TRY(writer_for(*databases.back(), options_));
            answerers_.push_back(std::make_unique<RowAnswerer>(*databases.back(), shared_, columns_,
                                                               std::move(writer)));
        }
        std::vector<Chunk> chunks(jobs, Chunk(rows_in_chunk(options_.format)));
        OrderedPipeline<Records> pipeline(
            options_.jobs, jobs, [this](Records records) { return take(std::move(records)); });
        Result<bool> more = true;
        for (std::size_t turn = 0; more && *more; turn = (turn + 1) % jobs) {
            // An answerer and its chunk are free once the records of its last chunk have been
            // taken.
            TRY(pipeline.wait_for_room());
            more = fill(chunks[turn], reader_);
            TRY(pipeline.add([&chunk = chunks[turn], &answerer = *answerers_[turn]] {
                return answerer.records_of(chunk.rows, chunk.count);
            }));
        }
        TRY(pipeline.finish());
        if (!more) return fail(more.error());
        return {};
    }

    Result<void> take(Records records) {
        if (!records.all_found) all_found_ = false;
        TRY(database_.check_unchanged());
        TRY(out_.write(records.text));
        if (records.error) return fail(std::move(*records.error));
        return {};
    }

    CsvReader& reader_;
    const BatchColumns& columns_;
    Database& database_;
    const BatchOptions& options_;
    TextSink& out_;
    SharedTiles shared_;
    std::vector<std::unique_ptr<RowAnswerer>> answerers_;
    bool all_found_ = true;
    bool all_ended_ = false;
};

}  // namespace

Result<bool> run_batch(CsvReader& reader, const BatchColumns& columns, Database& database,
                       const BatchOptions& options, TextSink& out) {
    return BatchRun(reader, columns, database, options, out).all_found();
}

}  // namespace thirstline
