#include "schema/command_line/reference/program_outline.hpp"

#include <CLI/App.hpp>
#include <regex>
#include <sstream>

#include "schema/base/version.hpp"
#include "schema/command_line/option_values.hpp"

namespace thirstline {

namespace {

bool contains_any(const std::string& text, std::initializer_list<std::string_view> parts) {
    for (const std::string_view part : parts)
        if (text.find(part) != std::string::npos) return true;
    return false;
}

ArgumentKind kind_of(const OptionOutline& option) {
    if (option.value.empty()) return ArgumentKind::none;
    if (!option.words.empty()) return ArgumentKind::word;
    if (contains_any(option.value, {"FILE", "DB", "RECIPE", "OUT"})) return ArgumentKind::file;
    if (contains_any(option.value, {"DIR", "FOLDER"})) return ArgumentKind::folder;
    return ArgumentKind::other;
}

OptionOutline option_outline(const CLI::Option& option) {
    OptionOutline outline;
    for (const std::string& name : option.get_snames()) outline.names.push_back("-" + name);
    for (const std::string& name : option.get_lnames()) outline.names.push_back("--" + name);
    outline.description = option.get_description();
    outline.is_required = option.get_required();
    if (option.get_items_expected_max() > 0) {
        outline.value = type_of(option);
        outline.repeats = option.get_expected_max() > 1;
        outline.words = words_of(option);
    }
    outline.kind = kind_of(outline);
    return outline;
}

/// Options without a group are hidden.
template <class Take>
void for_each_option(const CLI::App& app, const Take& take) {
    for (const CLI::Option* option : app.get_options())
        if (!option->get_group().empty()) take(*option);
}

/// The parts of a footer made by help_footer: notes before "Examples:", then one example per line,
/// and the text below "Exit codes:".
struct Footer {
    std::string notes;
    std::vector<std::string> examples;
    std::string exit_codes;
};

Footer footer_parts(const std::string& text) {
    Footer footer;
    std::istringstream lines(text);
    std::string part = "notes";
    for (std::string line; std::getline(lines, line);) {
        if (line == "Examples:" || line == "Exit codes:") {
            part = line;
        } else if (part == "notes") {
            footer.notes += line + "\n";
        } else if (part == "Examples:") {
            if (!line.empty()) footer.examples.push_back(line.substr(line.find_first_not_of(' ')));
        } else {
            footer.exit_codes += line + "\n";
        }
    }
    while (!footer.notes.empty() && footer.notes.back() == '\n') footer.notes.pop_back();
    return footer;
}

/// "  0 done    1 no data at the site" as pairs.
std::vector<std::pair<std::string, std::string>> exit_statuses_in(const std::string& text) {
    static const std::regex kItem(R"((\d+) ((?:\S| (?! ))+))");
    std::vector<std::pair<std::string, std::string>> statuses;
    for (auto found = std::sregex_iterator(text.begin(), text.end(), kItem);
         found != std::sregex_iterator(); ++found) {
        statuses.emplace_back((*found)[1], (*found)[2]);
    }
    return statuses;
}

CommandOutline command_outline(const CLI::App& app) {
    CommandOutline outline;
    outline.name = app.get_name();
    outline.purpose = app.get_description();
    for_each_option(app, [&outline](const CLI::Option& option) {
        OptionOutline one = option_outline(option);
        // A value that may be given as an option or an argument is listed as both.
        if (!one.names.empty()) outline.options.push_back(one);
        one.names.clear();
        if (option.get_positional()) outline.arguments.push_back(std::move(one));
    });
    Footer footer = footer_parts(app.get_footer());
    outline.notes = std::move(footer.notes);
    outline.examples = std::move(footer.examples);
    return outline;
}

}  // namespace

ProgramOutline program_outline(const CLI::App& app) {
    ProgramOutline outline;
    outline.name = app.get_name();
    outline.purpose = app.get_description();
    outline.version = kProgramVersion;
    for_each_option(app, [&outline](const CLI::Option& option) {
        outline.options.push_back(option_outline(option));
    });
    const auto shown = [](const CLI::App* command) { return !command->get_group().empty(); };
    for (const CLI::App* command : app.get_subcommands(shown))
        outline.commands.push_back(command_outline(*command));
    outline.exit_statuses = exit_statuses_in(footer_parts(app.get_footer()).exit_codes);
    return outline;
}

}  // namespace thirstline
