#include "schema/files/toml_file.hpp"

#include "schema/files/whole_file.hpp"

namespace thirstline {

Result<toml::table> read_toml_file(const std::string& path, std::string_view what) {
    const auto text = TRY(text_of_file(path, "the " + std::string(what) + " " + path));
    toml::parse_result result = toml::parse(text, path);
    if (!result) {
        const auto& at = result.error().source().begin;
        return fail(ErrorCode::bad_input,
                    path + ":" + std::to_string(at.line) + ":" + std::to_string(at.column) +
                        ": this is not TOML: " + std::string(result.error().description()));
    }
    return std::move(result).table();
}

}  // namespace thirstline
