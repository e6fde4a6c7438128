#include "lookup/zone_file/zone_values.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cmath>

#include "lookup/demand/field_measurements.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"
#include "schema/text/double_text.hpp"
#include "schema/text/plain_numbers.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kShownBytes = 40;

/// Common synonyms and abbreviations of the choices.
struct Synonym {
    Quantity quantity;
    std::string_view written;
    std::string_view choice;
};
constexpr std::array<Synonym, 7> kSynonyms{{
    {Quantity::exposure, "sun", "average"},
    {Quantity::exposure, "sunny", "average"},
    {Quantity::exposure, "full sun", "average"},
    {Quantity::exposure, "shade", "shaded"},
    {Quantity::exposure, "shady", "shaded"},
    {Quantity::exposure, "full shade", "shaded"},
    {Quantity::exposure, "part shade", "shaded"},
}};

/// ", not "steep"", ", not 65"; empty for a value that is not one word or number, or a list of
/// them.
std::string not_clause(const WrittenValue& written) {
    std::string text;
    const auto add = [&text](const WrittenItem& item) {
        const auto* number = std::get_if<double>(&item);
        add_word(text, number != nullptr ? shortest_text(*number) : std::get<std::string>(item));
    };
    if (const auto* number = std::get_if<double>(&written))
        return ", not " + shortest_text(*number);
    if (const auto* flag = std::get_if<bool>(&written))
        return std::string(", not ") + (*flag ? "true" : "false");
    if (const auto* word = std::get_if<std::string>(&written)) {
        add(*word);
    } else if (const auto* list = std::get_if<std::vector<WrittenItem>>(&written)) {
        for (const WrittenItem& item : *list) add(item);
        if (list->empty()) return ", not an empty list";
    } else {
        return "";
    }
    return ", not " + quoted(text);
}

/// The index of the name that was given in full or abbreviated; case is ignored.
template <class Names>
std::optional<std::size_t> index_of_name(std::string_view written, const Names& abbreviations,
                                         const Names& names) {
    const std::string lower = ascii_lower(written);
    for (std::size_t i = 0; i < names.size(); ++i)
        if (lower == ascii_lower(abbreviations[i]) || lower == ascii_lower(names[i])) return i;
    return std::nullopt;
}

/// Reads one value of one key. Its functions return nothing for an invalid value, and `fitting`
/// then a value without a kind.
class ValueReader {
  public:
    ValueReader(const ZoneKey& key, const WrittenValue& written, bool is_option)
        : key_(key), written_(written), is_option_(is_option) {}

    [[nodiscard]] FittingValue fitting() const {
        switch (key_.kind) {
            case ValueKind::number:
            case ValueKind::whole_number:
                return wrapped(number());
            case ValueKind::text:
                return wrapped(text());
            case ValueKind::choice:
                return wrapped(choice());
            case ValueKind::choice_or_share:
                return wrapped(rain_credit());
            case ValueKind::days:
                if (choice() == "by address") return ByAddress{};
                return wrapped(allowed_days());
            case ValueKind::twelve_numbers:
                return wrapped(twelve_numbers());
            case ValueKind::months:
                return wrapped(months());
            case ValueKind::date:
                return wrapped(date());
            case ValueKind::yes_or_no:
                return wrapped(yes_or_no());
            case ValueKind::year_day:
                return wrapped(year_day());
            case ValueKind::clock:
                return wrapped(read_word(read_clock_time));
            case ValueKind::hours:
                return wrapped(read_word(read_barred_hours));
            case ValueKind::digits_days:
                return wrapped(read_word(read_address_days));
            case ValueKind::zone_kinds:
                return wrapped(exempt_zones());
            case ValueKind::numbers:
                return wrapped(numbers());
            case ValueKind::readings:
                return wrapped(readings());
            case ValueKind::price_tiers:
                return wrapped(tiers());
        }
        return {};
    }

