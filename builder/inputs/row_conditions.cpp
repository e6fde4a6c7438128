#include "builder/inputs/row_conditions.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

// Kept for the message of a condition that no row meets.
constexpr std::size_t kMaxValuesKept = 1000;

std::string quoted(const std::vector<std::string>& values) {
    std::vector<std::string> words;
    for (const std::string& value : values) words.push_back("\"" + value + "\"");
    return joined_with_or(words);
}

}  // namespace

RowChoice::RowChoice(std::vector<RowCondition> conditions)
    : conditions_(std::move(conditions)),
      columns_(conditions_.size(), -1),
      others_(conditions_.size()),
      met_(conditions_.size(), false) {}

Result<void> RowChoice::begin_file(const HeaderNames& header, const std::string& file) {
    for (std::size_t i = 0; i < conditions_.size(); ++i) {
        columns_[i] = header.index_of(conditions_[i].column);
        if (columns_[i] < 0)
            return fail(header.lacking(conditions_[i].column, file, conditions_[i].where));
    }
    return {};
}

bool RowChoice::chooses(const CsvRow& row, const TextRecoder& recoder) {
    bool all = true;
    for (std::size_t i = 0; i < conditions_.size(); ++i) {
        const std::string value = text_in(row, columns_[i], recoder);
        const auto& wanted = conditions_[i].values;
        const bool is_met = std::find(wanted.begin(), wanted.end(), value) != wanted.end();
        if (is_met) {
            met_[i] = true;
        } else if (!chosen_ && others_[i].size() < kMaxValuesKept) {
            others_[i].insert(value);
        }
        all = all && is_met;
    }
    chosen_ = chosen_ || all;
    return all;
}

Result<void> RowChoice::check_chosen(const std::string& table) const {
    if (chosen_ || conditions_.empty()) return {};
    for (std::size_t i = 0; i < conditions_.size(); ++i) {
        if (met_[i]) continue;
        const RowCondition& condition = conditions_[i];
        const std::vector<std::string_view> seen(others_[i].begin(), others_[i].end());
        return fail(ErrorCode::bad_input,
                    condition.where + ": no row of " + table + " has " + quoted(condition.values) +
                        " in column \"" + condition.column + "\"" +
                        did_you_mean_clause(condition.values.front(), seen),
                    "write the value as it is in the table");
    }
    std::string all;
    for (const RowCondition& condition : conditions_)
        add_word(all, quoted(condition.values) + " in column \"" + condition.column + "\"",
                 " and ");
    return fail(ErrorCode::bad_input,
                conditions_.front().where + ": no row of " + table + " has " + all,
                "each of them occurs, but not together; leave out one");
}

}  // namespace thirstline
