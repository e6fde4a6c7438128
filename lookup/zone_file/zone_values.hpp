// Values of a zone file or of the command's options, checked one at a time: each of its kind,
// within its range and in SI. Combinations of values are checked in zone_assembly.hpp.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/meter_comparison.hpp"
#include "lookup/demand/water_price.hpp"
#include "lookup/demand/zone.hpp"
#include "lookup/zone_file/rule_texts.hpp"
#include "lookup/zone_file/zone_keys.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// The position of a value, for messages.
struct ValuePlace {
    std::string file;  ///< empty: the command's options
    std::uint32_t line = 0;
};

/// A value as it was written, before it is checked against its key.
using WrittenItem = std::variant<double, std::string>;
using WrittenValue = std::variant<std::monostate,  ///< of a kind that no key allows
                                  double, bool, std::string, std::vector<WrittenItem>, CalendarDay,
                                  std::vector<PriceTier>, std::vector<MeterReading>>;

/// Days by house number, before the number is known.
struct ByAddress {};

/// A valid value for its key; never without a kind. Choices remain words.
using FittingValue =
    std::variant<std::monostate, double, bool, std::string, AllowedDays, Monthly<double>,
                 Monthly<bool>, CalendarDay, YearDay, std::vector<PriceTier>, RainCredit, ClockTime,
                 ByAddress, std::vector<BarredSpan>, std::vector<AddressDays>, ExemptZones,
                 std::vector<double>, std::vector<MeterReading>>;

struct ZoneValue {
    const ZoneKey* key = nullptr;
    ValuePlace place;
    FittingValue value;
};

/// The values of one table of a file, or of the options that belong to it.
struct ZoneValues {
    ValuePlace place;  ///< of the table
    std::vector<ZoneValue> values;

    [[nodiscard]] const ZoneValue* find(Quantity quantity) const;
    [[nodiscard]] bool has(Quantity quantity) const { return find(quantity) != nullptr; }
    /// Empty if not given. The quantity's kind must allow such a value.
    template <class T>
    [[nodiscard]] std::optional<T> get(Quantity quantity) const {
        const ZoneValue* found = find(quantity);
        return found == nullptr ? std::nullopt : std::optional<T>(std::get<T>(found->value));
    }
    [[nodiscard]] std::optional<double> number(Quantity quantity) const {
        return get<double>(quantity);
    }
    [[nodiscard]] std::optional<int> whole_number(Quantity quantity) const;
    /// Empty text if not given.
    [[nodiscard]] std::string word(Quantity quantity) const;
};

/// Errors: the value is of another kind or out of its range; the message names place and key. In a
/// file the error is bad_input, on the command line usage.
[[nodiscard]] Result<FittingValue> fitting_value(const ZoneKey& key, const ValuePlace& place,
                                                 const WrittenValue& written);

/// `zones.toml:12: the key "area_ft2"`, or `--area-ft2`: for the beginning of a message.
[[nodiscard]] std::string subject(const ZoneKey& key, const ValuePlace& place);

/// `"efficiency" (line 13)`, or `--efficiency`: for the rest of a message.
[[nodiscard]] std::string mention(const ZoneKey& key, const ValuePlace& place);

/// An error at that place.
[[nodiscard]] tl::unexpected<Error> fail_at(const ValuePlace& place, std::string message,
                                            std::string hint = {});

/// "north lawn" in double quotes, at most forty bytes of the name
[[nodiscard]] std::string quoted(std::string_view word);

/// A calendar date, "2030-05-31"; nothing for any other text or a date that does not exist.
[[nodiscard]] std::optional<CalendarDay> calendar_day(std::string_view text);

}  // namespace thirstline
