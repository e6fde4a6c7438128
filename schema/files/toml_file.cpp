#include "schema/files/toml_file.hpp"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace thirstline {

Result<toml::table> read_toml_file(const std::string& path, std::string_view what) {
    const std::string name = "the " + std::string(what) + " " + path;
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) {
        return fail(ErrorCode::io, name + " is a folder, not a file");
    }
    std::ifstream file(path, std::ios::binary);
    if (!file) return fail(ErrorCode::io, "cannot read " + name + ": " + std::strerror(errno));
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    if (file.bad()) return fail(ErrorCode::io, "cannot read " + name + " to its end");
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
