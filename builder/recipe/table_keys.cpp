#include "builder/recipe/table_keys.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <string_view>

#include "builder/inputs/text_encoding.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr std::int64_t kMaxRowsSkipped = 1000;
constexpr std::size_t kLongestFixedLine = 10'000;
// In the order of RecordLength.
constexpr std::array<std::string_view, 3> kMeanings{"standard", "not stated", "short"};

void read_separator(RecipeTable& table, TableFormat& format) {
    const std::string separator = table.text("separator", ",");
    const bool is_usable =
        separator.size() == 1 && !is_ascii_alphanumeric(separator[0]) &&
        static_cast<unsigned char>(separator[0]) < 0x80 &&
        std::string_view("\"+-. \r\n").find(separator[0]) == std::string_view::npos;
    if (is_usable) {
        format.separator = separator[0];
    } else if (table.has_text("separator")) {
        table.fail_at("separator", "the separator \"" + separator +
                                       "\" is not a single character between fields; it must be "
                                       "such as \",\", \";\", \"|\" or \"\\t\" for a tab");
    }
}

/// "13-20" as bytes of a line, counted from 1.
bool read_range(std::string_view text, FixedColumn& column) {
    const char* end = text.data() + text.size();
    const auto [dash, error] = std::from_chars(text.data(), end, column.first);
    if (error != std::errc{} || dash == end || *dash != '-') return false;
    const auto [stop, last_error] = std::from_chars(dash + 1, end, column.last);
    return last_error == std::errc{} && stop == end && column.first >= 1 &&
           column.last >= column.first && column.last <= kLongestFixedLine;
}

void read_fixed_width(RecipeTable& table, const std::string& table_name, const std::string& file,
                      RecipeFaults& faults, TableFormat& format) {
    const toml::table* found = table.table("fixed_width");
    if (found == nullptr) return;
    for (const std::string_view key : {"separator", "header"}) {
        if (table.has(key))
            table.fail_at(key, table_name + " has both \"fixed_width\" and \"" + std::string(key) +
                                   "\"; leave one of them out");
    }
    RecipeTable columns(*found, "fixed_width of " + table_name, file, faults);
    for (const std::string& name : columns.keys()) {
        FixedColumn column;
        column.name = name;
        const std::string range = columns.required_text(name, "\"13-20\"");
        if (!range.empty() && !read_range(range, column)) {
            columns.fail_at(name, "\"" + range +
                                      "\" is not a range of characters of a line; write "
                                      "the first and the last, counted from 1, such as \"13-20\"");
        }
        format.fixed.push_back(std::move(column));
    }
    if (format.fixed.empty())
        table.fail_at("fixed_width", "fixed_width of " + table_name +
                                         " names no column; add one, "
                                         "such as { ID = \"1-11\", LAT = \"13-20\" }");
}

}  // namespace

TableFormat read_table_format(RecipeTable& table, const std::string& table_name,
                              const std::string& file, RecipeFaults& faults) {
    TableFormat format;
    format.encoding = table.text("encoding", "UTF-8");
    if (const auto known = known_encoding(format.encoding, ""); !known)
        table.fail_at("encoding", known.error().message.substr(2), known.error().hint);
    read_separator(table, format);
    format.skip_rows = table.whole_number("skip_rows", 0, 0, kMaxRowsSkipped);
    format.header = table.text("header");
    format.decimal_comma = table.choice("decimal", {".", ","}, ".") == ",";
    read_fixed_width(table, table_name, file, faults, format);
    return format;
}

std::vector<RowCondition> read_conditions(RecipeTable& where) {
    std::vector<RowCondition> conditions;
    for (const std::string& column : where.keys()) {
        if (where.has_table(column)) continue;
        conditions.push_back(
            {column, where.text_or_texts(column, "\"value\""), where.where(column)});
    }
    return conditions;
}

std::optional<FlagMeanings> read_flags(RecipeTable& table, const std::string& table_name,
                                       const std::string& file, RecipeFaults& faults) {
    if (!table.has("flags")) {
        table.ignore_keys({"flags"});
        return std::nullopt;
    }
    if (!table.has_table("flags")) {
        const std::string name = table.required_text("flags", "\"ncei-1991\"");
        FlagMeanings set = flag_set(name);
        if (set.empty() && !name.empty()) {
            table.fail_at("flags",
                          "\"" + name + "\" is not a set of flags" +
                              did_you_mean_clause(name, flag_set_names()),
                          "it must be " + joined_with_or(flag_set_names()) +
                              ", or a table such as { A = \"standard\", C = \"short\" }");
        }
        return set;
    }
    RecipeTable flags(*table.table("flags"), "flags of " + table_name, file, faults);
    FlagMeanings meanings;
    for (const std::string& flag : flags.keys()) {
        const std::string word = flags.required_text(flag, "\"standard\"");
        const auto known = std::find(kMeanings.begin(), kMeanings.end(), word);
        if (known == kMeanings.end()) {
            flags.fail_at(flag,
                          "\"" + word + "\" is not a meaning of a flag" +
                              did_you_mean_clause(word, {kMeanings.begin(), kMeanings.end()}),
                          "it must be \"standard\" (at least 24 of 30 years), \"short\" (fewer) or "
                          "\"not stated\"");
            continue;
        }
        meanings[flag] = static_cast<RecordLength>(known - kMeanings.begin());
    }
    return meanings;
}

}  // namespace thirstline
