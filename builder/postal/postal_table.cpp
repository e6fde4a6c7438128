#include "builder/postal/postal_table.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <optional>

#include "builder/inputs/header_names.hpp"
#include "builder/inputs/statistics.hpp"
#include "builder/inputs/table_fields.hpp"
#include "builder/inputs/table_rows.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "schema/database/postal_codes.hpp"

namespace thirstline {

namespace {

// If the places of one code, or two tables' positions, differ by more than this, they cannot all be
// right. The widest real codes of deserts and the far north are a few hundred kilometres across,
// but their own centroids are within some tens.
constexpr double kOddDistanceKm = 50.0;

/// The index of each field in a row; −1: absent.
struct PostalColumns {
    int code = -1;
    int lat = -1;
    int lon = -1;
    int place = -1;
    int country = -1;
};

// GeoNames: country, code, place, three pairs of administrative name and code, lat, lon, accuracy.
constexpr PostalColumns kGeonamesColumns{1, 9, 10, 2, 0};

Result<PostalColumns> columns_of(const HeaderNames& header, const PostalRecipe& recipe) {
    PostalColumns columns;
    struct NamedColumn {
        int* column;
        std::string name;
    };
    std::vector<NamedColumn> named;
    if (recipe.layout == PostalLayout::census_gazetteer) {
        named = {{&columns.code, "GEOID"}, {&columns.lat, "INTPTLAT"}, {&columns.lon, "INTPTLONG"}};
    } else {
        named = {{&columns.code, recipe.code_column},
                 {&columns.lat, recipe.lat_column},
                 {&columns.lon, recipe.lon_column},
                 {&columns.place, recipe.place_column},
                 {&columns.country, recipe.country_column}};
    }
    for (const NamedColumn& entry : named) {
        *entry.column = header.index_of(entry.name);
        if (*entry.column < 0 && !entry.name.empty())
            return fail(header.lacking(entry.name, file_name_of(recipe.path), recipe.where));
    }
    return columns;
}

TableFormat format_of(const PostalRecipe& recipe) {
    TableFormat format = recipe.format;
    format.quotes = recipe.layout == PostalLayout::csv;
    if (recipe.layout == PostalLayout::geonames) format.separator = '\t';
    // Tabs until the edition of 2024, "|" since that of 2025.
    if (recipe.layout == PostalLayout::census_gazetteer) format.separator = kSeparatorOfHeader;
    return format;
}

struct CodeKey {
    std::string code;
    std::string country;
    auto operator<=>(const CodeKey&) const = default;
};

struct PlacesOfCode {
    std::string place;
    std::vector<LatLon> positions;
    std::int64_t line = 0;
};

LatLon middle_of(const std::vector<LatLon>& positions) {
    std::vector<double> lats;
    std::vector<double> lons;
    for (const LatLon& position : positions) {
        lats.push_back(position.lat_deg);
        // Relative to the first place, so that places on both sides of 180° have a valid median.
        lons.push_back(normalised_lon_deg(position.lon_deg - positions.front().lon_deg));
    }
    return {median(lats), normalised_lon_deg(positions.front().lon_deg + median(lons))};
}

class PostalReading {
  public:
    PostalReading(const PostalRecipe& recipe, const UsedRegion& region, TextRecoder recoder,
                  SourceTally& tally)
        : recipe_(recipe),
          region_(region),
          file_(file_name_of(recipe.path)),
          recoder_(std::move(recoder)),
          tally_(tally) {}

    Result<std::map<CodeKey, PlacesOfCode>> read(std::int64_t& rows_read) {
        auto bytes = TRY(vsi_bytes(recipe_.path, recipe_.where));
        const TableFormat format = format_of(recipe_);
        if (recipe_.layout == PostalLayout::geonames) {
            TRY(take_rows(rows_without_header(file_, std::move(bytes), format), kGeonamesColumns));
        } else {
            TableRows table =
                TRY(open_table(file_, std::move(bytes), format, recoder_, recipe_.where));
            const auto columns = TRY(columns_of(HeaderNames(table.header, recoder_), recipe_));
            TRY(take_rows(std::move(table.reader), columns));
        }
        rows_read += rows_;
        if (codes_.empty()) {
            return fail(
                ErrorCode::bad_input,
                recipe_.where + ": " + file_ + " has no row that can be used as a postal code",
                "compare its columns and its layout with the recipe");
        }
        return std::move(codes_);
    }

    /// Rows whose position is in the region only with latitude and longitude exchanged.
    [[nodiscard]] std::int64_t impossible_unless_exchanged() const {
        return impossible_unless_exchanged_;
    }

    void report(std::int64_t line, const std::string& code, const std::string& value,
                const std::string& rule, const std::string& action) {
        tally_.reject(rule);
        Suspect suspect;
        suspect.source = "postal codes of " + recipe_.country;
        suspect.file = file_;
        suspect.line = line;
        suspect.variable = "postal code " + code;
        suspect.value = value;
        suspect.rule = rule;
        suspect.action = action;
        tally_.add_example(suspect);
    }

