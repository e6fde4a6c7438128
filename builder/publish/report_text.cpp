#include "builder/publish/report_text.hpp"

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "schema/files/whole_file.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

constexpr std::uintmax_t kMaxReportBytes = 64U << 20U;

std::string with_commas(std::string digits) {
    const std::size_t point = digits.find('.');
    std::size_t at = point == std::string::npos ? digits.size() : point;
    while (at > 3) {
        at -= 3;
        digits.insert(at, ",");
    }
    return digits;
}

}  // namespace

std::string counted_text(std::int64_t count) {
    return with_commas(std::to_string(count));
}

std::string fixed_text(double value, int decimals) {
    char text[64];
    std::snprintf(text, sizeof text, "%.*f", decimals, std::fabs(value));
    const std::string digits = text;
    const bool is_zero = digits.find_first_not_of("0.") == std::string::npos;
    return (value < 0.0 && !is_zero ? "−" : "") + with_commas(digits);
}

std::string size_text(std::int64_t bytes) {
    constexpr double kKilo = 1000.0;
    const auto size = static_cast<double>(bytes);
    if (size < kKilo) return std::to_string(bytes) + " bytes";
    if (size < kKilo * kKilo) return fixed_text(size / kKilo, 0) + " kB";
    return fixed_text(size / (kKilo * kKilo), 1) + " MB";
}

std::string section_html(std::string_view heading, const std::string& body) {
    return "<section>\n" + element("h2", heading) + body + "</section>\n";
}

std::string preformatted(std::string_view text) {
    std::string html = "<pre>";
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        html += escaped(line) + "\n";
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    }
    return html + "</pre>\n";
}

Result<std::string> small_file_text(const std::string& path) {
    std::error_code failed;
    const std::uintmax_t bytes = std::filesystem::file_size(path, failed);
    if (failed) return fail(ErrorCode::io, "cannot read " + path + ": " + failed.message());
    if (bytes > kMaxReportBytes)
        return fail(ErrorCode::bad_input, path + " is too large to be shown in a report");
    return text_of_file(path, path);
}

}  // namespace thirstline
