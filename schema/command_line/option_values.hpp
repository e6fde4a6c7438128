// Values that an option may take, as data: the help lists them, a wrong one is refused when the
// arguments are read, and man pages and completions are made from them.
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

/// The description is the list of the words and then `about`: "text, json or csv" + "; default:
/// text".
struct WordOption {
    const char* name;
    std::vector<std::string_view> words;
    std::string about;
    const char* type;  ///< "FORM"
    const char* group;
};
/// Refuses other words with "--format must be one of text, json, not "xml"".
CLI::Option* add_word_option(CLI::App& app, std::string& value, const WordOption& option);

/// Words to offer where the option's own reader checks its value, which may be something else, too.
void offer_words(CLI::Option& option, const std::vector<std::string_view>& words);

/// Refuses other numbers with "--jobs must be a number from 1 to 256, not "0"".
void require_number(CLI::Option& option, std::int64_t least, std::int64_t greatest);

/// Of an option as declared by the functions above; empty for others.
[[nodiscard]] std::vector<std::string> words_of(const CLI::Option& option);

/// What the help calls the option's value; empty for a flag.
[[nodiscard]] std::string type_of(const CLI::Option& option);

/// Makes the program's help leave out CLI11's own notes on what a value may be.
void use_plain_help(CLI::App& app);

}  // namespace thirstline
