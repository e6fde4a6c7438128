#include "schema/text/html_text.hpp"

#include <cstdint>
#include <nlohmann/json.hpp>

#include "schema/text/json_text.hpp"

namespace thirstline {
namespace {

/// nlohmann's writer replaces what is no UTF-8.
std::string valid_utf8(std::string_view text) {
    using Json = nlohmann::json;
    return Json::parse(Json(std::string(text)).dump(-1, ' ', false, Json::error_handler_t::replace))
        .get<std::string>();
}

/// The number of a character of that many bytes of UTF-8 at the beginning; 0 if it has another.
std::uint32_t character_of(std::string_view text, std::size_t bytes) {
    const auto byte = [text](std::size_t at) { return static_cast<std::uint8_t>(text[at]); };
    if (text.size() < bytes) return 0;
    if (bytes == 2 && byte(0) >> 5U == 6) return (byte(0) & 0x1FU) << 6U | (byte(1) & 0x3FU);
    if (bytes == 3 && byte(0) >> 4U == 14)
        return (byte(0) & 0x0FU) << 12U | (byte(1) & 0x3FU) << 6U | (byte(2) & 0x3FU);
    return 0;
}

bool turns_direction(std::uint32_t character) {
    return (character >= 0x202A && character <= 0x202E) ||
           (character >= 0x2066 && character <= 0x2069);
}

}  // namespace

std::string plain_text(std::string_view text) {
    const std::string valid = valid_utf8(text);
    std::string out;
    for (std::size_t at = 0; at < valid.size(); ++at) {
        const std::string_view rest = std::string_view(valid).substr(at);
        const char c = rest.front();
        const std::uint32_t of_two = character_of(rest, 2);
        const std::uint32_t of_three = character_of(rest, 3);
        if (turns_direction(of_three)) {
            out += kReplacement;
            at += 2;
        } else if (of_three == 0x2028 || of_three == 0x2029) {
            out += ' ';
            at += 2;
        } else if (of_two >= 0x80 && of_two <= 0x9F) {
            out += ' ';
            at += 1;
        } else {
            out += (c >= 0 && c < ' ') || c == '\x7F' ? ' ' : c;
        }
    }
    return out;
}

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : plain_text(text)) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            case '\'':
                out += "&#39;";
                break;
            default:
                out += c;
        }
    }
    return out;
}

std::string element(std::string_view name, std::string_view text, std::string_view css_class) {
    std::string out = "<" + std::string(name);
    if (!css_class.empty()) out += " class=\"" + std::string(css_class) + "\"";
    return out + ">" + escaped(text) + "</" + std::string(name) + ">\n";
}

std::string bulleted(const std::vector<std::string>& items) {
    if (items.empty()) return {};
    std::string out = "<ul>\n";
    for (const std::string& item : items) out += element("li", item);
    return out + "</ul>\n";
}

}  // namespace thirstline
