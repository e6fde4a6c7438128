// Positions of the columns that a recipe names in a table's rows.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "builder/inputs/header_names.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Counted from 0; −1 for columns that the recipe does not name, or that this file does not have.
struct StationColumns {
    struct OfVariable {
        int value = -1;  ///< by_month only
        int years = -1;
        int flag = -1;
    };
    int station = -1;
    int name = -1;
    int country = -1;
    int lat = -1;
    int lon = -1;
    int elevation = -1;
    int month = -1;         ///< by_month only
    Monthly<int> months{};  ///< wide only
    std::vector<OfVariable> variables;
};

/// Finds them in each file of a source. A file must have those of the station and the month. A file
/// may lack those of a variable, of which it then gives nothing; but some file must have them.
class StationHeaders {
  public:
    explicit StationHeaders(const StationRecipe& recipe);

    /// Errors (bad_input): a missing column; the message names the nearest.
    [[nodiscard]] Result<StationColumns> columns_of(const HeaderNames& header,
                                                    const std::string& file);

    /// After the last file. Errors (bad_input): a column that no file has.
    [[nodiscard]] Result<void> check_found() const;

    [[nodiscard]] std::int64_t files() const { return files_; }
    /// By variable of the recipe: files without its column of values.
    [[nodiscard]] std::vector<std::int64_t> files_without() const;

  private:
    /// A column that a file may lack.
    struct Optional {
        std::string name;
        std::int64_t files_with = 0;
        std::optional<Error> first_missing;
    };
    [[nodiscard]] Error error_of_missing(const std::string& name, const HeaderNames& header,
                                         const std::string& file) const;
    int find(Optional& column, const HeaderNames& header, const std::string& file);

    const StationRecipe& recipe_;
    std::int64_t files_ = 0;
    /// By variable: values, years, flags.
    std::vector<Optional> values_;
    std::vector<Optional> years_;
    std::vector<Optional> flags_;
};

}  // namespace thirstline
