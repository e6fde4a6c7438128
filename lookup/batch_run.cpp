#include "lookup/batch_run.hpp"

#include <algorithm>
#include <array>
#include <compare>
#include <deque>
#include <future>
#include <memory>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "lookup/batch_output.hpp"
#include "lookup/batch_tiles.hpp"
#include "schema/worker_pool.hpp"

namespace thirstline {
namespace {

// A chunk's rows are answered tile by tile: the more there are, the more of them share a tile that
// is decoded once. What holds their number down is the room for their records until they are
// written: some 16 MB for each thread in either format.
std::size_t rows_in_chunk(const std::string& format) {
    return format == "csv" ? 32'768 : 4'096;
}

// Before other threads are worth their start.
constexpr std::size_t kRowsAnsweredAlone = 4'096;

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

Result<std::unique_ptr<BatchWriter>> writer_for(Database& database, const std::string& format) {
    if (format == "csv") return batch_csv_writer(database.layout());
    auto baseline = read_baseline(database);
    if (!baseline) return fail(std::move(baseline.error()));
    return batch_ndjson_writer(*baseline, database.layout());
}

/// Gradients serve only to shift an answer to a row's own elevation.
TileLayout layers_to_answer(TileLayout layout, const BatchColumns& columns) {
    if (columns.elevation_m) return layout;
    std::erase_if(layout.layers, [](const Layer& layer) {
        return layer.id == LayerId::eto_gradient || layer.id == LayerId::rain_gradient ||
               layer.id == LayerId::tmax_gradient || layer.id == LayerId::tmin_gradient;
    });
    return layout;
}

/// The records of some rows, and how far they went.
struct Records {
    std::string_view text;  ///< the answerer's own, until it answers again
    bool all_found = true;
    std::optional<Error> error;
};

/// What one row asks, and where in the chunk's text its record stands.
struct AskedRow {
    SiteQuery query;
    std::string miss;  ///< why there can be no answer; empty if it is to be sought
    std::optional<Error> error;
    std::size_t begin = 0, length = 0;
};

/// A row, and the tile in which most of its answer lies.
struct RowInTile {
    std::int64_t tile;
    std::uint32_t row;
    friend auto operator<=>(const RowInTile&, const RowInTile&) = default;
};

/// Answers rows from a database that nobody else uses meanwhile.
class RowAnswerer {
  public:
    RowAnswerer(Database& database, SharedTiles& shared, const BatchColumns& columns,
                std::unique_ptr<BatchWriter> writer)
        : database_(database),
          layout_(layers_to_answer(database.layout(), columns)),
          tiles_(database, shared),
          columns_(columns),
          periods_(database),
          writer_(std::move(writer)) {}

    [[nodiscard]] const BatchWriter& writer() const { return *writer_; }

    /// Rows of one tile are answered together, so that it is sought once.
    [[nodiscard]] Records records_of(const std::vector<CsvRow>& rows, std::size_t count) {
        asked_.resize(std::max(asked_.size(), count));
        order_.resize(count);
        for (std::size_t i = 0; i < count; ++i) {
            order_[i] = {ask(asked_[i], rows[i]), static_cast<std::uint32_t>(i)};
        }
        std::sort(order_.begin(), order_.end());
        // To and fro: the tiles that were met last are the likeliest to be kept still.
        if (descends_) std::reverse(order_.begin(), order_.end());
        descends_ = !descends_;
        text_.clear();
        std::size_t misses = 0;
        for (const RowInTile& next : order_) {
            const std::size_t i = next.row;
            asked_[i].begin = text_.size();
            if (!asked_[i].error) append_record(rows[i], asked_[i]);
            asked_[i].length = text_.size() - asked_[i].begin;
            misses += asked_[i].miss.empty() ? 0 : 1;
        }
        return in_order(count, misses);
    }

  private:
    /// The key of the tile to be sought; 0 for a row that has no place.
    std::int64_t ask(AskedRow& asked, const CsvRow& row) {
        asked.error.reset();
        asked.miss.clear();
        auto finding = site_of_row(row, columns_, database_);
        if (!finding) {
            asked.error = std::move(finding.error());
            return 0;
        }
        asked.query = std::move(finding->query);
        if (finding->miss) {
            asked.miss = std::move(finding->miss->reason);
            return 0;
        }
        const Lattice& lattice = database_.lattices().front();
        return tile_key(lattice.id,
                        tile_of(lattice, cell_of(lattice, *asked.query.position).south_west));
    }

