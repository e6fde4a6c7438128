// A program's options and commands as plain values, read from CLI11's model of the program. The
// only source of its man page and its shell completions.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace CLI {
class App;
}

namespace thirstline {

/// The kind of an option's argument, as far as a shell can complete it.
enum class ArgumentKind {
    none,    ///< it is a flag
    word,    ///< one of a few words
    file,    ///< a file's name
    folder,  ///< a folder's name
    other,   ///< a number, a place …
};

struct OptionOutline {
    std::vector<std::string> names;  ///< "-o", "--output"; empty for an argument
    std::string value;               ///< "FILE.csv"; empty for a flag
    std::string description;
    ArgumentKind kind = ArgumentKind::none;
    std::vector<std::string> words;  ///< if the kind is word
    bool is_required = false;
    bool repeats = false;
};

struct CommandOutline {
    std::string name;
    std::string purpose;
    std::vector<OptionOutline> options;
    std::vector<OptionOutline> arguments;
    std::string notes;  ///< paragraphs; may be empty
    std::vector<std::string> examples;
};

struct ProgramOutline {
    std::string name;
    std::string purpose;
    std::string version;                 ///< "0.1.0"
    std::vector<OptionOutline> options;  ///< options that precede a command
    std::vector<CommandOutline> commands;
    std::vector<std::pair<std::string, std::string>> exit_statuses;  ///< "2", "usage"
};

/// `app` as declare_program sets it up.
[[nodiscard]] ProgramOutline program_outline(const CLI::App& app);

}  // namespace thirstline
