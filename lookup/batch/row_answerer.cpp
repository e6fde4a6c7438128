#include "lookup/batch/row_answerer.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "schema/answer/answer.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

Result<const std::string*> Periods::text(std::uint8_t id) {
    std::optional<std::string>& known = texts_[id];
    if (!known) known = TRY(database_.period(id));
    return &*known;
}

RowAnswerer::RowAnswerer(Database& database, SharedTiles& shared, const BatchColumns& columns,
                         std::unique_ptr<BatchWriter> writer)
    : database_(database),
      layout_(layers_to_answer(database.layout(), columns.elevation_m.has_value(),
                               writer->needs_years())),
      tiles_(database, shared),
      columns_(columns),
      periods_(database),
      writer_(std::move(writer)) {}

Records RowAnswerer::records_of(const std::vector<CsvRow>& rows, std::size_t count) {
    pending_.clear();
    named_places_.clear();
    spans_.assign(count, {});
    text_.clear();
    all_found_ = true;
    error_.reset();
    rows_before_error_ = count;
    for (std::size_t i = 0; i < count; ++i) take(rows[i], static_cast<std::uint32_t>(i));
    order_.sort(pending_);
    for (const PendingRow& pending : pending_) answer(rows[pending.row], pending);
    return in_order(count);
}

/// The record of a row without a place is made at once.
void RowAnswerer::take(const CsvRow& row, std::uint32_t index) {
    auto finding = site_of_row(row, columns_, database_);
    if (!finding) return note_error(index, std::move(finding.error()));
    const SiteQuery& query = finding->query;
    if (finding->miss) return append_miss(row, index, query, finding->miss->reason);
    PendingRow pending{.tile = main_tile_key(database_.lattices(), *query.position),
                       .row = index,
                       .named_place = std::nullopt,
                       .position = *query.position,
                       .elevation_m = query.elevation_m};
    if (query.postal) {
        pending.named_place = static_cast<std::uint32_t>(named_places_.size());
        named_places_.push_back(std::move(finding->query));
    }
    pending_.push_back(pending);
}

void RowAnswerer::answer(const CsvRow& row, const PendingRow& pending) {
    const auto answer =
        answer_at(pending.position, pending.elevation_m, database_.lattices(), layout_, tiles_);
    if (!answer) return note_error(pending.row, answer.error());
    const SiteQuery& query = query_of(pending);
    if (!answer->found) {
        return append_miss(row, pending.row, query,
                           no_data_near(pending.position, answer->reach_m).reason);
    }
    if (answer->exceeds_max_adjustment) {
        return append_miss(row, pending.row, query,
                           elevation_too_far(*answer, layout_, pending.elevation_m.value_or(0)));
    }
    const auto period = periods_.text(answer->period);
    if (!period) return note_error(pending.row, period.error());
    const std::size_t begin = text_.size();
    const auto appended =
        writer_->append_site(text_, id_of_row(row, columns_), query, *answer, **period);
    if (!appended) return append_miss(row, pending.row, query, appended.error().message);
    spans_[pending.row] = {begin, text_.size() - begin};
}

const SiteQuery& RowAnswerer::query_of(const PendingRow& pending) {
    if (pending.named_place) return named_places_[*pending.named_place];
    query_.position = pending.position;
    query_.elevation_m = pending.elevation_m;
    return query_;
}

void RowAnswerer::append_miss(const CsvRow& row, std::uint32_t index, const SiteQuery& query,
                              std::string_view reason) {
    const std::size_t begin = text_.size();
    writer_->append_miss(text_, id_of_row(row, columns_), query, reason);
    spans_[index] = {begin, text_.size() - begin};
    all_found_ = false;
}

void RowAnswerer::note_error(std::uint32_t index, Error error) {
    if (index >= rows_before_error_) return;
    rows_before_error_ = index;
    error_ = std::move(error);
}

/// The records in the order of their rows, up to the first error.
Records RowAnswerer::in_order(std::size_t count) {
    text_in_order_.clear();
    text_in_order_.reserve(text_.size());
    for (std::size_t i = 0; i < std::min(count, rows_before_error_); ++i)
        text_in_order_.append(text_, spans_[i].begin, spans_[i].length);
    return {text_in_order_, all_found_, std::move(error_)};
}

}  // namespace thirstline