    /// "did you mean …?" for a word close to one of the choices; otherwise what is wrong with a
    /// number.
    [[nodiscard]] std::string hint() const {
        const auto* number = std::get_if<double>(&written_);
        const bool is_share = key_.kind == ValueKind::number && key_.range.greatest <= 1.0;
        if (number != nullptr && is_share && *number > 1.0 && *number <= 100.0)
            return shortest_text(*number) + "% is " + shortest_text(*number / 100.0);
        const auto* word = std::get_if<std::string>(&written_);
        const bool is_number_key =
            key_.kind == ValueKind::number || key_.kind == ValueKind::whole_number;
        if (word != nullptr && is_number_key && plain_number(*word))
            return "write the number without quotes";
        if (word != nullptr && is_number_key) {
            if (const std::string digits = without_commas(*word);
                digits != *word && plain_number(digits))
                return "write " + digits + ", without a comma";
        }
        if (word == nullptr || key_.choices.empty()) return {};
        std::string nearest = did_you_mean(*word, {key_.choices.begin(), key_.choices.end()});
        if (!nearest.empty() || key_.quantity != Quantity::planting) return nearest;
        return "bermuda and other warm-season grass is \"warm turf\", fescue and bluegrass \"cool "
               "turf\"; for shrubs, trees and beds give " +
               std::string(is_option_ ? "--plant-factor" : "plant_factor") +
               " (0.5 average, 0.3 low water use) or species, in place of planting";
    }

  private:
    template <class T>
    static FittingValue wrapped(std::optional<T> value) {
        if (!value) return {};
        return FittingValue(std::move(*value));
    }

    [[nodiscard]] std::optional<double> in_range(double written) const {
        const double value_si = written * key_.si_per_unit;
        if (!is_within(value_si, key_.range)) return std::nullopt;
        return value_si;
    }

    [[nodiscard]] std::optional<double> number() const {
        const auto* value = std::get_if<double>(&written_);
        if (value == nullptr) return std::nullopt;
        if (key_.kind == ValueKind::whole_number && *value != std::floor(*value))
            return std::nullopt;
        return in_range(*value);
    }

    [[nodiscard]] std::optional<std::string> text() const {
        const auto* value = std::get_if<std::string>(&written_);
        if (value == nullptr || value->find_first_not_of(" \t\r\n") == std::string::npos)
            return std::nullopt;
        return *value;
    }

    [[nodiscard]] std::optional<std::string> choice() const {
        const auto* value = std::get_if<std::string>(&written_);
        if (value == nullptr) return std::nullopt;
        std::string written = ascii_lower(*value);
        for (const Synonym& synonym : kSynonyms)
            if (synonym.quantity == key_.quantity && synonym.written == written)
                written = synonym.choice;
        for (const std::string_view choice : key_.choices)
            if (ascii_lower(choice) == written) return std::string(choice);
        return std::nullopt;
    }

    [[nodiscard]] std::optional<RainCredit> rain_credit() const {
        if (const auto share = number()) return RainCredit{RainRule::share, *share};
        const auto word = choice();
        if (!word) return std::nullopt;
        if (*word == "none") return RainCredit{RainRule::none};
        if (*word == "soil-storage") return RainCredit{RainRule::scs};
        return RainCredit{RainRule::half};
    }

    [[nodiscard]] static std::string without_commas(std::string text) {
        std::erase(text, ',');
        return text;
    }

    /// The words of a list or of a text with commas.
    [[nodiscard]] std::vector<WrittenItem> listed_words() const {
        if (const auto* list = std::get_if<std::vector<WrittenItem>>(&written_)) return *list;
        std::vector<WrittenItem> words;
        const auto* text = std::get_if<std::string>(&written_);
        for (std::size_t at = 0; text != nullptr && at <= text->size();) {
            const std::size_t end = std::min(text->find(',', at), text->size());
            std::string word = text->substr(at, end - at);
            word.erase(0, word.find_first_not_of(' '));
            word.erase(word.find_last_not_of(' ') + 1);
            words.emplace_back(std::move(word));
            at = end + 1;
        }
        return words;
    }

