#include "schema/command_line/option_values.hpp"

#include <CLI/App.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <sstream>
#include <utility>

#include "schema/base/words.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {

namespace {

// CLI11 appends a validator's description to the name of the type: "FORMAT:words|text|json".
constexpr std::string_view kWordsMark = ":words|";

std::string described(const std::vector<std::string>& words) {
    return std::string(kWordsMark.substr(1)) + joined(words, "|");
}

constexpr std::size_t kHelpColumns = 80;
constexpr std::size_t kNameColumns = 24;

/// The text in lines that fit beside the names.
std::string in_lines(const std::string& text) {
    std::string lines = wrapped(text, kHelpColumns - kNameColumns);
    if (!lines.empty()) lines.pop_back();
    return lines;
}

class PlainFormatter final : public CLI::Formatter {
  public:
    PlainFormatter() {
        column_width(kNameColumns);
        label("Positionals", "Arguments");
        label("SUBCOMMAND", "COMMAND");
    }

    [[nodiscard]] std::string make_option_usage(const CLI::Option* option) const override {
        const std::string type =
            type_of(*option) +
            (option->get_expected_max() == CLI::detail::expected_max_vector_size ? "..." : "");
        return option->get_required() ? type : "[" + type + "]";
    }

    [[nodiscard]] std::string make_option_desc(const CLI::Option* option) const override {
        return in_lines(option->get_description());
    }

    [[nodiscard]] std::string make_subcommand(const CLI::App* command) const override {
        std::ostringstream out;
        CLI::detail::format_help(out, command->get_display_name(),
                                 in_lines(command->get_description()), kNameColumns);
        return out.str();
    }

    [[nodiscard]] std::string make_help(const CLI::App* app, std::string name,
                                        CLI::AppFormatMode mode) const override {
        std::string help = CLI::Formatter::make_help(app, std::move(name), mode);
        constexpr std::string_view kTwoBlankLines = "\n\n\n";
        for (std::size_t at = help.find(kTwoBlankLines); at != std::string::npos;
             at = help.find(kTwoBlankLines, at))
            help.erase(at, 1);
        return help;
    }

    [[nodiscard]] std::string make_option_opts(const CLI::Option* option) const override {
        if (option->get_type_size() == 0) return "";
        std::string out = " " + type_of(*option);
        if (option->get_expected_max() == CLI::detail::expected_max_vector_size) out += " ...";
        if (option->get_required() && !option->get_positional()) out += " (required)";
        return out;
    }
};

}  // namespace

CLI::Option* add_word_option(CLI::App& app, std::string& value, const WordOption& option) {
    CLI::Option* added = app.add_option(option.name, value,
                                        option.lead + joined_with_or(option.words) + option.about)
                             ->type_name(option.type)
                             ->group(option.group);
    const std::vector<std::string> words(option.words.begin(), option.words.end());
    added->check(CLI::Validator(
        [words](std::string& text) {
            const bool is_one = std::find(words.begin(), words.end(), text) != words.end();
            return is_one ? std::string()
                          : "must be one of " + joined(words) + ", not \"" + text + "\"";
        },
        described(words)));
    return added;
}

void offer_words(CLI::Option& option, const std::vector<std::string_view>& words) {
    option.check(CLI::Validator([](std::string&) { return std::string(); },
                                described({words.begin(), words.end()})));
}

void require_number(CLI::Option& option, std::int64_t least, std::int64_t greatest) {
    option.check(CLI::Validator(
        [least, greatest](std::string& text) {
            double number = 0.0;
            const bool fits = CLI::detail::lexical_cast(text, number) &&
                              number >= static_cast<double>(least) &&
                              number <= static_cast<double>(greatest);
            return fits ? std::string()
                        : "must be a number from " + std::to_string(least) + " to " +
                              std::to_string(greatest) + ", not \"" + text + "\"";
        },
        ""));
}

std::vector<std::string> words_of(const CLI::Option& option) {
    const std::string type = option.get_type_name();
    const std::size_t mark = type.find(kWordsMark);
    if (mark == std::string::npos) return {};
    return CLI::detail::split(type.substr(mark + kWordsMark.size()), '|');
}

std::string type_of(const CLI::Option& option) {
    const std::string type = option.get_type_name();
    return type.substr(0, type.find(kWordsMark));
}

void use_plain_help(CLI::App& app) {
    app.formatter(std::make_shared<PlainFormatter>());
}

}  // namespace thirstline
