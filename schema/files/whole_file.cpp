#include "schema/files/whole_file.hpp"

#include <unistd.h>

#include <cstdio>
#include <string>

#include "schema/files/file_replacement.hpp"

namespace thirstline {

Result<void> write_whole_file(const std::string& path, std::string_view text) {
    const std::string temporary = path + ".partial-" + std::to_string(getpid());
    const auto failed = [&] {
        Error error = system_error("writing " + path);
        std::remove(temporary.c_str());
        return fail(std::move(error));
    };
    std::FILE* file = std::fopen(temporary.c_str(), "wb");
    if (file == nullptr) return failed();
    const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
    const bool closed = std::fclose(file) == 0;
    if (!written || !closed) return failed();
    auto placed = put_in_place(temporary, path);
    if (!placed) std::remove(temporary.c_str());
    return placed;
}

}  // namespace thirstline
