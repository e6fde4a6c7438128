#include "builder/commands/whole_file.hpp"

#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

namespace thirstline {

Result<void> write_whole_file(const std::string& path, std::string_view text) {
    const std::string temporary = path + ".partial-" + std::to_string(getpid());
    const auto failed = [&](const char* doing) {
        const std::string reason = std::strerror(errno);
        std::remove(temporary.c_str());
        return fail(ErrorCode::io, std::string(doing) + " " + path + " failed: " + reason);
    };
    std::FILE* file = std::fopen(temporary.c_str(), "wb");
    if (file == nullptr) return failed("writing");
    const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
    const bool closed = std::fclose(file) == 0;
    if (!written || !closed) return failed("writing");
    if (std::rename(temporary.c_str(), path.c_str()) != 0) return failed("putting in its place");
    return {};
}

}  // namespace thirstline
