#include "builder/export/postal_list.hpp"

#include <map>
#include <utility>

#include "builder/inputs/table_fields.hpp"
#include "schema/base/words.hpp"
#include "schema/database/postal_codes.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

namespace {

class PostalListReading {
  public:
    PostalListReading(std::string path, Database& database)
        : path_(std::move(path)), database_(database) {}

    Result<std::vector<PostalPlace>> places() {
        auto reader = TRY(CsvReader::open(path_));
        CsvRow row;
        while (true) {
            const auto more = TRY(reader.next(row));
            if (!more) break;
            if (!row.problem().empty())
                return fail(ErrorCode::bad_input, where(row) + std::string(row.problem()));
            if (is_first_ && is_header(row)) continue;
            is_first_ = false;
            TRY(take(row));
        }
        if (places_.empty()) return fail(ErrorCode::bad_input, path_ + " lists no postal code");
        std::vector<PostalPlace> places;
        places.reserve(places_.size());
        for (auto& [key, place] : places_) places.push_back(std::move(place));
        return places;
    }

  private:
    std::string where(const CsvRow& row) const {
        return path_ + ":" + std::to_string(row.line()) + ": ";
    }

    bool is_header(const CsvRow& row) {
        for (std::size_t i = 0; i < row.size(); ++i) {
            const std::string name = trimmed_field(row.field(i));
            if (name == "postal") {
                postal_column_ = i;
                is_first_ = false;
            } else if (name == "country") {
                country_column_ = i;
            }
        }
        if (is_first_) country_column_ = kNoColumn;
        return !is_first_;
    }

    Result<void> take(const CsvRow& row) {
        const std::string code = trimmed_field(row.field(postal_column_));
        const std::string country = country_column_ == kNoColumn
                                        ? std::string()
                                        : trimmed_field(row.field(country_column_));
        if (code.empty()) return fail(ErrorCode::bad_input, where(row) + "no postal code");
        auto found = found_places(code, country);
        if (!found) {
            Error error = found.error();
            error.message = where(row) + error.message;
            return fail(std::move(error));
        }
        if (found->empty()) {
            return fail(ErrorCode::no_data,
                        where(row) + database_.path() + " has no postal code " + code +
                            (country.empty() ? "" : " of " + country),
                        lost_zero_hint(code));
        }
        if (found->size() > 1) {
            std::string countries;
            for (const PostalPlace& place : *found) add_word(countries, place.country);
            return fail(
                ErrorCode::usage,
                where(row) + "postal code " + code + " exists in several countries: " + countries,
                "give the list a header \"postal,country\" and name the country");
        }
        PostalPlace& place = found->front();
        places_.emplace(std::pair(place.code, place.country), std::move(place));
        return {};
    }

    Result<std::vector<PostalPlace>> found_places(const std::string& code,
                                                  const std::string& country) {
        if (country.empty()) return places_meant_by(database_, code);
        const auto normal_country = TRY(normalised_country(country));
        const auto normal_code = TRY(normalised_postal_code(normal_country, code));
        auto places = TRY(database_.postal_places(normal_code));
        std::erase_if(places,
                      [&](const PostalPlace& place) { return place.country != normal_country; });
        return places;
    }

    static constexpr std::size_t kNoColumn = static_cast<std::size_t>(-1);

    std::string path_;
    Database& database_;
    bool is_first_ = true;
    std::size_t postal_column_ = 0;
    std::size_t country_column_ = kNoColumn;
    std::map<std::pair<std::string, std::string>, PostalPlace> places_;
};

}  // namespace

Result<std::vector<PostalPlace>> read_postal_list(const std::string& path, Database& database) {
    return PostalListReading(path, database).places();
}

}  // namespace thirstline
