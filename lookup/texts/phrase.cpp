#include "lookup/texts/phrase.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

/// "e" stands for "y" before the sound of i.
bool begins_with_sound_of_i(std::string_view word) {
    const std::string start = ascii_lower(word.substr(0, 3));
    return start.starts_with("i") || start.starts_with("í") ||
           (start.starts_with("hi") && !start.starts_with("hie"));
}

std::string_view and_before(std::string_view word, Language language) {
    if (language == Language::spanish && begins_with_sound_of_i(word)) return " e ";
    return text_of("words.and"_text, language);
}

void replace_all(std::string& text, std::string_view from, std::string_view to) {
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
        text.replace(at, from.size(), to);
}

std::string with_arguments(std::string_view text, const std::vector<Argument>& arguments,
                           const TextStyle& style) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t open = std::min(text.find('{', at), text.size());
        out += text.substr(at, open - at);
        if (open == text.size()) break;
        const std::size_t close = text.find('}', open);
        const std::string_view name = text.substr(open + 1, close - open - 1);
        const auto argument =
            std::find_if(arguments.begin(), arguments.end(),
                         [name](const Argument& other) { return other.name == name; });
        if (argument != arguments.end()) out += argument->value.rendered(style);
        at = close + 1;
    }
    return out;
}

}  // namespace

Phrase::Phrase(std::string verbatim) : text_(std::move(verbatim)) {}

Phrase::Phrase(TextKey key, std::initializer_list<Argument> arguments)
    : kind_(Kind::of_table), key_(key), arguments_(arguments) {}

Phrase Phrase::in_both_units(Phrase metric, Phrase us) {
    Phrase phrase;
    phrase.kind_ = Kind::in_both_units;
    phrase.arguments_ = {{{}, std::move(metric)}, {{}, std::move(us)}};
    return phrase;
}

Phrase Phrase::joined(std::vector<Phrase> parts, std::string_view separator) {
    Phrase phrase;
    phrase.kind_ = Kind::joined;
    phrase.text_ = separator;
    for (Phrase& part : parts) phrase.arguments_.push_back({{}, std::move(part)});
    return phrase;
}

Phrase Phrase::joined_with_and(std::vector<Phrase> parts) {
    Phrase phrase = joined(std::move(parts), ", ");
    phrase.kind_ = Kind::joined_with_and;
    return phrase;
}

bool Phrase::empty() const {
    switch (kind_) {
        case Kind::verbatim:
            return text_.empty();
        case Kind::joined:
        case Kind::joined_with_and:
            return arguments_.empty();
        case Kind::of_table:
        case Kind::in_both_units:
            break;
    }
    return false;
}

std::string Phrase::rendered(const TextStyle& style) const {
    switch (kind_) {
        case Kind::verbatim:
            return text_;
        case Kind::of_table:
            return with_arguments(text_of(key_, style.language), arguments_, style);
        case Kind::in_both_units: {
            const bool is_us = style.units == UnitSystem::us;
            return arguments_[is_us ? 1 : 0].value.rendered(style) + " (" +
                   arguments_[is_us ? 0 : 1].value.rendered(style) + ")";
        }
        case Kind::joined:
        case Kind::joined_with_and:
            break;
    }
    std::vector<std::string> words;
    for (const Argument& argument : arguments_) words.push_back(argument.value.rendered(style));
    return kind_ == Kind::joined ? thirstline::joined(words, text_)
                                 : thirstline::joined_with_and(words, style.language);
}

bool operator==(const Phrase& a, const Phrase& b) {
    return a.kind_ == b.kind_ && a.key_ == b.key_ && a.text_ == b.text_ &&
           a.arguments_ == b.arguments_;
}

std::string rendered(const Phrase& phrase, const TextStyle& style) {
    return phrase.rendered(style);
}

std::vector<std::string> rendered(const std::vector<Phrase>& phrases, const TextStyle& style) {
    std::vector<std::string> out;
    for (const Phrase& phrase : phrases) out.push_back(phrase.rendered(style));
    return out;
}

