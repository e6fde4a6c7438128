// Sentences before they are in a language: a key of the table with its arguments. A plan holds
// phrases; its output renders them in the reader's language and units.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "lookup/texts/text_style.hpp"
#include "lookup/texts/text_table.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

struct Argument;

class Phrase {
  public:
    Phrase() = default;  ///< empty
    /// A text that is the same in every language: a name, a number.
    Phrase(std::string verbatim);
    Phrase(const char*) = delete;  // words belong to the table
    Phrase(TextKey key);
    Phrase(TextKey key, std::initializer_list<Argument> arguments);

    /// "6.5 mm (0.26 in)", with the reader's unit first.
    [[nodiscard]] static Phrase in_both_units(Phrase metric, Phrase us);
    /// "a, b" or with another separator; the separator is the same in every language.
    [[nodiscard]] static Phrase joined(std::vector<Phrase> parts, std::string_view separator);
    /// "a, b and c"
    [[nodiscard]] static Phrase joined_with_and(std::vector<Phrase> parts);

    [[nodiscard]] bool empty() const;
    [[nodiscard]] std::string rendered(const TextStyle& style) const;

    friend bool operator==(const Phrase& a, const Phrase& b);

  private:
    enum class Kind : std::uint8_t { verbatim, of_table, in_both_units, joined, joined_with_and };

    Kind kind_ = Kind::verbatim;
    TextKey key_;
    std::string text_;  ///< verbatim, or the separator
    std::vector<Argument> arguments_;
};

/// The value of {name} in a text.
struct Argument {
    std::string_view name;  ///< a literal
    Phrase value;
    friend bool operator==(const Argument&, const Argument&) = default;
};

// Here, because a vector of arguments needs their complete type.
inline Phrase::Phrase(TextKey key) : kind_(Kind::of_table), key_(key) {}

[[nodiscard]] std::string rendered(const Phrase& phrase, const TextStyle& style);
[[nodiscard]] std::vector<std::string> rendered(const std::vector<Phrase>& phrases,
                                                const TextStyle& style);

/// In English, metric units first: for JSON, CSV and messages.
[[nodiscard]] std::string english(const Phrase& phrase);

/// "a, b and c", "a, b y c"
[[nodiscard]] std::string joined_with_and(const std::vector<std::string>& words, Language language);

/// Replaces the non-ASCII characters of the plan's own words by ASCII: "+-" for "±", "x" for "×",
/// and in Spanish "a" for "á" and "ni" for "ñ" ("ano" is not "año"). Other letters are not changed.
[[nodiscard]] std::string in_ascii(std::string text, Language language);

// --- Months and weekdays -------------------------------------------------------------------------

/// "July", index 0 to 11
[[nodiscard]] TextKey month_in_full(std::size_t month_index);
/// "Jul", for the heading of a column or a row
[[nodiscard]] TextKey month_label(std::size_t month_index);
/// "Jul" in a list or a range; in Spanish the whole name, because "mar" is also a Tuesday
[[nodiscard]] TextKey month_in_list(std::size_t month_index);
/// "Mon", "Monday", index 0 is Monday
[[nodiscard]] TextKey weekday_label(std::size_t weekday_index);
[[nodiscard]] TextKey weekday_name(std::size_t weekday_index);

/// "Jun, Jul and Sep"; empty for none.
template <class Predicate>
[[nodiscard]] Phrase months_phrase(Predicate predicate) {
    std::vector<Phrase> months;
    for (std::size_t month = 0; month < kMonths; ++month)
        if (predicate(month)) months.emplace_back(month_in_list(month));
    return Phrase::joined_with_and(std::move(months));
}

}  // namespace thirstline
