#include "builder/grids/month_pattern.hpp"

namespace thirstline {

namespace {

constexpr std::string_view kTwoDigits = "{month:02}";
constexpr std::string_view kPlain = "{month}";

void replace_all(std::string& text, std::string_view form, const std::string& number) {
    for (auto at = text.find(form); at != std::string::npos;
         at = text.find(form, at + number.size()))
        text.replace(at, form.size(), number);
}

}  // namespace

bool has_month_pattern(std::string_view text) {
    return text.find(kTwoDigits) != std::string_view::npos ||
           text.find(kPlain) != std::string_view::npos;
}

std::string with_month(std::string text, int month) {
    const std::string number = std::to_string(month + 1);
    replace_all(text, kTwoDigits, month < 9 ? "0" + number : number);
    replace_all(text, kPlain, number);
    return text;
}

}  // namespace thirstline
