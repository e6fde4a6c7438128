// Positions of stations from a second table, found by key.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <tl/expected.hpp>
#include <vector>

#include "builder/inputs/header_names.hpp"
#include "builder/inputs/text_encoding.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

class StationPositions {
  public:
    struct Place {
        std::string lat;  ///< as in the table, like all texts here
        std::string lon;
        std::string elevation;
        std::string name;
        std::string country;
        std::int64_t line = 0;
        bool is_ambiguous = false;  ///< rows of this key are far apart
    };

    /// Reads the whole second table. Keys are compared without regard to the case of ASCII letters
    /// and to zeros before a number. Rows of one key within 5 km are one place, the first.
    /// Errors: io if there is no such file; bad_input for a missing column, or without any row.
    [[nodiscard]] static Result<StationPositions> read(const PositionsRecipe& recipe);

    /// Finds the key's columns in the header of the next file of stations.
    /// Errors (bad_input): a column that is not there.
    [[nodiscard]] Result<void> begin_file(const HeaderNames& header, const std::string& file);

    /// Of a row of stations; or the rule that it breaks.
    [[nodiscard]] tl::expected<const Place*, std::string> place_of(const CsvRow& row,
                                                                   const TextRecoder& recoder);
    /// The key of a row, as written, for messages.
    [[nodiscard]] std::string key_text(const CsvRow& row, const TextRecoder& recoder) const;

    /// Errors (bad_input): rows were looked for, and none had a position.
    [[nodiscard]] Result<void> check_found() const;

  private:
    explicit StationPositions(const PositionsRecipe& recipe) : recipe_(&recipe) {}

    const PositionsRecipe* recipe_;
    std::map<std::vector<std::string>, Place> places_;
    std::vector<int> columns_;
    std::string first_lost_;  ///< the first key without a position
    bool any_found_ = false;
};

}  // namespace thirstline
