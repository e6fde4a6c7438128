// Bytes in memory as a file with a path.
#pragma once

#include <cstdint>
#include <span>
#include <string>

namespace thirstline::fuzz {

class MemoryFile {
  public:
    explicit MemoryFile(std::span<const std::uint8_t> bytes);
    ~MemoryFile();
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    [[nodiscard]] const std::string& path() const { return path_; }

  private:
    int descriptor_;
    std::string path_;
};

/// Ends the program if a guarantee is violated, as a crash would.
void require(bool is_kept);

}  // namespace thirstline::fuzz
