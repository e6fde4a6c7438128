// Reads the program's own tables in TOML, which are embedded when it is built.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/files/toml_file.hpp"

namespace thirstline {

/// The text of a key; empty if it is absent.
[[nodiscard]] inline std::string text_at(const toml::table& table, std::string_view key) {
    return table[key].value_or(std::string());
}

/// The texts of a list; empty if it is absent.
[[nodiscard]] inline std::vector<std::string> texts_at(const toml::table& table,
                                                       std::string_view key) {
    std::vector<std::string> texts;
    if (const toml::array* array = table[key].as_array())
        for (const toml::node& text : *array) texts.push_back(text.value_or(std::string()));
    return texts;
}

/// What `entry_of` makes of each table [[key]] of the text.
/// Errors: internal, if the text is not TOML or has no such table.
template <class T>
[[nodiscard]] Result<std::vector<T>> embedded_entries(const char* text, std::string_view key,
                                                      T (*entry_of)(const toml::table&)) {
    const toml::parse_result document = toml::parse(std::string_view(text));
    const toml::array* array = document ? document.table()[key].as_array() : nullptr;
    if (array == nullptr) {
        return fail(ErrorCode::internal,
                    "the program's own table of each " + std::string(key) + " is damaged");
    }
    std::vector<T> entries;
    for (const toml::node& entry : *array)
        if (const toml::table* table = entry.as_table()) entries.push_back(entry_of(*table));
    return entries;
}

}  // namespace thirstline
