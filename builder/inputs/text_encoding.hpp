// Converts texts from the encoding of their table to UTF-8.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

class TextRecoder {
  public:
    /// Nothing for a name unknown to the system's iconv, and for encodings in which commas and
    /// digits have other bytes than in ASCII (such as UTF-16).
    [[nodiscard]] static std::optional<TextRecoder> open(const std::string& encoding);

    /// Text that is not valid in the table's encoding is read as Latin-1, in which every byte is
    /// valid: by far the most frequent case.
    [[nodiscard]] std::string utf8(std::string_view text) const;

  private:
    struct Close {
        void operator()(void* descriptor) const;
    };
    using Descriptor = std::unique_ptr<void, Close>;
    TextRecoder(Descriptor own, Descriptor latin1);

    Descriptor own_;
    Descriptor latin1_;
};

/// Errors (bad_input): an encoding that TextRecoder does not support; `where` begins the message.
[[nodiscard]] Result<TextRecoder> known_encoding(const std::string& encoding,
                                                 const std::string& where);

}  // namespace thirstline
