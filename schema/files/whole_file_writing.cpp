#include <cstdio>

#include "schema/files/file_replacement.hpp"
#include "schema/files/temporary_file.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

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
