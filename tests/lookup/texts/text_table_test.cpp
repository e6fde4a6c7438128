#include "lookup/texts/text_table.hpp"

#include <gtest/gtest.h>

#include <cctype>
#include <set>
#include <string>

#include "lookup/texts/phrase.hpp"

namespace thirstline {
namespace {

using plan_texts::kTexts;

TEST(TextTable, HasEveryKeyOnce) {
    std::set<std::string_view> keys;
    for (const TextRow& row : kTexts) EXPECT_TRUE(keys.insert(row.key).second) << row.key;
}

// The same conditions stop the compiler; here a row is named.
TEST(TextTable, HasBothLanguagesWithTheSameArguments) {
    for (const TextRow& row : kTexts) {
        EXPECT_FALSE(row.english.empty()) << row.key;
        EXPECT_FALSE(row.spanish.empty()) << row.key;
        EXPECT_EQ(plan_texts::argument_names(row.english), plan_texts::argument_names(row.spanish))
            << row.key;
        EXPECT_TRUE(plan_texts::is_complete(row)) << row.key;
    }
    EXPECT_FALSE(plan_texts::is_complete({"key", "in {month}", ""}));
    EXPECT_FALSE(plan_texts::is_complete({"key", "in {month}", "en {mes}"}));
}

bool has_letters_of_words(std::string_view text) {
    std::size_t letters = 0;
    bool in_argument = false;
    for (const char c : text) {
        if (c == '{') in_argument = true;
        if (c == '}') in_argument = false;
        if (!in_argument && std::islower(static_cast<unsigned char>(c)) != 0) ++letters;
    }
    return letters > 8;
}

// Titles of publications and names of methods stay as they are.
TEST(TextTable, IsTranslated) {
    const std::set<std::string_view> kSameInBoth{"source.meyer", "site.equation.hargreaves"};
    for (const TextRow& row : kTexts) {
        if (!has_letters_of_words(row.english) || kSameInBoth.contains(row.key)) continue;
        EXPECT_NE(row.english, row.spanish) << row.key;
    }
}

TEST(TextTable, EndsSentencesAlikeInBothLanguages) {
    for (const TextRow& row : kTexts) {
        if (row.key.starts_with("column.")) continue;  // abbreviations
        EXPECT_EQ(row.english.ends_with('.'), row.spanish.ends_with('.')) << row.key;
        EXPECT_EQ(row.english.starts_with(' '), row.spanish.starts_with(' ')) << row.key;
    }
}

TEST(TextTable, FindsTheTextOfAKey) {
    EXPECT_EQ(text_of("heading.cautions"_text, Language::english), "Cautions");
    EXPECT_EQ(text_of("heading.cautions"_text, Language::spanish), "Precauciones");
}

}  // namespace
}  // namespace thirstline
