#include "builder/recipe/recipe_table.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "builder/recipe/edition_texts.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"
#include "schema/text/plain_numbers.hpp"

namespace thirstline {

namespace {

std::string listed(const std::vector<std::string_view>& names) {
    std::string list;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (i > 0) list += i + 1 == names.size() ? " or " : ", ";
        list += in_quotes(names[i]);
    }
    return list;
}

/// ", not "degC"" or ", not 5"; empty for lists and tables.
std::string not_clause(const toml::node* node) {
    if (node == nullptr) return "";
    if (node->is_string()) return ", not " + in_quotes(*node->value<std::string>());
    if (node->is_boolean())
        return std::string(", not ") + (*node->value<bool>() ? "true" : "false");
    if (node->is_integer()) return ", not " + std::to_string(*node->value<std::int64_t>());
    if (!node->is_floating_point()) return "";
    char text[32];
    std::snprintf(text, sizeof text, "%g", *node->value<double>());
    return std::string(", not ") + text;
}

std::string short_number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", value);
    return text;
}

}  // namespace

RecipeTable::RecipeTable(const toml::table& table, std::string name, std::string file,
                         RecipeFaults& faults)
    : table_(table), name_(std::move(name)), file_(std::move(file)), faults_(faults) {}

bool RecipeTable::has_text(std::string_view key) const {
    const toml::node* found = table_.get(key);
    return found != nullptr && found->is_string();
}

bool RecipeTable::has_table(std::string_view key) const {
    const toml::node* found = table_.get(key);
    return found != nullptr && found->is_table();
}

std::vector<std::string> RecipeTable::keys() const {
    std::vector<std::string> keys;
    for (const auto& [key, value] : table_) keys.emplace_back(key.str());
    return keys;
}

std::uint32_t RecipeTable::line_of(std::string_view key) const {
    const toml::node* found = key.empty() ? nullptr : table_.get(key);
    return (found != nullptr ? found->source() : table_.source()).begin.line;
}

std::string RecipeTable::where(std::string_view key) const {
    const std::uint32_t line = line_of(key);
    return line == 0 ? file_ : file_ + ":" + std::to_string(line);
}

void RecipeTable::fail_at(std::string_view key, const std::string& message,
                          const std::string& hint) {
    faults_.add(line_of(key), {ErrorCode::bad_input, where(key) + ": " + message, hint});
}

void RecipeTable::fail_with_missing(const std::string& message, std::string_view key) {
    const auto number =
        faults_.add(line_of({}), {ErrorCode::bad_input, where() + ": " + message, ""});
    if (number) missing_.push_back({std::string(key), *number});
}

void RecipeTable::withdraw_missing(std::string_view unknown_key) {
    if (missing_.empty()) return;
    auto meant = missing_.begin();
    if (missing_.size() > 1) {
        std::vector<std::string_view> keys;
        for (const MissingKey& missing : missing_) keys.push_back(missing.key);
        const std::string nearest = nearest_name(unknown_key, keys);
        if (!is_near_name(unknown_key, nearest)) return;
        meant = std::ranges::find(missing_, nearest, &MissingKey::key);
    }
    faults_.withdraw(meant->fault);
    missing_.erase(meant);
}

const toml::node* RecipeTable::node(std::string_view key) {
    known_.emplace_back(key);
    return table_.get(key);
}

const toml::node* RecipeTable::required_node(std::string_view key, std::string_view such_as) {
    const toml::node* found = node(key);
    if (found == nullptr) {
        fail_with_missing(name_ + " lacks the key " + in_quotes(key) + "; add a line such as " +
                              std::string(key) + " = " + std::string(such_as),
                          key);
    }
    return found;
}

void RecipeTable::refuse_type(std::string_view key, std::string_view expected) {
    const toml::node* found = table_.get(key);
    const bool is_quoted_number = found != nullptr && found->is_string() &&
                                  expected.find("number") != std::string_view::npos &&
                                  plain_number(*found->value<std::string>());
    fail_at(key,
            "the key " + in_quotes(key) + " of " + name_ + " must be " + std::string(expected) +
                not_clause(found),
            is_quoted_number ? "write the number without quotes" : "");
}

std::string RecipeTable::required_text(std::string_view key, std::string_view such_as) {
    const toml::node* found = required_node(key, such_as);
    if (found == nullptr) return {};
    const auto value = found->value<std::string>();
    if (!found->is_string() || value->empty()) {
        refuse_type(key, "text that is not empty, such as " + std::string(such_as));
        return {};
    }
    return *value;
}