std::string english(const Phrase& phrase) {
    return phrase.rendered({UnitSystem::metric, true, Language::english});
}

std::string joined_with_and(const std::vector<std::string>& words, Language language) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) out += i + 1 == words.size() ? and_before(words[i], language) : ", ";
        out += words[i];
    }
    return out;
}

std::string in_ascii(std::string text, Language language) {
    using Replacement = std::pair<std::string_view, std::string_view>;
    static constexpr auto kSigns = std::to_array<Replacement>({{"±", "+-"},
                                                               {"×", "x"},
                                                               {"²", "2"},
                                                               {"³", "3"},
                                                               {" °C", " C"},
                                                               {" °F", " F"},
                                                               {"°", ""},
                                                               {"–", "-"},
                                                               {"…", "..."}});
    static constexpr auto kLetters = std::to_array<Replacement>({{"á", "a"},
                                                                 {"é", "e"},
                                                                 {"í", "i"},
                                                                 {"ó", "o"},
                                                                 {"ú", "u"},
                                                                 {"ü", "u"},
                                                                 {"ñ", "ni"},
                                                                 {"Á", "A"},
                                                                 {"É", "E"},
                                                                 {"Í", "I"},
                                                                 {"Ó", "O"},
                                                                 {"Ú", "U"},
                                                                 {"Ü", "U"},
                                                                 {"Ñ", "NI"}});
    for (const auto& [from, to] : kSigns) replace_all(text, from, to);
    if (language == Language::spanish)
        for (const auto& [from, to] : kLetters) replace_all(text, from, to);
    return text;
}

TextKey month_in_full(std::size_t month_index) {
    static constexpr Monthly<TextKey> kKeys{"month.jan"_text, "month.feb"_text, "month.mar"_text,
                                            "month.apr"_text, "month.may"_text, "month.jun"_text,
                                            "month.jul"_text, "month.aug"_text, "month.sep"_text,
                                            "month.oct"_text, "month.nov"_text, "month.dec"_text};
    return kKeys[month_index];
}

TextKey month_label(std::size_t month_index) {
    static constexpr Monthly<TextKey> kKeys{
        "month_label.jan"_text, "month_label.feb"_text, "month_label.mar"_text,
        "month_label.apr"_text, "month_label.may"_text, "month_label.jun"_text,
        "month_label.jul"_text, "month_label.aug"_text, "month_label.sep"_text,
        "month_label.oct"_text, "month_label.nov"_text, "month_label.dec"_text};
    return kKeys[month_index];
}

TextKey month_in_list(std::size_t month_index) {
    static constexpr Monthly<TextKey> kKeys{
        "month_in_list.jan"_text, "month_in_list.feb"_text, "month_in_list.mar"_text,
        "month_in_list.apr"_text, "month_in_list.may"_text, "month_in_list.jun"_text,
        "month_in_list.jul"_text, "month_in_list.aug"_text, "month_in_list.sep"_text,
        "month_in_list.oct"_text, "month_in_list.nov"_text, "month_in_list.dec"_text};
    return kKeys[month_index];
}

TextKey weekday_label(std::size_t weekday_index) {
    static constexpr std::array kKeys{"weekday_label.mon"_text, "weekday_label.tue"_text,
                                      "weekday_label.wed"_text, "weekday_label.thu"_text,
                                      "weekday_label.fri"_text, "weekday_label.sat"_text,
                                      "weekday_label.sun"_text};
    return kKeys[weekday_index];
}

TextKey weekday_name(std::size_t weekday_index) {
    static constexpr std::array kKeys{"weekday.mon"_text, "weekday.tue"_text, "weekday.wed"_text,
                                      "weekday.thu"_text, "weekday.fri"_text, "weekday.sat"_text,
                                      "weekday.sun"_text};
    return kKeys[weekday_index];
}

}  // namespace thirstline
