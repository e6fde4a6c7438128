#include "schema/command_line/reference/shell_completions.hpp"

#include <algorithm>
#include <string_view>

#include "schema/base/words.hpp"

namespace thirstline {

namespace {

std::string names_of(const std::vector<OptionOutline>& options) {
    std::vector<std::string> names;
    for (const OptionOutline& option : options)
        names.insert(names.end(), option.names.begin(), option.names.end());
    return joined(names, " ");
}

std::string names_of(const std::vector<CommandOutline>& commands, std::string_view by) {
    std::vector<std::string> names;
    for (const CommandOutline& command : commands) names.push_back(command.name);
    return joined(names, by);
}

/// A valid name for a shell function.
std::string function_name(const std::string& program) {
    std::string name = "_" + program;
    std::replace(name.begin(), name.end(), '-', '_');
    return name;
}

/// A backslash before each of the given characters.
std::string escaped(const std::string& text, std::string_view characters) {
    std::string out;
    for (const char c : text) {
        if (characters.find(c) != std::string_view::npos) out += '\\';
        out += c;
    }
    return out;
}

/// In the shell's single quotes.
std::string single_quoted(const std::string& text) {
    std::string out = "'";
    for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
    return out + "'";
}

bool takes_files(const std::vector<OptionOutline>& arguments) {
    return std::any_of(arguments.begin(), arguments.end(), [](const OptionOutline& argument) {
        return argument.kind == ArgumentKind::file || argument.kind == ArgumentKind::folder;
    });
}

/// Words separated as a shell splits them: a backslash before each blank.
std::string separated_words(const OptionOutline& option) {
    std::vector<std::string> words;
    for (const std::string& word : option.words) words.push_back(escaped(word, " \\"));
    return joined(words, " ");
}

std::string bash_values(const OptionOutline& option) {
    switch (option.kind) {
        case ArgumentKind::word:
            return "words='" + separated_words(option) + "'";
        case ArgumentKind::file:
            return "compopt -o default; return";
        case ArgumentKind::folder:
            return "compopt -o dirnames; return";
        case ArgumentKind::none:
        case ArgumentKind::other:
            break;
    }
    return "return";
}

std::string bash_value_cases(const std::string& command,
                             const std::vector<OptionOutline>& options) {
    std::string out;
    for (const OptionOutline& option : options) {
        if (option.kind == ArgumentKind::none) continue;
        std::vector<std::string> patterns;
        for (const std::string& name : option.names) patterns.push_back(command + ":" + name);
        out += "        " + joined(patterns, "|") + ") " + bash_values(option) + " ;;\n";
    }
    return out;
}

std::string zsh_values(const OptionOutline& option) {
    switch (option.kind) {
        case ArgumentKind::word:
            return "(" + separated_words(option) + ")";
        case ArgumentKind::file:
            return "_files";
        case ArgumentKind::folder:
            return "_files -/";
        case ArgumentKind::none:
        case ArgumentKind::other:
            break;
    }
    return " ";
}

/// One line per spelling, as _arguments takes it: --format[…]:FORM:(text json).
std::string zsh_specs(const std::vector<OptionOutline>& options, const std::string& indent) {
    std::string out;
    for (const OptionOutline& option : options) {
        for (const std::string& name : option.names) {
            std::string others =
                option.names.size() > 1 ? "(" + joined(option.names, " ") + ")" : "";
            std::string spec = name + "[" + escaped(option.description, "[]\\:") + "]";
            if (option.kind != ArgumentKind::none)
                spec += ":" + escaped(option.value, ":") + ":" + zsh_values(option);
            out += " \\\n" + indent + single_quoted(others + spec);
        }
    }
    return out;
}

std::string zsh_arguments(const std::vector<OptionOutline>& arguments, const std::string& indent) {
    std::string out;
    for (const OptionOutline& argument : arguments) {
        out += " \\\n" + indent +
               single_quoted((argument.repeats ? "*:" : ":") + escaped(argument.value, ":") + ":" +
                             zsh_values(argument));
    }
    return out;
}

std::string fish_option(const std::string& start, const OptionOutline& option) {
    std::string out = start;
    for (const std::string& name : option.names)
        out += name.compare(0, 2, "--") == 0 ? " -l " + name.substr(2) : " -s " + name.substr(1);
    switch (option.kind) {
        case ArgumentKind::none:
            break;
        case ArgumentKind::word:
            out += " -x -a '" + escaped(separated_words(option), "\\") + "'";
            break;
        case ArgumentKind::file:
            out += " -r -F";
            break;
        case ArgumentKind::folder:
            out += " -x -a '(__fish_complete_directories)'";
            break;
        case ArgumentKind::other:
            out += " -x";
            break;
    }
    // Within single quotes, fish accepts a backslash before a quote or a backslash.
    return out + " -d '" + escaped(option.description, "'\\") + "'\n";
}

}  // namespace

std::string bash_completion(const ProgramOutline& program) {
    const std::string function = function_name(program.name);
    std::string out = "# bash completion of " + program.name + " " + program.version + "\n" +
                      function + "() {\n" +
                      "    local current=${COMP_WORDS[COMP_CWORD]}\n"
                      "    local previous=${COMP_WORDS[COMP_CWORD-1]}\n"
                      "    local command= words= i\n"
                      "    COMPREPLY=()\n"
                      "    # --format=json comes as three words.\n"
                      "    if [[ $current == = ]]; then\n"
                      "        current=\n"
                      "    elif [[ $previous == = ]] && ((COMP_CWORD > 1)); then\n"
                      "        previous=${COMP_WORDS[COMP_CWORD-2]}\n"
                      "    fi\n"
                      "    for ((i = 1; i < COMP_CWORD; ++i)); do\n"
                      "        case ${COMP_WORDS[i]} in\n"
                      "            " +
                      names_of(program.commands, "|") +
                      ") command=${COMP_WORDS[i]}; break ;;\n"
                      "        esac\n"
                      "    done\n"
                      "    case $command:$previous in\n" +
                      bash_value_cases("", program.options);
    for (const CommandOutline& command : program.commands)
        out += bash_value_cases(command.name, command.options);
    out += "        *)\n            case $command in\n";
    for (const CommandOutline& command : program.commands) {
        out += "                " + command.name + ") ";
        if (takes_files(command.arguments))
            out += "[[ $current == -* ]] || { compopt -o default; return; }; ";
        out += "words='" + names_of(command.options) + "' ;;\n";
    }
    out += "                *) words='" + names_of(program.commands, " ") + " " +
           names_of(program.options) +
           "' ;;\n"
           "            esac\n"
           "            ;;\n"
           "    esac\n"
           "    mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$current\")\n"
           "    for i in \"${!COMPREPLY[@]}\"; do\n"
           "        printf -v \"COMPREPLY[$i]\" %q \"${COMPREPLY[$i]}\"\n"
           "    done\n"
           "}\n"
           "complete -F " +
           function + " " + program.name + "\n";
    return out;
}

std::string zsh_completion(const ProgramOutline& program) {
    const std::string function = "_" + program.name;  // the file's own name
    std::string out = "#compdef " + program.name + "\n# zsh completion of " + program.name + " " +
                      program.version + "\n" + function +
                      "() {\n"
                      "    local context state state_descr line\n"
                      "    typeset -A opt_args\n"
                      "    local -a commands\n"
                      "    commands=(\n";
    for (const CommandOutline& command : program.commands) {
        out +=
            "        " + single_quoted(command.name + ":" + escaped(command.purpose, ":\\")) + "\n";
    }
    out += "    )\n    _arguments -C" + zsh_specs(program.options, "        ") +
           " \\\n        '1:command:->command' '*::arguments:->arguments'\n"
           "    case $state in\n"
           "        command) _describe -t commands command commands ;;\n"
           "        arguments)\n"
           "            case $words[1] in\n";
    for (const CommandOutline& command : program.commands) {
        const std::string indent = "                        ";
        out += "                " + command.name + ")\n                    _arguments" +
               zsh_specs(command.options, indent) + zsh_arguments(command.arguments, indent) +
               "\n                    ;;\n";
    }
    return out +
           "            esac\n"
           "            ;;\n"
           "    esac\n"
           "}\n" +
           "# Loaded by its file's name it runs at once; read by source it only becomes known.\n"
           "if [[ $funcstack[1] == " +
           function + " ]]; then\n    " + function + " \"$@\"\nelse\n    compdef " + function +
           " " + program.name + "\nfi\n";
}

std::string fish_completion(const ProgramOutline& program) {
    const std::string start = "complete -c " + program.name;
    const std::string names = names_of(program.commands, " ");
    std::string out =
        "# fish completion of " + program.name + " " + program.version + "\n" + start + " -f\n";
    const std::string before = start + " -n 'not __fish_seen_subcommand_from " + names + "'";
    for (const CommandOutline& command : program.commands)
        out += before + " -a " + command.name + " -d '" + escaped(command.purpose, "'\\") + "'\n";
    for (const OptionOutline& option : program.options) out += fish_option(before, option);
    for (const CommandOutline& command : program.commands) {
        const std::string within = start + " -n '__fish_seen_subcommand_from " + command.name + "'";
        if (takes_files(command.arguments)) out += within + " -F\n";
        for (const OptionOutline& option : command.options) out += fish_option(within, option);
    }
    return out;
}

}  // namespace thirstline
