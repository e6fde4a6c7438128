#include "schema/command_line/usage_sentences.hpp"

#include <CLI/App.hpp>
#include <CLI/Error.hpp>
#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"
#include "schema/command_line/option_values.hpp"

namespace thirstline {

namespace {

/// Other words for an option. If several rows have the same word, the first option that the command
/// has is used.
struct Synonym {
    std::string_view word;
    std::string_view option;  ///< with its value where the word implies one
};
constexpr std::array<Synonym, 24> kSynonyms{{
    {"--zip", "--postal"},         {"--zipcode", "--postal"},   {"--zip-code", "--postal"},
    {"--postcode", "--postal"},    {"--lat", "--at"},           {"--lon", "--at"},
    {"--latitude", "--at"},        {"--longitude", "--at"},     {"--latlon", "--at"},
    {"--coordinates", "--at"},     {"--position", "--at"},      {"--location", "--at"},
    {"--altitude", "--elevation"}, {"--height", "--elevation"}, {"--threads", "--jobs"},
    {"--cores", "--jobs"},         {"--force", "--overwrite"},  {"--database", "--db"},
    {"--out", "--output"},         {"--json", "--format json"}, {"--csv", "--format csv"},
    {"--html", "--format html"},   {"--csv", "--as csv"},       {"--image", "--as image"},
}};

std::vector<std::string> option_names(const CLI::App& command) {
    std::vector<std::string> names;
    for (const CLI::Option* option : command.get_options())
        if (!option->get_lnames().empty()) names.push_back("--" + option->get_lnames().front());
    return names;
}

std::string meant_option(const CLI::App& command, std::string_view word) {
    const std::vector<std::string> names = option_names(command);
    for (const Synonym& synonym : kSynonyms) {
        if (synonym.word != word) continue;
        const std::string_view name = synonym.option.substr(0, synonym.option.find(' '));
        if (std::find(names.begin(), names.end(), name) != names.end())
            return "; did you mean " + std::string(synonym.option) + "?";
    }
    if (const auto of_word = names_with_unit(word, {names.begin(), names.end()}); !of_word.empty())
        return "; did you mean " + joined_with_or(of_word) + "?";
    // Compared without the hyphens, which all options share.
    const std::string nearest = nearest_name(word, {names.begin(), names.end()});
    if (word.size() < 3 || nearest.size() < 3 || !is_near_name(word.substr(2), nearest.substr(2)))
        return "";
    return "; did you mean " + nearest + "?";
}

std::string help_hint(const CLI::App& command) {
    const CLI::App* program = command.get_parent();
    return (program == nullptr ? "" : program->get_name() + " ") + command.get_name() +
           " --help lists the options";
}

bool is_number_like(std::string_view text) {
    return !text.empty() &&
           text.find_first_not_of("0123456789.,-+\xC2\xB0NSEWnsew") == std::string_view::npos &&
           text.find_first_of("0123456789") != std::string_view::npos;
}

Error unexpected_argument(const CLI::App& command, const std::string& argument) {
    const std::string name = argument.substr(0, argument.find('='));
    const auto has_option = [&command](const char* option) {
        return command.get_option_no_throw(option) != nullptr;
    };
    const bool is_code =
        argument.size() >= 3 && argument.find_first_not_of("0123456789") == std::string::npos;
    if (is_code && has_option("--postal")) {
        return {ErrorCode::usage, "unexpected argument " + in_quotes(argument),
                "name a postal code with --postal " + argument};
    }
    if (argument.ends_with(".sqlite") && has_option("--db")) {
        return {ErrorCode::usage, "unexpected argument " + in_quotes(argument),
                "name the database with --db " + argument};
    }
    if (is_number_like(argument)) {
        return {ErrorCode::usage, "unexpected argument " + in_quotes(argument),
                "write coordinates without a space, such as --at 44.45,-37.59, or in quotes"};
    }
    if (argument.starts_with('-')) {
        return {ErrorCode::usage, "unknown option " + name + meant_option(command, name),
                help_hint(command)};
    }
    return {ErrorCode::usage, "unexpected argument " + in_quotes(argument), help_hint(command)};
}

/// The option that CLI11's sentence begins with, "--at: 1 required LAT,LON missing".
const CLI::Option* option_named_in(const CLI::App& command, const CLI::ParseError& error) {
    const std::string sentence = error.what();
    return command.get_option_no_throw(sentence.substr(0, sentence.find_first_of(": ")));
}

bool is(const CLI::ParseError& error, CLI::ExitCodes kind) {
    return error.get_exit_code() == static_cast<int>(kind);
}

std::string wrong_count(const CLI::Option& option) {
    const std::string name = option.get_name();
    const std::size_t given = option.results().size();
    if (given > static_cast<std::size_t>(option.get_items_expected_max())) {
        return name + " is given " +
               (given == 2 ? std::string("twice") : std::to_string(given) + " times");
    }
    return name + " needs a value: " + type_of(option);
}

std::string lacking(const CLI::App& command, const CLI::Option& option) {
    const std::string words = option.get_positional() ? "the argument " : option.get_name() + " ";
    return command.get_name() + " needs " + words + type_of(option);
}

}  // namespace

Error usage_error(const CLI::App& command, const CLI::ParseError& error) {
    if (is(error, CLI::ExitCodes::ValidationError)) {
        // "--jobs: must be …": the sentence continues where CLI11 inserts a colon.
        std::string message = error.what();
        message.erase(std::min(message.find(':'), message.size()), 1);
        return {ErrorCode::usage, message, ""};
    }
    const std::vector<std::string> rest = command.remaining();
    if (is(error, CLI::ExitCodes::ExtrasError) && !rest.empty()) {
        // In "--zip 04103", the option.
        const auto option = std::find_if(rest.begin(), rest.end(), [](const std::string& argument) {
            return argument.starts_with('-') && !is_number_like(argument);
        });
        return unexpected_argument(command, option == rest.end() ? rest.front() : *option);
    }
    if (const CLI::Option* option = option_named_in(command, error)) {
        const bool is_lack = is(error, CLI::ExitCodes::RequiredError);
        return {ErrorCode::usage, is_lack ? lacking(command, *option) : wrong_count(*option),
                help_hint(command)};
    }
    return {ErrorCode::usage, error.what(), help_hint(command)};
}

}  // namespace thirstline
