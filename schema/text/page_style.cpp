#include "schema/text/page_style.hpp"

#include "schema/base/sha256.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

std::string one_file_page_head(std::string_view title, std::string_view style,
                               std::string_view language) {
    Sha256 hash;
    hash.add(style);
    return "<!DOCTYPE html>\n<html lang=\"" + std::string(language) +
           "\">\n<head>\n<meta charset=\"utf-8\">\n"
           "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
           "'sha256-" +
           hash.base64_digest() +
           "'; base-uri 'none'; form-action 'none'\">\n"
           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n" +
           element("title", title) + "<style>" + std::string(style) +
           "</style>\n</head>\n<body>\n<main>\n";
}

}  // namespace thirstline
