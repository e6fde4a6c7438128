#include "lookup/site_output/season_words.hpp"

#include <algorithm>
#include <cmath>

#include "lookup/site_output/units.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

Phrase date_phrase(MonthDay date) {
    return {"date.day_and_month"_text,
            {{"month", month_in_list(static_cast<std::size_t>(date.month_index))},
             {"day", std::to_string(date.day)}}};
}

/// "-2 °C", "28.4 °F"
std::string temperature_text(double celsius, const TextStyle& style) {
    const bool us = style.units == UnitSystem::us;
    const double value = us ? fahrenheit(celsius) : celsius;
    return fixed(value, std::floor(value) == value ? 0 : 1) + (us ? " °F" : " °C");
}

/// The texts of the last freeze, or of the first.
struct FreezeWords {
    TextKey both;
    TextKey median_only;  ///< one year in ten has it in midsummer
    TextKey one_in_ten_only;
};

void append_freeze(std::vector<Phrase>& out, const FreezeWords& words, const Argument& limit,
                   const std::optional<MonthDay>& median,
                   const std::optional<MonthDay>& one_in_ten) {
    if (median && one_in_ten) {
        out.push_back(
            {words.both,
             {limit, {"median", date_phrase(*median)}, {"one_in_ten", date_phrase(*one_in_ten)}}});
    } else if (median) {
        out.push_back({words.median_only, {limit, {"median", date_phrase(*median)}}});
    } else if (one_in_ten) {
        out.push_back({words.one_in_ten_only, {limit, {"one_in_ten", date_phrase(*one_in_ten)}}});
    }
}

void append_freezes(std::vector<Phrase>& out, const FreezeDates& freezes, const TextStyle& style) {
    static constexpr FreezeWords kLast{"season.last"_text, "season.last_median"_text,
                                       "season.last_one_in_ten"_text};
    static constexpr FreezeWords kFirst{"season.first"_text, "season.first_median"_text,
                                        "season.first_one_in_ten"_text};
    const Argument limit{"limit", temperature_text(freezes.at_or_below_c, style)};
    if (!freezes.error_days) {
        out.push_back(
            {freezes.in_midsummer ? "season.in_midsummer"_text : "season.rare"_text, {limit}});
        return;
    }
    append_freeze(out, kLast, limit, freezes.last_median, freezes.last_late);
    append_freeze(out, kFirst, limit, freezes.first_median, freezes.first_early);
}

Phrase growing_phrase(const GrowingSeason& growing, const TextStyle& style) {
    const Argument limit{"limit", temperature_text(kGrowthAboveC, style)};
    if (growing.days == 0) return {"season.growing_never"_text, {limit}};
    if (!growing.start || !growing.end) return {"season.growing_all_year"_text, {limit}};
    return {"season.growing"_text,
            {limit,
             {"start", date_phrase(*growing.start)},
             {"end", date_phrase(*growing.end)},
             {"days", fixed(growing.error_days.value_or(0.0), 0)}}};
}

}  // namespace

std::string season_heading(const TextStyle& style) {
    return rendered("season.heading"_text, style);
}

std::vector<std::string> season_sentences(const SeasonEstimate& season, const TextStyle& style) {
    std::vector<Phrase> phrases;
    double error_days = 0.0;
    for (const FreezeDates& freezes : season.freezes) {
        append_freezes(phrases, freezes, style);
        error_days = std::max(error_days, freezes.error_days.value_or(0.0));
    }
    if (error_days > 0.0)
        phrases.push_back({"season.error"_text, {{"days", fixed(error_days, 0)}}});
    phrases.push_back(growing_phrase(season.growing, style));
    std::vector<std::string> out = rendered(phrases, style);
    if (!style.utf8)
        for (std::string& sentence : out) sentence = in_ascii(sentence, style.language);
    return out;
}

}  // namespace thirstline