    void append_record(const CsvRow& row, AskedRow& asked) {
        const auto id = id_of_row(row, columns_);
        if (asked.miss.empty()) {
            const auto answer = answer_at(*asked.query.position, asked.query.elevation_m,
                                          database_.lattices(), layout_, tiles_);
            if (!answer) {
                asked.error = answer.error();
                return;
            }
            if (answer->found) {
                const auto period = periods_.text(answer->period);
                if (!period) {
                    asked.error = period.error();
                    return;
                }
                writer_->append_site(text_, id, asked.query, *answer, **period);
                return;
            }
            asked.miss = no_data_near(*asked.query.position, answer->reach_m).reason;
        }
        writer_->append_miss(text_, id, asked.query, asked.miss);
    }

    /// The records in the order of their rows, up to the first that met an error.
    [[nodiscard]] Records in_order(std::size_t count, std::size_t misses) {
        Records records;
        records.all_found = misses == 0;
        text_in_order_.clear();
        text_in_order_.reserve(text_.size());
        for (std::size_t i = 0; i < count; ++i) {
            if (asked_[i].error) {
                records.error = std::move(asked_[i].error);
                break;
            }
            text_in_order_.append(text_, asked_[i].begin, asked_[i].length);
        }
        records.text = text_in_order_;
        return records;
    }

    Database& database_;
    TileLayout layout_;
    BatchTiles tiles_;
    const BatchColumns& columns_;
    Periods periods_;
    std::unique_ptr<BatchWriter> writer_;
    bool descends_ = false;
    std::vector<AskedRow> asked_;  ///< its memory is used again, as that of the others is
    std::vector<RowInTile> order_;
    std::string text_;           ///< records, in the order in which they were sought
    std::string text_in_order_;  ///< the same in the order of their rows
};

/// Some rows of the table; their memory is used again.
struct Chunk {
    explicit Chunk(std::size_t most_rows) : rows(most_rows) {}
    std::vector<CsvRow> rows;
    std::size_t count = 0;
};

/// False if the table ended within the chunk. A row is read into the memory of an earlier one.
Result<bool> fill(Chunk& chunk, CsvReader& reader) {
    for (chunk.count = 0; chunk.count < chunk.rows.size(); ++chunk.count) {
        const auto more = reader.next(chunk.rows[chunk.count]);
        if (!more) return fail(more.error());
        if (!*more) return false;
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
        auto writer = writer_for(database_, options_.format);
        if (!writer) return fail(std::move(writer.error()));
        answerers_.push_back(
            std::make_unique<RowAnswerer>(database_, shared_, columns_, std::move(*writer)));
        std::string head;
        answerers_.front()->writer().append_head(head);
        if (auto written = out_.write(head); !written) return fail(std::move(written.error()));
        const auto more = answer_alone();
        if (!more) return fail(more.error());
        if (*more && !all_ended_) {
            if (auto done = answer_together(); !done) return fail(done.error());
        }
        return all_found_;
    }

  private:
    /// The first chunk, which for most tables is the only one; all of them if no other thread
    /// answers.
    Result<bool> answer_alone() {
        Chunk chunk(kRowsAnsweredAlone);
        do {
            const auto more = fill(chunk, reader_);
            // What was read before the reading failed has its records all the same.
            if (auto done = take(answerers_.front()->records_of(chunk.rows, chunk.count)); !done)
                return fail(done.error());
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
            auto database = Database::open(database_.path());
            if (!database) return fail(database.error());
            databases.push_back(std::move(*database));
            auto writer = writer_for(*databases.back(), options_.format);
            if (!writer) return fail(writer.error());
            answerers_.push_back(std::make_unique<RowAnswerer>(*databases.back(), shared_, columns_,
                                                               std::move(*writer)));
        }
        std::vector<Chunk> chunks(jobs, Chunk(rows_in_chunk(options_.format)));
        std::deque<std::future<Records>> under_way;
        WorkerPool pool(options_.jobs);
        const auto take_first = [&]() -> Result<void> {
            Records records = under_way.front().get();
            under_way.pop_front();
            return take(std::move(records));
        };
        Result<bool> more = true;
        for (std::size_t turn = 0; more && *more; turn = (turn + 1) % jobs) {
            // An answerer and its chunk are free when the records of its last one were taken.
            if (under_way.size() == jobs) {
                if (auto done = take_first(); !done) return done;
            }
            more = fill(chunks[turn], reader_);
            under_way.push_back(pool.run([&chunk = chunks[turn], &answerer = *answerers_[turn]] {
                return answerer.records_of(chunk.rows, chunk.count);
            }));
        }
        while (!under_way.empty()) {
            if (auto done = take_first(); !done) return done;
        }
        if (!more) return fail(more.error());
        return {};
    }

    Result<void> take(Records records) {
        if (!records.all_found) all_found_ = false;
        if (auto written = out_.write(records.text); !written) return written;
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
