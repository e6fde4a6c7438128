#include "lookup/batch/batch_input.hpp"

#include <algorithm>
#include <string>
#include <utility>

#include "schema/base/words.hpp"
#include "schema/geo/coordinates.hpp"
#include "schema/text/plain_numbers.hpp"

namespace thirstline {
namespace {

constexpr std::string_view kHeaderHint =
    "the header must have lat and lon, or postal; id, country and elevation_m are optional";

std::optional<std::size_t>* column_named(BatchColumns& columns, std::string_view name) {
    if (name == "id") return &columns.id;
    if (name == "lat") return &columns.lat;
    if (name == "lon") return &columns.lon;
    if (name == "postal") return &columns.postal;
    if (name == "country") return &columns.country;
    if (name == "elevation_m") return &columns.elevation_m;
    return nullptr;
}

/// Empty if the table lacks the column.
std::string_view field(const CsvRow& row, const std::optional<std::size_t>& column) {
    return column ? row.field(*column) : std::string_view{};
}

SiteFinding missed(SiteQuery query, Error error) {
    return {std::move(query), Miss{std::move(error.message), std::move(error.hint)}};
}

/// Errors in the question are a miss; errors of the database end the run.
Result<SiteFinding> miss_or_error(SiteQuery query, Error error) {
    if (error.code != ErrorCode::usage) return fail(std::move(error));
    return missed(std::move(query), std::move(error));
}

}  // namespace

Result<BatchColumns> batch_columns(const CsvRow& header, std::string_view name) {
    const std::string where = std::string(name) + ":" + std::to_string(header.line());
    if (!header.problem().empty()) {
        return fail(ErrorCode::bad_input, where + ": " + std::string(header.problem()));
    }
    BatchColumns columns;
    columns.width = header.size();
    for (std::size_t i = 0; i < header.size(); ++i) {
        std::optional<std::size_t>* column = column_named(columns, ascii_lower(header.field(i)));
        if (column == nullptr) continue;
        if (*column) {
            return fail(ErrorCode::bad_input,
                        where + ": the column " + in_quotes(header.field(i)) + " is given twice");
        }
        *column = i;
    }
    if (columns.lat.has_value() != columns.lon.has_value()) {
        return fail(
            ErrorCode::bad_input,
            where + ": the header lacks the column " + (columns.lat ? "\"lon\"" : "\"lat\""),
            std::string(kHeaderHint));
    }
    if (!columns.lat && !columns.postal) {
        const bool has_other_separator =
            header.size() == 1 && header.field(0).find_first_of(";\t") != std::string_view::npos;
        return fail(ErrorCode::bad_input,
                    where + ": the header must have lat and lon, or postal and country",
                    has_other_separator ? "separate the columns by commas"
                                        : "id, country and elevation_m are optional");
    }
    return columns;
}

std::optional<std::string_view> id_of_row(const CsvRow& row, const BatchColumns& columns) {
    const std::string_view id = field(row, columns.id);
    if (id.empty()) return std::nullopt;
    return id;
}

Result<SiteFinding> site_of_row(const CsvRow& row, const BatchColumns& columns,
                                Database& database) {
    const auto malformed = [](std::string reason) {
        return missed({}, Error{ErrorCode::usage, std::move(reason), ""});
    };
    if (!row.problem().empty()) return malformed(std::string(row.problem()));
    // Not tolerated: a decimal comma splits one field into two, and gives a wrong position.
    if (row.size() != columns.width) {
        return malformed("the row must have " + std::to_string(columns.width) +
                         " fields like the header, not " + std::to_string(row.size()));
    }
    std::optional<std::int32_t> elevation_m;
    if (const auto text = field(row, columns.elevation_m); !text.empty()) {
        auto parsed = parse_elevation_m(text);
        if (!parsed) return missed({}, std::move(parsed.error()));
        elevation_m = *parsed;
    }
    const std::string_view lat = field(row, columns.lat);
    const std::string_view lon = field(row, columns.lon);
    const std::string_view postal = field(row, columns.postal);
    SiteFinding finding;
    if (!lat.empty() || !lon.empty()) {
        auto position = parse_position(lat, lon);
        if (!position) return missed({}, std::move(position.error()));
        finding.query.position = *position;
    } else if (!postal.empty()) {
        auto found = find_postal_code(database, postal, field(row, columns.country));
        if (!found) {
            SiteQuery query;
            query.postal = std::string(postal);
            return miss_or_error(std::move(query), std::move(found.error()));
        }
        finding = std::move(*found);
    } else {
        return malformed("the row names no site");
    }
    finding.query.elevation_m = elevation_m;
    return finding;
}

}  // namespace thirstline
