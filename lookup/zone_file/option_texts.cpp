#include "lookup/zone_file/option_texts.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

#include "lookup/zone_file/zone_assembly.hpp"
#include "schema/text/plain_numbers.hpp"

namespace thirstline {
namespace {

constexpr std::string_view kNoMonth = "none";

std::vector<std::string_view> separated(std::string_view text, char by) {
    std::vector<std::string_view> parts;
    for (std::size_t at = 0; at <= text.size();) {
        const std::size_t end = std::min(text.find(by, at), text.size());
        std::string_view part = text.substr(at, end - at);
        part.remove_prefix(std::min(part.find_first_not_of(' '), part.size()));
        part = part.substr(0, part.find_last_not_of(' ') + 1);
        parts.push_back(part);
        at = end + 1;
    }
    return parts;
}

WrittenItem written_item(std::string_view text) {
    if (const auto number = plain_number(text)) return *number;
    return std::string(text);
}

/// "10:3.1,5.4"
WrittenValue written_tiers(std::string_view text) {
    std::vector<PriceTier> tiers;
    for (const std::string_view part : separated(text, ',')) {
        const std::size_t colon = part.find(':');
        PriceTier tier;
        if (colon != std::string_view::npos) {
            tier.up_to = plain_number(part.substr(0, colon));
            if (!tier.up_to) return {};
        }
        const auto price =
            plain_number(colon == std::string_view::npos ? part : part.substr(colon + 1));
        if (!price) return {};
        tier.price = *price;
        tiers.push_back(tier);
    }
    return tiers;
}

WrittenValue written_value(const ZoneKey& key, const std::string& text) {
    const bool takes_list = key.kind == ValueKind::days || key.kind == ValueKind::months ||
                            key.kind == ValueKind::twelve_numbers ||
                            key.kind == ValueKind::zone_kinds || key.kind == ValueKind::numbers;
    const bool is_plain_text = key.kind == ValueKind::text || key.kind == ValueKind::clock ||
                               key.kind == ValueKind::hours || key.kind == ValueKind::digits_days;
    if (key.kind == ValueKind::price_tiers) return written_tiers(text);
    if (is_plain_text) return text;
    if (key.kind == ValueKind::months && text == kNoMonth) return std::vector<WrittenItem>{};
    const bool is_word =
        std::find(key.choices.begin(), key.choices.end(), text) != key.choices.end();
    const bool is_list =
        takes_list && !is_word &&
        (text.find(',') != std::string::npos || key.kind != ValueKind::twelve_numbers);
    if (is_list) {
        std::vector<WrittenItem> items;
        for (const std::string_view part : separated(text, ','))
            items.push_back(written_item(part));
        return items;
    }
    return std::visit([](const auto& value) { return WrittenValue(value); }, written_item(text));
}

}  // namespace

Result<ZoneSet> zone_set_of_texts(const OptionTexts& texts) {
    ZoneTables tables;
    tables.zones.emplace_back();
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const ZoneKey& key = zone_keys()[i];
        if (!texts[i] || !is_option(key)) continue;
        auto value = TRY(fitting_value(key, {}, written_value(key, *texts[i])));
        if (key.table == KeyTable::water && !tables.water) tables.water.emplace();
        ZoneValues& table = key.table == KeyTable::site         ? tables.site
                            : key.table == KeyTable::water      ? *tables.water
                            : key.table == KeyTable::controller ? tables.controller
                            : key.table == KeyTable::season     ? tables.season
                                                                : tables.zones.front();
        table.values.push_back({&key, {}, std::move(value)});
    }
    return zone_set(tables);
}

}  // namespace thirstline