std::string RecipeTable::text(std::string_view key, std::string_view otherwise) {
    const toml::node* found = node(key);
    if (found == nullptr) return std::string(otherwise);
    if (!found->is_string()) {
        refuse_type(key, "a text in quotes");
        return {};
    }
    return *found->value<std::string>();
}

std::string RecipeTable::date(std::string_view key) {
    const toml::node* found = node(key);
    if (found == nullptr) return {};
    std::optional<std::string> date;
    if (const auto* day = found->as_date())
        date = normal_date((*day)->year, (*day)->month, (*day)->day);
    else if (found->is_string())
        date = normal_date(*found->value<std::string>());
    if (!date) refuse_type(key, "a day, such as 2026-12-01");
    return date.value_or("");
}

double RecipeTable::number_of(std::string_view key, const toml::node& node, double least,
                              double greatest) {
    const auto value = node.is_number() ? node.value<double>() : std::nullopt;
    if (!value || !std::isfinite(*value) || *value < least || *value > greatest) {
        refuse_type(key, "a number from " + short_number(least) + " to " + short_number(greatest));
        return least;
    }
    return *value;
}

double RecipeTable::number(std::string_view key, double otherwise, double least, double greatest) {
    const toml::node* found = node(key);
    return found == nullptr ? otherwise : number_of(key, *found, least, greatest);
}

std::optional<double> RecipeTable::optional_number(std::string_view key, double least,
                                                   double greatest) {
    const toml::node* found = node(key);
    if (found == nullptr) return std::nullopt;
    return number_of(key, *found, least, greatest);
}

double RecipeTable::required_number(std::string_view key, std::string_view such_as, double least,
                                    double greatest) {
    const toml::node* found = required_node(key, such_as);
    return found == nullptr ? least : number_of(key, *found, least, greatest);
}

std::vector<double> RecipeTable::required_numbers(std::string_view key, std::size_t count,
                                                  std::string_view such_as) {
    std::vector<double> numbers(count, 0.0);
    const toml::node* found = required_node(key, such_as);
    if (found == nullptr) return numbers;
    const toml::array* array = found->as_array();
    if (array == nullptr || array->size() != count ||
        !std::all_of(array->begin(), array->end(), [](const toml::node& n) {
            return n.is_number() && std::isfinite(*n.value<double>());
        })) {
        refuse_type(key, std::to_string(count) + " numbers, such as " + std::string(such_as));
        return numbers;
    }
    for (std::size_t i = 0; i < count; ++i) numbers[i] = *array->get(i)->value<double>();
    return numbers;
}

std::vector<std::string> RecipeTable::texts(std::string_view key,
                                            std::vector<std::string> otherwise) {
    const toml::node* found = node(key);
    if (found == nullptr) return otherwise;
    const toml::array* array = found->as_array();
    if (array == nullptr || !std::all_of(array->begin(), array->end(),
                                         [](const toml::node& n) { return n.is_string(); })) {
        refuse_type(key, "a list of texts");
        return otherwise;
    }
    std::vector<std::string> words;
    for (const toml::node& word : *array) words.push_back(*word.value<std::string>());
    return words;
}

std::vector<std::string> RecipeTable::text_or_texts(std::string_view key,
                                                    std::string_view such_as) {
    if (!has(key) || has_text(key)) return {required_text(key, such_as)};
    std::vector<std::string> words = texts(key, {});
    const bool is_sound = !words.empty() && std::none_of(words.begin(), words.end(),
                                                         [](const auto& w) { return w.empty(); });
    if (!is_sound)
        refuse_type(key,
                    "a text that is not empty, or a list of them, such as " + std::string(such_as));
    return words;
}

std::int64_t RecipeTable::whole_number(std::string_view key, std::int64_t otherwise,
                                       std::int64_t least, std::int64_t greatest) {
    const toml::node* found = node(key);
    if (found == nullptr) return otherwise;
    const auto value = found->is_integer() ? found->value<std::int64_t>() : std::nullopt;
    if (value && *value >= least && *value <= greatest) return *value;
    refuse_type(key,
                "a whole number from " + std::to_string(least) + " to " + std::to_string(greatest));
    return otherwise;
}

