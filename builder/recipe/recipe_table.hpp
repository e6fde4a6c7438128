// A table of a recipe, read key by key. It remembers which keys were asked for, so that in the end
// every other one is an error that names the nearest; and it keeps the first error, so that reading
// a table is a plain list of its keys.
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/files/toml_file.hpp"

namespace thirstline {

class RecipeTable {
  public:
    /// `name` is what messages call the table, such as "[[grid]]". The file's name stands before
    /// the line in every message.
    RecipeTable(const toml::table& table, std::string name, std::string file,
                std::optional<Error>& first_error);

    [[nodiscard]] bool has(std::string_view key) const { return table_.contains(key); }

    /// Required: absent, empty or of another type is an error. `such_as` shows how it may look.
    std::string required_text(std::string_view key, std::string_view such_as);
    std::string text(std::string_view key, std::string_view otherwise = "");
    double number(std::string_view key, double otherwise, double least, double greatest);
    double required_number(std::string_view key, std::string_view such_as, double least,
                           double greatest);
    /// Exactly `count` numbers; required.
    std::vector<double> required_numbers(std::string_view key, std::size_t count,
                                         std::string_view such_as);
    std::vector<std::string> texts(std::string_view key, std::vector<std::string> otherwise);
    /// Numbers and texts in one list, in any order; both empty if the key is absent.
    struct NumbersAndTexts {
        std::vector<double> numbers;
        std::vector<std::string> texts;
    };
    NumbersAndTexts numbers_and_texts(std::string_view key, std::string_view such_as);
    /// One of the names; `otherwise` if the key is absent.
    std::string choice(std::string_view key, const std::vector<std::string_view>& names,
                       std::string_view otherwise);
    std::string required_choice(std::string_view key, const std::vector<std::string_view>& names);

    /// Sub-tables: one, or an array of them ("[[grid]]"). Absent: none.
    [[nodiscard]] const toml::table* table(std::string_view key);
    [[nodiscard]] std::vector<const toml::table*> tables(std::string_view key);

    /// These keys are known, but another one that says what they mean is wrong.
    void leave_unread(std::initializer_list<std::string_view> keys);

    /// To be called when every known key was asked for.
    void refuse_other_keys();

    /// "merrow.toml:12", of a key or of the table itself.
    [[nodiscard]] std::string where(std::string_view key = {}) const;
    void fail_at(std::string_view key, const std::string& message, const std::string& hint = {});
    /// The same for something that is not there. An unknown key of this table will take its place:
    /// most often that is the missing one, misspelt.
    void fail_lacking(const std::string& message);

  private:
    [[nodiscard]] const toml::node* node(std::string_view key);
    [[nodiscard]] const toml::node* required_node(std::string_view key, std::string_view such_as);
    void refuse_type(std::string_view key, std::string_view wanted);
    [[nodiscard]] double number_of(std::string_view key, const toml::node& node, double least,
                                   double greatest);
    [[nodiscard]] std::string choice_of(std::string_view key, const std::string& word,
                                        const std::vector<std::string_view>& names);

    const toml::table& table_;
    std::string name_;
    std::string file_;
    std::optional<Error>& first_error_;
    std::vector<std::string> known_;
    bool first_error_is_lack_ = false;  ///< … of something in this table
};

}  // namespace thirstline
