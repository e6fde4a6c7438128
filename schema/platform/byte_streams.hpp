// Bytes from files, pipes and standard input, and to standard output, as they are: no line ends are
// converted.
//
// Thread safety: a stream belongs to one thread at a time.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

// Descriptors.
inline constexpr int kStandardInput = 0;
inline constexpr int kStandardOutput = 1;

class InputStream {
  public:
    /// A file or a pipe; `path` is UTF-8. Errors: io.
    [[nodiscard]] static Result<InputStream> open(const std::string& path);
    [[nodiscard]] static InputStream standard_input();

    InputStream(InputStream&& other) noexcept;
    InputStream& operator=(InputStream&& other) noexcept;
    InputStream(const InputStream&) = delete;
    InputStream& operator=(const InputStream&) = delete;
    ~InputStream();

    /// What errors call it: its path, or "standard input".
    [[nodiscard]] const std::string& name() const { return name_; }
    /// Fills the buffer with up to `capacity` bytes and returns their number; 0 at the end.
    /// Errors: io.
    [[nodiscard]] Result<std::size_t> read(char* buffer, std::size_t capacity);

  private:
    InputStream(int descriptor, std::string name);
    void close();

    static constexpr int kNoDescriptor = -1;

    int descriptor_ = kNoDescriptor;
    std::string name_;
};

/// Writes all bytes to an open descriptor, which errors call `name`. Errors: io, with the system's
/// reason (full disk, closed pipe).
[[nodiscard]] Result<void> write_all(int descriptor, std::string_view bytes,
                                     const std::string& name);

}  // namespace thirstline