RecipeTable::NumbersAndTexts RecipeTable::numbers_and_texts(std::string_view key,
                                                            std::string_view such_as) {
    NumbersAndTexts found_in_list;
    const toml::node* found = node(key);
    if (found == nullptr) return found_in_list;
    const toml::array* array = found->as_array();
    const auto is_sound = [](const toml::node& n) {
        return n.is_string() || (n.is_number() && std::isfinite(*n.value<double>()));
    };
    if (array == nullptr || !std::all_of(array->begin(), array->end(), is_sound)) {
        refuse_type(key, "a list of numbers, such as " + std::string(such_as));
        return found_in_list;
    }
    for (const toml::node& entry : *array) {
        if (entry.is_string()) {
            found_in_list.texts.push_back(*entry.value<std::string>());
        } else {
            found_in_list.numbers.push_back(*entry.value<double>());
        }
    }
    return found_in_list;
}

std::vector<RecipeTable::TextOrTable> RecipeTable::texts_or_tables(std::string_view key,
                                                                   std::string_view such_as) {
    std::vector<TextOrTable> entries;
    const auto add = [&entries](const toml::node& entry) {
        if (!entry.is_string() && !entry.is_table()) return false;
        entries.push_back({entry.value_or(std::string()), entry.as_table()});
        return true;
    };
    const toml::node* found = node(key);
    if (found == nullptr) return entries;
    const toml::array* array = found->as_array();
    const bool is_sound =
        array == nullptr ? add(*found) : std::all_of(array->begin(), array->end(), add);
    if (!is_sound) refuse_type(key, "a text in quotes or a list, such as " + std::string(such_as));
    return entries;
}

std::string RecipeTable::choice_of(std::string_view key, const std::string& word,
                                   const std::vector<std::string_view>& names) {
    if (std::find(names.begin(), names.end(), word) == names.end()) {
        constexpr std::size_t kMaxListed = 8;
        const bool is_short = names.size() <= kMaxListed;
        fail_at(key,
                "the key " + in_quotes(key) + " of " + name_ + " must be " +
                    (is_short ? listed(names) : "one of those below") + ", not " + in_quotes(word) +
                    did_you_mean_clause(word, names),
                is_short ? "" : "it must be " + listed(names));
    }
    return word;
}

std::string RecipeTable::choice(std::string_view key, const std::vector<std::string_view>& names,
                                std::string_view otherwise) {
    if (!has(key)) {
        known_.emplace_back(key);
        return std::string(otherwise);
    }
    return choice_of(key, text(key), names);
}

std::string RecipeTable::required_choice(std::string_view key,
                                         const std::vector<std::string_view>& names) {
    const std::string word = required_text(key, in_quotes(names.front()));
    return word.empty() ? word : choice_of(key, word, names);
}

const toml::table* RecipeTable::table(std::string_view key) {
    const toml::node* found = node(key);
    if (found == nullptr) return nullptr;
    if (!found->is_table()) refuse_type(key, "a table");
    return found->as_table();
}

std::vector<const toml::table*> RecipeTable::tables(std::string_view key) {
    std::vector<const toml::table*> tables;
    const toml::node* found = node(key);
    if (found == nullptr) return tables;
    const toml::array* array = found->as_array();
    if (array == nullptr || !std::all_of(array->begin(), array->end(),
                                         [](const toml::node& n) { return n.is_table(); })) {
        refuse_type(key, "written with two brackets: [[" + std::string(key) + "]]");
        return tables;
    }
    for (const toml::node& entry : *array) tables.push_back(entry.as_table());
    return tables;
}

void RecipeTable::ignore_keys(std::initializer_list<std::string_view> keys) {
    known_.insert(known_.end(), keys.begin(), keys.end());
}

void RecipeTable::refuse_other_keys() {
    const std::vector<std::string_view> known(known_.begin(), known_.end());
    std::vector<std::string_view> unknown;
    for (const auto& [key, value] : table_) {
        if (std::find(known.begin(), known.end(), key.str()) == known.end())
            unknown.push_back(key.str());
    }
    for (const std::string_view key : unknown) withdraw_missing(key);
    // Keys may be unknown because of another fault, such as a misspelled variable.
    if (!faults_.keeps_more()) return;
    // In a table within another, such as columns, one misspelled name makes others unknown.
    if (name_.find(" of ") != std::string::npos && unknown.size() > 1) unknown.resize(1);
    for (const std::string_view key : unknown) {
        faults_.add_always(line_of(key), {ErrorCode::bad_input,
                                          where(key) + ": unknown key " + in_quotes(key) + " in " +
                                              name_ + did_you_mean_clause(key, known),
                                          ""});
    }
}

}  // namespace thirstline
