#include "schema/files/whole_file.hpp"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>

#include "schema/platform/system_path.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kPieceBytes = std::size_t{1} << 20;

}  // namespace

Result<void> for_each_piece(const std::string& path, const std::string& name,
                            const std::function<Result<void>(std::string_view)>& take) {
    std::error_code ignored;
    if (std::filesystem::is_directory(system_path(path), ignored))
        return fail(ErrorCode::io, name + " is a folder, not a file");
    std::ifstream file(system_path(path), std::ios::binary);
    if (!file) return fail(ErrorCode::io, "cannot read " + name + ": " + std::strerror(errno));
    std::string piece(kPieceBytes, '\0');
    while (file) {
        file.read(piece.data(), static_cast<std::streamsize>(piece.size()));
        TRY(take(std::string_view(piece).substr(0, static_cast<std::size_t>(file.gcount()))));
    }
    if (!file.eof()) return fail(ErrorCode::io, "cannot read " + name + " to its end");
    return {};
}

Result<std::string> text_of_file(const std::string& path, const std::string& name,
                                 std::size_t most_bytes) {
    std::string text;
    TRY(for_each_piece(path, name, [&](std::string_view piece) -> Result<void> {
        text += piece;
        if (text.size() > most_bytes) {
            return fail(ErrorCode::bad_input,
                        name + " is longer than " + std::to_string(most_bytes) + " bytes");
        }
        return {};
    }));
    return text;
}

}  // namespace thirstline
