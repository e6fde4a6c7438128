#include "builder/inputs/header_names.hpp"

#include <algorithm>
#include <string_view>

#include "builder/inputs/table_fields.hpp"
#include "schema/base/nearest_name.hpp"

namespace thirstline {

std::string text_in(const CsvRow& row, int column, const TextRecoder& recoder) {
    if (column < 0) return {};
    return trimmed_field(recoder.utf8(row.field(static_cast<std::size_t>(column))));
}

HeaderNames::HeaderNames(const CsvRow& header, const TextRecoder& recoder) {
    for (std::size_t i = 0; i < header.size(); ++i)
        names_.push_back(text_in(header, static_cast<int>(i), recoder));
}

int HeaderNames::index_of(const std::string& name) const {
    if (name.empty()) return -1;
    const auto found = std::find(names_.begin(), names_.end(), trimmed_field(name));
    return found == names_.end() ? -1 : static_cast<int>(found - names_.begin());
}

Error HeaderNames::lacking(const std::string& name, const std::string& file,
                           const std::string& where) const {
    const std::vector<std::string_view> candidates(names_.begin(), names_.end());
    Error error{ErrorCode::bad_input, where + ": " + file + " has no column \"" + name + "\"", ""};
    const auto separator = names_.size() == 1 ? names_[0].find_first_of(";|\t") : std::string::npos;
    if (separator == std::string::npos) {
        error.message += did_you_mean_clause(name, candidates);
        if (names_.size() == 1 && names_[0].find(' ') != std::string::npos) {
            error.hint =
                "its header line is one column; if blanks separate its columns, give the place of "
                "each with fixed_width";
        }
    } else {
        const char found = names_[0][separator];
        error.hint = std::string("its header line is one column; set separator = \"") +
                     (found == '\t' ? std::string("\\t") : std::string(1, found)) +
                     "\", which is in that line";
    }
    return error;
}

}  // namespace thirstline
