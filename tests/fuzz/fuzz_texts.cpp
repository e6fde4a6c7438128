// Texts from users and tables: coordinates, postal codes, CSV, zone files.
#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "lookup/zone_file/zone_file.hpp"
#include "schema/database/postal_codes.hpp"
#include "schema/files/csv_rows.hpp"
#include "schema/geo/coordinates.hpp"
#include "tests/fuzz/fuzz_targets.hpp"
#include "tests/fuzz/memory_file.hpp"

namespace thirstline::fuzz {

namespace {

std::string_view text_of(Bytes bytes) {
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

void require_on_earth(const Result<LatLonE7>& position) {
    if (!position) {
        require(position.error().code == ErrorCode::usage && !position.error().message.empty());
        return;
    }
    require(position->lat_e7 >= -900'000'000 && position->lat_e7 <= 900'000'000);
    require(position->lon_e7 >= -1'800'000'000 && position->lon_e7 < 1'800'000'000);
}

using Rows = std::vector<std::vector<std::string>>;

/// The valid rows of a text; the reader gets `step` bytes at a time.
Rows rows_of(std::string_view text, CsvDialect dialect, std::size_t step) {
    CsvReader reader = CsvReader::over(
        "table",
        [text, step](char* buffer, std::size_t capacity) mutable -> Result<std::size_t> {
            const std::size_t count = std::min({capacity, step, text.size()});
            text.copy(buffer, count);
            text.remove_prefix(count);
            return count;
        },
        dialect);
    Rows rows;
    CsvRow row;
    std::int64_t line = 0;
    while (reader.next(row).value()) {
        require(row.line() > line);
        line = row.line();
        if (!row.problem().empty()) continue;
        rows.emplace_back();
        for (std::size_t i = 0; i < row.size(); ++i) rows.back().emplace_back(row.field(i));
    }
    return rows;
}

}  // namespace

void coordinates(Bytes bytes) {
    const std::string_view text = text_of(bytes);
    require_on_earth(parse_position(text));
    const std::size_t comma = std::min(text.find(','), text.size());
    require_on_earth(parse_position(text.substr(0, comma), text.substr(comma)));
}

void postal_codes(Bytes bytes) {
    const std::string_view text = text_of(bytes);
    const std::string_view code = text.substr(std::min<std::size_t>(2, text.size()));
    const auto country = normalised_country(text.substr(0, 2));
    if (country) {
        require(normalised_country(*country).value_or("") == *country);
        const auto normal = normalised_postal_code(*country, code);
        if (normal) {
            require(!normal->empty());
            require(normalised_postal_code(*country, *normal).value_or("") == *normal);
        }
    }
    const auto possible = possible_postal_codes(code);
    if (possible) require(!possible->empty());
}

/// The rows do not depend on how the bytes are split; written and read again they are unchanged.
void csv(Bytes bytes) {
    if (bytes.empty()) return;
    const CsvDialect dialect{(bytes[0] & 1U) != 0 ? '\t' : ',', (bytes[0] & 2U) == 0};
    const std::string_view text = text_of(bytes.subspan(1));
    const Rows rows = rows_of(text, dialect, 65536);
    require(rows == rows_of(text, dialect, 1 + bytes[0] / 4U));
    std::string written;
    for (const auto& row : rows) {
        for (std::size_t i = 0; i < row.size(); ++i) {
            if (i > 0) written += ',';
            append_csv_field(written, row[i]);
        }
        written += '\n';
    }
    const Rows again = rows_of(written, {}, 65536);
    for (const auto& row : again) {
        for (const std::string& field : row) {
            std::string defused;
            append_csv_text(defused, field);
            require(defused.find_first_of("=+-@\t\r") != 0 || field.find_first_of("+-") == 0);
        }
    }
}

void zone_file(Bytes bytes) {
    const MemoryFile file(bytes);
    const auto zones = read_zone_file(file.path());
    if (!zones) require(!zones.error().message.empty());
}

}  // namespace thirstline::fuzz
