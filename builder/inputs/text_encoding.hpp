// Names in the encoding of their table, as UTF-8.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace thirstline {

class TextRecoder {
  public:
    /// Nothing for a name that the system's iconv does not know, and for encodings in which commas
    /// and digits are not the bytes that they are in ASCII (UTF-16 and its like).
    [[nodiscard]] static std::optional<TextRecoder> open(const std::string& encoding);

    /// What cannot be read in the table's encoding is taken for Latin-1, in which every byte is a
    /// letter: the most frequent case by far.
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

}  // namespace thirstline
