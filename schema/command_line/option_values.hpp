// The values that an option accepts, as data: the help lists them, other values are rejected when
// the arguments are parsed, and man pages and completions are generated from them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace thirstline {

/// The description is `lead`, the list of words and `about`: "output format: " + "text, json or
/// csv"
/// + "; default: text".
struct WordOption {
    const char* name;
    const char* lead;
    std::vector<std::string_view> words;
    std::string about;
    const char* type;  ///< "FORMAT"
    const char* group;
};
/// Rejects other words with "--format must be one of text, json, not "xml"".
CLI::Option* add_word_option(CLI::App& app, std::string& value, const WordOption& option);

/// Words for completion, where the option's own parser checks its value and also accepts other
/// values.
void offer_words(CLI::Option& option, const std::vector<std::string_view>& words);

/// Rejects other numbers with "--jobs must be a number from 1 to 256, not "0"".
void require_number(CLI::Option& option, std::int64_t least, std::int64_t greatest);

/// The words of an option declared by the functions above; empty for others.
[[nodiscard]] std::vector<std::string> words_of(const CLI::Option& option);

/// The name of the option's value in the help; empty for a flag.
[[nodiscard]] std::string type_of(const CLI::Option& option);

/// The program's help without CLI11's own notes on permitted values, with one blank line between
/// groups.
void use_plain_help(CLI::App& app);

}  // namespace thirstline
