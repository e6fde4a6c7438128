// Compares sources with one another, to find errors of a whole source that no single value shows: a
// scale or a unit different from the one stated, or months in another order.
//
// Amounts (rain, wind, humidity, radiation, sunshine, ETo) are compared by their ratio over the
// year, temperatures by their difference; both by the median over the places that the sources
// share. A source is rejected
//   where the median ratio is beyond 3, at 10 places or more;
//   where it is within 16 % of a common mistake beyond 3 (10, 100, 1000, 25.4, the days of a
//   month),
//       and the places agree on it, at 3 places or more;
//   where temperatures fit the other source better, by 8 °C, as °F, as tenths or in kelvin, or
//       differ by more than 15 °C at 10 places or more;
//   where one month's median ratio to the rest of the year is beyond 3, at 10 places or more;
//   where shifting the months makes the median misfit less than 0.4 of what it is, and that is more
//       than 3 °C or a third of the rain, at 10 places or more.
// Dry months do not give a scale: rain is used if the other source has at least 10 mm in the month.
// The limits are our own: sources of one place and variable differ by less than a factor of 2 at
// the median in all open data that were tried.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "builder/grids/variables_and_units.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Both in the unit of computation; NaN if unknown.
struct ComparedYears {
    Monthly<double> own{};
    Monthly<double> other{};
};

/// Keys of a source in a recipe that correct how it is read.
struct SourceKeys {
    std::string unit;    ///< empty: as it is
    double scale = 1.0;  ///< 1: as it is
};

/// The error, in words for a message.
struct SourceMismatch {
    std::string finding;  ///< "100 times", "out of season with": then the other source
    std::string cause;    ///< "its values are probably in hundredths"; may be empty
    SourceKeys remedy;
    SourceKeys remedy_of_other;  ///< if the other source is the wrong one
    std::size_t places = 0;
};

/// Nothing if the two agree or share too few places. `unit` is the one that the recipe states for
/// the first.
[[nodiscard]] std::optional<SourceMismatch> mismatch_of(Variable variable, std::string_view unit,
                                                        std::span<const ComparedYears> places);

/// A source in messages: its line in the recipe, its table and its name.
struct NamedSource {
    std::string where;
    std::string table;  ///< "grid" or "stations"
    std::string name;
    bool by_variable = false;  ///< whether its keys name the variable: units = { rain = "mm" }
    double scale = 1.0;        ///< what its numbers are multiplied by now, before their unit …
    double offset = 0.0;       ///< … and what is added
    bool is_scale_of_file = false;  ///< whether the file states these two, not the recipe
};

/// The error (bad_input) that rejects the first source, with the keys that correct it.
[[nodiscard]] Error mismatch_error(const SourceMismatch& mismatch, Variable variable,
                                   const NamedSource& source, const NamedSource& other);

/// More rain than at any place: more than 5 % of at least 20 places have over 13 m a year (the
/// rainiest places known have 12). mm by month.
[[nodiscard]] bool has_impossible_rain(std::span<const Monthly<double>> rain_mm);

}  // namespace thirstline