    [[nodiscard]] std::optional<AllowedDays> allowed_days() const {
        if (const auto word = choice()) {
            if (*word == "odd") return AllowedDays{DayRule::odd_dates};
            if (*word == "even") return AllowedDays{DayRule::even_dates};
            return AllowedDays{DayRule::any};
        }
        const std::vector<WrittenItem> words = listed_words();
        if (words.empty()) return std::nullopt;
        AllowedDays allowed{DayRule::weekdays};
        for (const WrittenItem& item : words) {
            const auto* name = std::get_if<std::string>(&item);
            if (name == nullptr) return std::nullopt;
            const auto day = index_of_name(*name, kWeekdayAbbreviations, kWeekdayNames);
            if (!day) return std::nullopt;
            allowed.weekdays[*day] = true;
        }
        return allowed;
    }

    [[nodiscard]] std::optional<Monthly<double>> twelve_numbers() const {
        Monthly<double> values{};
        if (const auto flat = number_in_range(written_)) {
            values.fill(*flat);
            return values;
        }
        const auto* list = std::get_if<std::vector<WrittenItem>>(&written_);
        if (list == nullptr || list->size() != values.size()) return std::nullopt;
        for (std::size_t m = 0; m < values.size(); ++m) {
            const auto* written = std::get_if<double>(&(*list)[m]);
            const auto value = written == nullptr ? std::nullopt : in_range(*written);
            if (!value) return std::nullopt;
            values[m] = *value;
        }
        return values;
    }

    [[nodiscard]] std::optional<double> number_in_range(const WrittenValue& written) const {
        const auto* value = std::get_if<double>(&written);
        return value == nullptr ? std::nullopt : in_range(*value);
    }

    [[nodiscard]] static std::optional<std::size_t> month_index(const WrittenItem& item) {
        if (const auto* name = std::get_if<std::string>(&item))
            return index_of_name(*name, kMonthAbbreviations, kMonthNames);
        const double number = std::get<double>(item);
        for (std::size_t m = 0; m < kMonths; ++m)
            if (number == static_cast<double>(m + 1)) return m;
        return std::nullopt;
    }

    [[nodiscard]] std::optional<Monthly<bool>> months() const {
        const auto* list = std::get_if<std::vector<WrittenItem>>(&written_);
        if (list == nullptr) return std::nullopt;
        Monthly<bool> named{};
        for (const WrittenItem& item : *list) {
            const auto month = month_index(item);
            if (!month) return std::nullopt;
            named[*month] = true;
        }
        return named;
    }

    [[nodiscard]] std::optional<CalendarDay> date() const {
        if (const auto* day = std::get_if<CalendarDay>(&written_)) return *day;
        const auto* word = std::get_if<std::string>(&written_);
        return word == nullptr ? std::nullopt : calendar_day(*word);
    }

    [[nodiscard]] std::optional<bool> yes_or_no() const {
        if (const auto* flag = std::get_if<bool>(&written_)) return *flag;
        const auto* word = std::get_if<std::string>(&written_);
        if (word == nullptr || (*word != "true" && *word != "false")) return std::nullopt;
        return *word == "true";
    }

    /// In a leap year, which has every date.
    [[nodiscard]] std::optional<YearDay> year_day() const {
        const auto* word = std::get_if<std::string>(&written_);
        const auto day = word == nullptr ? std::nullopt : calendar_day("2028-" + *word);
        return day ? std::optional(YearDay{day->month, day->day}) : std::nullopt;
    }

    /// The result of `reader` for a text.
    template <class T>
    [[nodiscard]] std::optional<T> read_word(std::optional<T> (*reader)(std::string_view)) const {
        const auto* word = std::get_if<std::string>(&written_);
        return word == nullptr ? std::nullopt : reader(*word);
    }

    [[nodiscard]] std::optional<ExemptZones> exempt_zones() const {
        std::vector<WrittenItem> items;
        if (const auto* word = std::get_if<std::string>(&written_)) items.emplace_back(*word);
        if (const auto* list = std::get_if<std::vector<WrittenItem>>(&written_)) items = *list;
        if (items.empty()) return std::nullopt;
        ExemptZones exempt;
        for (const WrittenItem& item : items) {
            const auto* word = std::get_if<std::string>(&item);
            if (word == nullptr || (*word != key_.choices[0] && *word != key_.choices[1]))
                return std::nullopt;
            (*word == key_.choices[0] ? exempt.drip : exempt.new_plantings) = true;
        }
        return exempt;
    }

