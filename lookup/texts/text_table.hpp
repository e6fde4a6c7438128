// The table of all sentences and words of a plan, in English and Spanish: printed text, page and
// calendar. A key that is not in the table does not compile, and neither does a row without one of
// its languages or with other arguments in one than in the other.
//
// Spanish is that of irrigation handbooks for the United States and Latin America, with their
// number formats: a decimal point, commas between thousands, "50%" without a blank, "pulg" for
// inches. The terms are from memory of the Spanish edition of FAO-56 (evapotranspiración de
// referencia, agotamiento permisible, zona de raíces, lluvia efectiva), of extension leaflets on
// landscape irrigation (controlador, válvula, ciclo y remojo, uniformidad de distribución, tasa de
// precipitación, escurrimiento) and of Mexican handbooks (lámina de riego, tiempo de riego); none
// was checked word for word.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "lookup/texts/assumption_rows.hpp"
#include "lookup/texts/rule_rows.hpp"
#include "lookup/texts/schedule_rows.hpp"
#include "lookup/texts/site_rows.hpp"
#include "lookup/texts/text_row.hpp"
#include "lookup/texts/text_style.hpp"
#include "lookup/texts/word_rows.hpp"

namespace thirstline {
namespace plan_texts {

template <class... Rows>
consteval auto joined_rows(const Rows&... rows) {
    std::array<TextRow, (std::tuple_size_v<Rows> + ...)> all{};
    auto at = all.begin();
    ((at = std::copy(rows.begin(), rows.end(), at)), ...);
    return all;
}

/// The rows of all subjects.
inline constexpr auto kTexts =
    joined_rows(kWordRows, kSiteRows, kScheduleRows, kRuleRows, kAssumptionRows);

/// The arguments of a text, in order of the alphabet, each once.
struct ArgumentNames {
    std::array<std::string_view, 8> names{};
    std::size_t count = 0;
    friend constexpr bool operator==(const ArgumentNames&, const ArgumentNames&) = default;
};

constexpr ArgumentNames argument_names(std::string_view text) {
    ArgumentNames out;
    for (std::size_t open = text.find('{'); open != std::string_view::npos;
         open = text.find('{', open + 1)) {
        const std::string_view name = text.substr(open + 1, text.find('}', open) - open - 1);
        const auto end = out.names.begin() + out.count;
        if (std::find(out.names.begin(), end, name) != end) continue;
        out.names.at(out.count++) = name;
        std::sort(out.names.begin(), out.names.begin() + out.count);
    }
    return out;
}

constexpr bool is_complete(const TextRow& row) {
    return !row.key.empty() && !row.english.empty() && !row.spanish.empty() &&
           argument_names(row.english) == argument_names(row.spanish);
}

static_assert(std::all_of(kTexts.begin(), kTexts.end(), is_complete),
              "a row of the table lacks a language, or the languages have other arguments");

/// Not constexpr: a call stops the compiler.
void no_such_key();

}  // namespace plan_texts

/// A row of the table.
struct TextKey {
    std::uint16_t row = 0;
    friend constexpr bool operator==(const TextKey&, const TextKey&) = default;
};

namespace plan_texts {

/// A key as the argument of a template: each is sought once.
template <std::size_t Length>
struct KeyName {
    char text[Length]{};
    constexpr KeyName(const char (&key)[Length]) { std::copy(key, key + Length, text); }
};

constexpr TextKey key_named(std::string_view wanted) {
    const auto row = std::find_if(kTexts.begin(), kTexts.end(),
                                  [&](const TextRow& other) { return other.key == wanted; });
    if (row == kTexts.end()) no_such_key();
    return {static_cast<std::uint16_t>(row - kTexts.begin())};
}

template <KeyName Name>
inline constexpr TextKey kKeyOf = key_named(Name.text);

}  // namespace plan_texts

/// "caution.freezing"_text: found when compiled.
template <plan_texts::KeyName Name>
constexpr TextKey operator""_text() {
    return plan_texts::kKeyOf<Name>;
}

[[nodiscard]] std::string_view text_of(TextKey key, Language language);

}  // namespace thirstline
