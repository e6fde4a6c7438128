// A table of a recipe, read key by key. It records which keys were read, so that in the end every
// other key is an error that suggests the nearest; and it collects faults, so that reading a table
// is a plain list of its keys.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "builder/recipe/recipe_faults.hpp"
#include "schema/base/result.hpp"
#include "schema/files/toml_file.hpp"

namespace thirstline {

class RecipeTable {
  public:
    /// `name` is the table's name in messages, such as "[[grid]]". Every message begins with the
    /// file's name and the line.
    RecipeTable(const toml::table& table, std::string name, std::string file, RecipeFaults& faults);

    [[nodiscard]] bool has(std::string_view key) const { return table_.contains(key); }
    [[nodiscard]] bool has_text(std::string_view key) const;
    [[nodiscard]] bool has_table(std::string_view key) const;
    /// In alphabetical order.
    [[nodiscard]] std::vector<std::string> keys() const;

    /// Required: absent, empty or of another type is an error. `such_as` is an example.
    std::string required_text(std::string_view key, std::string_view such_as);
    std::string text(std::string_view key, std::string_view otherwise = "");
    /// "2026-12-01", of a text or a date of TOML; empty if the key is absent.
    std::string date(std::string_view key);
    double number(std::string_view key, double otherwise, double least, double greatest);
    /// Nothing if the key is absent.
    std::optional<double> optional_number(std::string_view key, double least, double greatest);
    double required_number(std::string_view key, std::string_view such_as, double least,
                           double greatest);
    /// Exactly `count` numbers; required.
    std::vector<double> required_numbers(std::string_view key, std::size_t count,
                                         std::string_view such_as);
    std::vector<std::string> texts(std::string_view key, std::vector<std::string> otherwise);
    /// A text, or a list of at least one; required.
    std::vector<std::string> text_or_texts(std::string_view key, std::string_view such_as);
    /// A whole number, as above.
    std::int64_t whole_number(std::string_view key, std::int64_t otherwise, std::int64_t least,
                              std::int64_t greatest);
    /// Numbers and texts in one list, in any order; both empty if the key is absent.
    struct NumbersAndTexts {
        std::vector<double> numbers;
        std::vector<std::string> texts;
    };
    NumbersAndTexts numbers_and_texts(std::string_view key, std::string_view such_as);
    /// A text, an inline table, or a list of both, in order; empty if the key is absent.
    struct TextOrTable {
        std::string text;
        const toml::table* table = nullptr;  ///< if it is not a text
    };
    std::vector<TextOrTable> texts_or_tables(std::string_view key, std::string_view such_as);
    /// A table within this one, with the same file and faults.
    [[nodiscard]] RecipeTable inner(const toml::table& table, std::string name) const {
        return {table, std::move(name), file_, faults_};
    }
    /// One of the names; `otherwise` if the key is absent.
    std::string choice(std::string_view key, const std::vector<std::string_view>& names,
                       std::string_view otherwise);
    std::string required_choice(std::string_view key, const std::vector<std::string_view>& names);

    /// Sub-tables: one, or an array of them ("[[grid]]"). Empty if absent.
    [[nodiscard]] const toml::table* table(std::string_view key);
    [[nodiscard]] std::vector<const toml::table*> tables(std::string_view key);

    /// Marks keys as known without reading them, because the key that defines their meaning is
    /// wrong.
    void ignore_keys(std::initializer_list<std::string_view> keys);

    /// Must be called after all known keys have been read.
    void refuse_other_keys();

    /// "merrow.toml:12", the position of a key or of the table itself.
    [[nodiscard]] std::string where(std::string_view key = {}) const;
    void fail_at(std::string_view key, const std::string& message, const std::string& hint = {});
    /// The same for something missing. A fault for an unknown key of this table replaces it:
    /// usually that key is the missing one, misspelled.
    void fail_with_missing(const std::string& message, std::string_view key = {});

  private:
    /// An unknown key is usually a missing one, misspelled.
    void withdraw_missing(std::string_view unknown_key);
    [[nodiscard]] std::uint32_t line_of(std::string_view key) const;
    [[nodiscard]] const toml::node* node(std::string_view key);
    [[nodiscard]] const toml::node* required_node(std::string_view key, std::string_view such_as);
    void refuse_type(std::string_view key, std::string_view expected);
    [[nodiscard]] double number_of(std::string_view key, const toml::node& node, double least,
                                   double greatest);
    [[nodiscard]] std::string choice_of(std::string_view key, const std::string& word,
                                        const std::vector<std::string_view>& names);

    const toml::table& table_;
    std::string name_;
    std::string file_;
    RecipeFaults& faults_;
    std::vector<std::string> known_;
    struct MissingKey {
        std::string key;        ///< may be empty
        std::size_t fault = 0;  ///< its number in faults_
    };
    std::vector<MissingKey> missing_;
};

}  // namespace thirstline