  private:
    Result<void> take_rows(CsvReader reader, const PostalColumns& columns) {
        CsvRow row;
        while (true) {
            const auto more = TRY(reader.next(row));
            if (!more) return {};
            ++rows_;
            take(row, columns);
        }
    }

    std::string field(const CsvRow& row, int column) const {
        return text_in(row, column, recoder_);
    }

    void take(const CsvRow& row, const PostalColumns& columns) {
        const std::string typed = field(row, columns.code);
        const auto refuse = [&](const std::string& value, const std::string& rule) {
            report(row.line(), typed, value, rule, "not used");
        };
        if (!row.problem().empty()) return refuse("", std::string(row.problem()));
        std::string country = recipe_.country;
        if (columns.country >= 0) {
            const auto own = normalised_country(field(row, columns.country));
            if (!own) return refuse(field(row, columns.country), "not a country code");
            if (recipe_.layout == PostalLayout::geonames && *own != country)
                return refuse(*own, "of another country than the recipe says");
            country = *own;
        }
        const auto code = normalised_postal_code(country, typed);
        if (!code) return refuse(typed, "not a postal code of " + country);
        const std::string lat_text = with_decimal_point(field(row, columns.lat), recipe_.format);
        const std::string lon_text = with_decimal_point(field(row, columns.lon), recipe_.format);
        const std::string position_text = lat_text + "," + lon_text;
        const auto position = position_in_fields(lat_text, lon_text);
        if (!position) {
            const auto exchanged = position_in_fields(lon_text, lat_text);
            if (exchanged && region_.contains(*exchanged)) ++impossible_unless_exchanged_;
            return refuse(position_text, position.error());
        }
        PlacesOfCode& places = codes_[{*code, country}];
        if (places.positions.empty()) {
            places.place = field(row, columns.place);
            places.line = row.line();
        } else if (std::find(places.positions.begin(), places.positions.end(), *position) !=
                   places.positions.end()) {
            if (region_.contains(*position))
                report(row.line(), typed, position_text, "repeated with the same position",
                       "counted once");
            return;
        }
        places.positions.push_back(*position);
    }

    const PostalRecipe& recipe_;
    const UsedRegion& region_;
    std::string file_;
    TextRecoder recoder_;
    SourceTally& tally_;
    std::int64_t rows_ = 0;
    std::int64_t impossible_unless_exchanged_ = 0;
    std::map<CodeKey, PlacesOfCode> codes_;
};

std::string kilometres(double km) {
    char text[32];
    std::snprintf(text, sizeof text, "%.0f km", km);
    return text;
}

}  // namespace

Result<PostalTable> read_postal_tables(const Recipe& recipe) {
    PostalTable table;
    std::map<CodeKey, PostalPlace> kept;
    const UsedRegion region = region_of_postal_codes(recipe);
    for (const PostalRecipe& postal : recipe.postal) {
        SourceTally tally;
        auto recoder = TRY(known_encoding(postal.format.encoding, postal.where));
        PostalReading reading(postal, region, std::move(recoder), tally);
        const auto codes = TRY(reading.read(table.rows_read));
        std::int64_t exchanged = 0;
        for (const auto& [key, places] : codes) {
            const LatLon middle = middle_of(places.positions);
            if (!region.contains(middle)) {
                ++tally.outside;
                if (region.contains_exchanged(middle)) ++exchanged;
                continue;
            }
            tally.used += static_cast<std::int64_t>(places.positions.size());
            double widest_km = 0.0;
            for (const LatLon& position : places.positions)
                widest_km = std::max(widest_km, great_circle_km(middle, position));
            if (widest_km > kOddDistanceKm) {
                reading.report(places.line, key.code, kilometres(widest_km),
                               "places of one code are far apart", "the middle one was used");
            }
            const auto earlier = kept.find(key);
            if (earlier == kept.end()) {
                kept[key] = {key.country, key.code, places.place, to_e7(middle)};
                continue;
            }
            if (earlier->second.place.empty()) earlier->second.place = places.place;
            const double km = great_circle_km(middle, to_degrees(earlier->second.position));
            if (km > kOddDistanceKm) {
                reading.report(places.line, key.code, kilometres(km),
                               "far from its position in an earlier table",
                               "the earlier table was used");
            }
        }
        if (tally.used == 0 &&
            (reading.impossible_unless_exchanged() > 0 || exchanged * 2 > tally.outside)) {
            return fail(ErrorCode::bad_input,
                        postal.where + ": no postal code of " + file_name_of(postal.path) + " is " +
                            region.text() +
                            ", but some would be with latitude and longitude exchanged",
                        "compare the columns lat and lon with the table");
        }
        table.tallies.push_back(std::move(tally));
    }
    table.places.reserve(kept.size());
    for (auto& [key, place] : kept) table.places.push_back(std::move(place));
    return table;
}

}  // namespace thirstline
