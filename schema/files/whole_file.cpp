#include "schema/files/whole_file.hpp"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>

#include "schema/files/file_replacement.hpp"
#include "schema/files/temporary_file.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kPieceBytes = std::size_t{1} << 20;

}  // namespace

Result<void> for_each_piece(const std::string& path, const std::string& name,
                            const std::function<Result<void>(std::string_view)>& take) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored))
        return fail(ErrorCode::io, name + " is a folder, not a file");
    std::ifstream file(path, std::ios::binary);
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

Result<void> write_whole_file(const std::string& path, std::string_view text) {
    TemporaryFile temporary = TRY(TemporaryFile::beside(path));
    std::FILE* file = std::fopen(temporary.path().c_str(), "wb");
    if (file == nullptr) return fail(system_error("writing " + path));
    const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
    const bool closed = std::fclose(file) == 0;
    if (!written || !closed) return fail(system_error("writing " + path));
    return temporary.replace(path);
}

}  // namespace thirstline
