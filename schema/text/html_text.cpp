#include "schema/text/html_text.hpp"

#include "schema/text/utf8_text.hpp"

namespace thirstline {
namespace {

bool turns_direction(char32_t character) {
    return (character >= 0x202A && character <= 0x202E) ||
           (character >= 0x2066 && character <= 0x2069);
}

bool is_control_or_line_end(char32_t character) {
    return character < ' ' || (character >= 0x7F && character <= 0x9F) || character == 0x2028 ||
           character == 0x2029;
}

}  // namespace

std::string plain_text(std::string_view text) {
    std::string out;
    for_each_character(text, [&out](char32_t character, std::string_view bytes) {
        if (turns_direction(character))
            out += kReplacement;
        else if (is_control_or_line_end(character))
            out += ' ';
        else
            out += bytes;
    });
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
