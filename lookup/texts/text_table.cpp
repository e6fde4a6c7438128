#include "lookup/texts/text_table.hpp"

#include <tuple>

namespace thirstline {
namespace {

using Column = std::array<std::string_view, plan_texts::kTexts.size()>;

consteval Column column(std::string_view TextRow::*language) {
    Column out{};
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = plan_texts::kTexts[i].*language;
    return out;
}

}  // namespace

std::string_view text_of(TextKey key, [[maybe_unused]] Language language) {
    static constexpr Column kEnglish = column(&TextRow::english);
#ifndef THIRSTLINE_ENGLISH_ONLY  // the static page has one language and is small
    static constexpr Column kSpanish = column(&TextRow::spanish);
    if (language == Language::spanish) return kSpanish[key.row];
#endif
    return kEnglish[key.row];
}

}  // namespace thirstline
