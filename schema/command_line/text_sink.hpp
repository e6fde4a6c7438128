// Where the program's data goes.
#pragma once

#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

class TextSink {
  public:
    TextSink() = default;
    TextSink(const TextSink&) = delete;
    TextSink& operator=(const TextSink&) = delete;
    virtual ~TextSink() = default;
    /// Errors: io.
    [[nodiscard]] virtual Result<void> write(std::string_view text) = 0;
};

/// Collects small writes into large ones to an open file descriptor, which it does not own.
class DescriptorSink final : public TextSink {
  public:
    DescriptorSink(int descriptor, std::string name);
    /// Errors: io, naming the descriptor and the system's reason (full disk, closed pipe).
    [[nodiscard]] Result<void> write(std::string_view text) override;
    /// Writes the buffered bytes. Output is complete only after this succeeds.
    [[nodiscard]] Result<void> flush();

  private:
    int descriptor_;
    std::string name_;
    std::string waiting_;
};

}  // namespace thirstline
