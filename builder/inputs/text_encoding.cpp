#include "builder/inputs/text_encoding.hpp"

#include <iconv.h>

#include <algorithm>
#include <utility>

namespace thirstline {

namespace {

bool is_ascii(std::string_view text) {
    return std::all_of(text.begin(), text.end(),
                       [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

/// iconv_open returns (iconv_t)-1, not null, on failure.
void* opened(const char* encoding) {
    iconv_t descriptor = iconv_open("UTF-8", encoding);
    return descriptor == reinterpret_cast<iconv_t>(-1) ? nullptr : descriptor;
}

std::optional<std::string> recoded(void* descriptor, std::string_view text) {
    std::string in(text);
    std::string out(text.size() * 4 + 8, '\0');
    char* from = in.data();
    char* to = out.data();
    std::size_t left = in.size();
    std::size_t space_left = out.size();
    iconv(descriptor, nullptr, nullptr, nullptr, nullptr);
    if (iconv(descriptor, &from, &left, &to, &space_left) == static_cast<std::size_t>(-1))
        return std::nullopt;
    out.resize(out.size() - space_left);
    return out;
}

}  // namespace

void TextRecoder::Close::operator()(void* descriptor) const {
    iconv_close(descriptor);
}

TextRecoder::TextRecoder(Descriptor own, Descriptor latin1)
    : own_(std::move(own)), latin1_(std::move(latin1)) {}

std::optional<TextRecoder> TextRecoder::open(const std::string& encoding) {
    // iconv takes an empty name as the locale's encoding, and a suffix "//…" as options.
    if (encoding.empty() || encoding.find('/') != std::string::npos) return std::nullopt;
    Descriptor own(opened(encoding.c_str()));
    Descriptor latin1(opened("ISO-8859-1"));
    if (!own || !latin1) return std::nullopt;
    constexpr std::string_view kPlain = "0,1.2-\"Az";
    if (recoded(own.get(), kPlain) != kPlain) return std::nullopt;
    return TextRecoder(std::move(own), std::move(latin1));
}

std::string TextRecoder::utf8(std::string_view text) const {
    if (is_ascii(text)) return std::string(text);
    if (auto own = recoded(own_.get(), text)) return *own;
    return recoded(latin1_.get(), text).value_or(std::string(text));
}

Result<TextRecoder> known_encoding(const std::string& encoding, const std::string& where) {
    auto recoder = TextRecoder::open(encoding);
    if (recoder) return std::move(*recoder);
    return fail(ErrorCode::bad_input, where + ": \"" + encoding + "\" is not a supported encoding",
                "such as UTF-8, latin1 or cp1252: one in which commas and digits are single bytes");
}

}  // namespace thirstline
