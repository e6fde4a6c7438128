// What a program's options and commands are, as plain values read from CLI11's own model of it: the
// one source of its man page and of its shells' completions.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace CLI {
class App;
}

namespace thirstline {

/// What follows an option, as far as a shell can help with it.
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
    std::vector<OptionOutline> options;  ///< that stand before a command
    std::vector<CommandOutline> commands;
    std::vector<std::pair<std::string, std::string>> exit_statuses;  ///< "2", "usage"
};

/// `app` as declare_program makes it.
[[nodiscard]] ProgramOutline program_outline(const CLI::App& app);

}  // namespace thirstline
