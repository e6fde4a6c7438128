#include "lookup/zone_file/zone_options.hpp"

#include <CLI/App.hpp>
#include <algorithm>

#include "lookup/plain_numbers.hpp"
#include "lookup/zone_file/zone_assembly.hpp"

namespace thirstline {
namespace {

constexpr std::string_view kNoMonth = "none";

const char* group_of(KeyTable table) {
    switch (table) {
        case KeyTable::site:
            return "Local rules";
        case KeyTable::water:
            return "Water price";
        case KeyTable::zone:
            return "One zone, in place of a file";
    }
    return "";
}

const char* type_name_of(ValueKind kind) {
    switch (kind) {
        case ValueKind::number:
        case ValueKind::whole_number:
            return "N";
        case ValueKind::date:
            return "DATE";
        case ValueKind::text:
            return "TEXT";
        case ValueKind::choice:
        case ValueKind::choice_or_share:
            return "WORD";
        case ValueKind::days:
        case ValueKind::twelve_numbers:
        case ValueKind::months:
        case ValueKind::tiers:
            return "LIST";
    }
    return "";
}

std::vector<std::string_view> parted(std::string_view text, char by) {
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
    for (const std::string_view part : parted(text, ',')) {
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
                            key.kind == ValueKind::twelve_numbers;
    if (key.kind == ValueKind::tiers) return written_tiers(text);
    if (key.kind == ValueKind::text) return text;
    if (key.kind == ValueKind::months && text == kNoMonth) return std::vector<WrittenItem>{};
    const bool is_word =
        std::find(key.choices.begin(), key.choices.end(), text) != key.choices.end();
    const bool is_list =
        takes_list && !is_word &&
        (text.find(',') != std::string::npos || key.kind != ValueKind::twelve_numbers);
    if (is_list) {
        std::vector<WrittenItem> items;
        for (const std::string_view part : parted(text, ',')) items.push_back(written_item(part));
        return items;
    }
    return std::visit([](const auto& value) { return WrittenValue(value); }, written_item(text));
}

}  // namespace

void ZoneOptions::declare(CLI::App& app) {
    const auto keys = zone_keys();
    texts_.resize(keys.size());
    for (std::size_t i = 0; i < keys.size(); ++i) {
        app.add_option(option_name(keys[i]), texts_[i], std::string(keys[i].help))
            ->type_name(type_name_of(keys[i].kind))
            ->group(group_of(keys[i].table));
    }
}

bool ZoneOptions::any_given() const {
    return std::any_of(texts_.begin(), texts_.end(),
                       [](const auto& text) { return text.has_value(); });
}

std::string ZoneOptions::first_given() const {
    for (std::size_t i = 0; i < texts_.size(); ++i) {
        if (texts_[i]) return option_name(zone_keys()[i]);
    }
    return {};
}

Result<ZoneSet> ZoneOptions::zone_set_of_options() const {
    ZoneTables tables;
    tables.zones.emplace_back();
    for (std::size_t i = 0; i < texts_.size(); ++i) {
        if (!texts_[i]) continue;
        const ZoneKey& key = zone_keys()[i];
        auto value = fitting_value(key, {}, written_value(key, *texts_[i]));
        if (!value) return fail(std::move(value.error()));
        if (key.table == KeyTable::water && !tables.water) tables.water.emplace();
        ZoneValues& table = key.table == KeyTable::site    ? tables.site
                            : key.table == KeyTable::water ? *tables.water
                                                           : tables.zones.front();
        table.values.push_back({&key, {}, std::move(*value)});
    }
    return zone_set(tables);
}

}  // namespace thirstline
