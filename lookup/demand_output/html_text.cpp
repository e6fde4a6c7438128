#include "lookup/demand_output/html_text.hpp"

#include <nlohmann/json.hpp>

namespace thirstline {
namespace {

/// nlohmann's writer replaces what is no UTF-8.
std::string valid_utf8(std::string_view text) {
    using Json = nlohmann::json;
    return Json::parse(Json(std::string(text)).dump(-1, ' ', false, Json::error_handler_t::replace))
        .get<std::string>();
}

}  // namespace

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : valid_utf8(text)) {
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
                out.push_back((c >= 0 && c < ' ') || c == '\x7F' ? ' ' : c);
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
