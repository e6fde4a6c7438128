// Record length of a normal, from its table and source.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "builder/recipe/flag_meanings.hpp"
#include "builder/stations/station.hpp"

namespace thirstline {

/// From the number of years of the value: 24 of a normal's thirty, 80 % (WMO-No. 1203, second
/// hand), make a standard normal.
[[nodiscard]] RecordLength length_of_years(double years);

/// Of two months' lengths by their flags, the shorter record; a flag that says nothing changes
/// nothing.
[[nodiscard]] RecordLength shorter_by_flag(RecordLength so_far, RecordLength by_flag);

/// From the period of a source: "typical" or "TMY" in it, in any case, is a typical year; a first
/// and last year, as in "2006-2020", give a short record if the period is short; otherwise the
/// period gives no information about a single station.
[[nodiscard]] RecordLength length_of_period(std::string_view period);

/// What the completeness flags of one source mean.
class FlagReading {
  public:
    /// Without a statement in the recipe, U.S. notation (flag_meanings.hpp).
    explicit FlagReading(const std::optional<FlagMeanings>& stated);

    /// Nothing for a flag without a meaning.
    [[nodiscard]] std::optional<RecordLength> length_of(std::string_view flag);

    /// If the recipe does not state the notation, and a flag was read that is not in it, the others
    /// are not in that notation either: their lengths become what the period says.
    void drop_doubtful(std::vector<Station>& stations, std::string_view period) const;

  private:
    bool is_stated_;
    bool has_unknown_ = false;
    FlagMeanings meanings_;
};

}  // namespace thirstline
