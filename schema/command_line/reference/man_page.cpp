#include "schema/command_line/reference/man_page.hpp"

#include <array>
#include <utility>

#include "schema/base/words.hpp"

namespace thirstline {

namespace {

std::string bold(std::string_view text) {
    return "\\fB" + roff_text(text) + "\\fR";
}

std::string italic(std::string_view text) {
    return "\\fI" + roff_text(text) + "\\fR";
}

std::string heading_of(const OptionOutline& option) {
    std::string heading;
    for (const std::string& name : option.names) add_word(heading, bold(name));
    if (!option.value.empty()) heading += (heading.empty() ? "" : " ") + italic(option.value);
    return heading + (option.repeats ? " ..." : "");
}

std::string entries(const std::vector<OptionOutline>& options) {
    std::string out;
    for (const OptionOutline& option : options) {
        out += ".TP\n" + heading_of(option) + "\n" + roff_text(option.description) +
               (option.is_required && !option.names.empty() ? " (required)" : "") + "\n";
    }
    return out;
}

/// "thirstline-builder build RECIPE -o OUT.sqlite [options]"
std::string synopsis_of(const ProgramOutline& program, const CommandOutline& command) {
    std::string out = bold(program.name) + " " + bold(command.name);
    for (const OptionOutline& argument : command.arguments) {
        const std::string heading = heading_of(argument);
        out += " " + (argument.is_required ? heading : "[" + heading + "]");
    }
    for (const OptionOutline& option : command.options) {
        if (!option.is_required) continue;
        out += " " + bold(option.names.front()) + " " + italic(option.value);
    }
    return out + " [" + italic("options") + "]";
}

std::string section_of(const ProgramOutline& program, const CommandOutline& command) {
    std::string out = ".SS " + roff_text(command.name) + "\n" + roff_text(command.purpose) +
                      ".\n.PP\n" + synopsis_of(program, command) + "\n";
    out += entries(command.arguments) + entries(command.options);
    if (!command.notes.empty()) out += ".PP\n" + roff_text(command.notes) + "\n";
    if (command.examples.empty()) return out;
    out += ".PP\nExamples:\n.PP\n.RS 4\n.nf\n";
    for (const std::string& example : command.examples) out += roff_text(example) + "\n";
    return out + ".fi\n.RE\n";
}

std::string synopsis(const ProgramOutline& program) {
    std::string out;
    for (const CommandOutline& command : program.commands)
        out += (out.empty() ? "" : ".br\n") + synopsis_of(program, command) + "\n";
    return out;
}

std::string command_sections(const ProgramOutline& program) {
    std::string out;
    for (const CommandOutline& command : program.commands) out += section_of(program, command);
    return out;
}

std::string exit_statuses(const ProgramOutline& program) {
    std::string out;
    for (const auto& [status, meaning] : program.exit_statuses)
        out += ".TP\n" + bold(status) + "\n" + roff_text(meaning) + "\n";
    return out;
}

}  // namespace

std::string roff_text(std::string_view text) {
    std::string out;
    bool starts_line = true;
    for (const char c : text) {
        if (starts_line && (c == '.' || c == '\'')) out += "\\&";
        if (c == '-') {
            out += "\\-";
        } else if (c == '\\') {
            out += "\\e";
        } else if (c == '\'') {
            out += "\\(aq";
        } else {
            out += c;
        }
        starts_line = c == '\n';
    }
    return out;
}

Result<std::string> man_page(const ProgramOutline& program, std::string frame) {
    const std::array<std::pair<std::string, std::string>, 5> parts{{
        {"@VERSION@", program.version},
        {"@SYNOPSIS@\n", synopsis(program)},
        {"@OPTIONS@\n", entries(program.options)},
        {"@COMMANDS@\n", command_sections(program)},
        {"@EXIT_STATUS@\n", exit_statuses(program)},
    }};
    for (const auto& [mark, text] : parts) {
        const std::size_t at = frame.find(mark);
        if (at == std::string::npos) {
            return fail(ErrorCode::bad_input, "the frame of " + program.name +
                                                  "'s man page lacks the mark " +
                                                  mark.substr(0, mark.find('\n')));
        }
        frame.replace(at, mark.size(), text);
    }
    return frame;
}

}  // namespace thirstline