    [[nodiscard]] std::optional<std::vector<double>> numbers() const {
        const auto* list = std::get_if<std::vector<WrittenItem>>(&written_);
        if (list == nullptr || list->size() < static_cast<std::size_t>(kMinCatchCans))
            return std::nullopt;
        std::vector<double> values;
        for (const WrittenItem& item : *list) {
            const auto* written = std::get_if<double>(&item);
            const auto value = written == nullptr ? std::nullopt : in_range(*written);
            if (!value) return std::nullopt;
            values.push_back(*value);
        }
        if (*std::max_element(values.begin(), values.end()) <= 0.0) return std::nullopt;
        return values;
    }

    [[nodiscard]] std::optional<std::vector<MeterReading>> readings() const {
        const auto* list = std::get_if<std::vector<MeterReading>>(&written_);
        if (list == nullptr || list->size() < 2) return std::nullopt;
        for (std::size_t i = 1; i < list->size(); ++i) {
            if ((*list)[i].date <= (*list)[i - 1].date ||
                !((*list)[i].reading >= (*list)[i - 1].reading))
                return std::nullopt;
        }
        return *list;
    }

    [[nodiscard]] std::optional<std::vector<PriceTier>> tiers() const {
        const auto* list = std::get_if<std::vector<PriceTier>>(&written_);
        return list == nullptr || list->empty() ? std::nullopt : std::optional(*list);
    }

    const ZoneKey& key_;
    const WrittenValue& written_;
    bool is_option_;
};

}  // namespace

const ZoneValue* ZoneValues::find(Quantity quantity) const {
    const auto found = std::find_if(
        values.begin(), values.end(),
        [quantity](const ZoneValue& value) { return value.key->quantity == quantity; });
    return found == values.end() ? nullptr : &*found;
}

std::optional<int> ZoneValues::whole_number(Quantity quantity) const {
    const auto value = number(quantity);
    return value ? std::optional<int>(static_cast<int>(*value)) : std::nullopt;
}

std::string ZoneValues::word(Quantity quantity) const {
    return get<std::string>(quantity).value_or("");
}

Result<FittingValue> fitting_value(const ZoneKey& key, const ValuePlace& place,
                                   const WrittenValue& written) {
    const ValueReader reader(key, written, place.file.empty());
    FittingValue value = reader.fitting();
    if (!std::holds_alternative<std::monostate>(value)) return value;
    return fail_at(place,
                   subject(key, place) + " must be " + wanted_value(key) + not_clause(written),
                   reader.hint());
}

std::string subject(const ZoneKey& key, const ValuePlace& place) {
    if (place.file.empty()) return option_name(key);
    return place.file + ":" + std::to_string(place.line) + ": the key " + quoted(key.name);
}

std::string mention(const ZoneKey& key, const ValuePlace& place) {
    if (place.file.empty()) return option_name(key);
    return quoted(key.name) + " (line " + std::to_string(place.line) + ")";
}

tl::unexpected<Error> fail_at(const ValuePlace& place, std::string message, std::string hint) {
    return fail(place.file.empty() ? ErrorCode::usage : ErrorCode::bad_input, std::move(message),
                std::move(hint));
}

std::string quoted(std::string_view word) {
    return "\"" + std::string(word.substr(0, kShownBytes)) + "\"";
}

std::optional<CalendarDay> calendar_day(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
    const auto digits = [text](std::size_t at, std::size_t count) {
        int value = -1;
        const char* const end = text.data() + at + count;
        const auto [stop, error] = std::from_chars(text.data() + at, end, value);
        return error == std::errc{} && stop == end ? value : -1;
    };
    const CalendarDay day{digits(0, 4), digits(5, 2), digits(8, 2)};
    if (day.year < 0 || day.month < 1 || day.day < 1) return std::nullopt;
    const std::chrono::year_month_day calendar(std::chrono::year(day.year),
                                               std::chrono::month(static_cast<unsigned>(day.month)),
                                               std::chrono::day(static_cast<unsigned>(day.day)));
    return calendar.ok() ? std::optional(day) : std::nullopt;
}

}  // namespace thirstline
