#include "tests/fuzz/memory_file.hpp"

#include <sys/mman.h>
#include <unistd.h>

#include <cstdlib>

namespace thirstline::fuzz {

MemoryFile::MemoryFile(std::span<const std::uint8_t> bytes)
    : descriptor_(memfd_create("fuzz", MFD_CLOEXEC)),
      path_("/proc/self/fd/" + std::to_string(descriptor_)) {
    require(descriptor_ >= 0);
    while (!bytes.empty()) {
        const ssize_t written = write(descriptor_, bytes.data(), bytes.size());
        require(written > 0);
        bytes = bytes.subspan(static_cast<std::size_t>(written));
    }
}

MemoryFile::~MemoryFile() {
    close(descriptor_);
}

void require(bool is_kept) {
    if (!is_kept) std::abort();
}

}  // namespace thirstline::fuzz
