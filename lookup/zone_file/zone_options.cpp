#include "lookup/zone_file/zone_options.hpp"

#include <CLI/App.hpp>
#include <algorithm>

#include "lookup/zone_file/zone_keys.hpp"
#include "schema/command_line/option_values.hpp"

namespace thirstline {
namespace {

const char* group_of(KeyTable table) {
    switch (table) {
        case KeyTable::site:
        case KeyTable::restriction:
        case KeyTable::meter:
            return "Local rules";
        case KeyTable::water:
            return "Water price";
        case KeyTable::controller:
        case KeyTable::job:
        case KeyTable::season:
            return "Controller and season";
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
        case ValueKind::year_day:
            return "DATE";
        case ValueKind::yes_or_no:
            return "BOOL";
        case ValueKind::text:
        case ValueKind::hours:
        case ValueKind::digits_days:
            return "TEXT";
        case ValueKind::clock:
            return "TIME";
        case ValueKind::choice:
        case ValueKind::choice_or_share:
            return "WORD";
        case ValueKind::days:
        case ValueKind::twelve_numbers:
        case ValueKind::months:
        case ValueKind::zone_kinds:
        case ValueKind::numbers:
        case ValueKind::readings:
        case ValueKind::price_tiers:
            return "LIST";
    }
    return "";
}

}  // namespace

void ZoneOptions::declare(CLI::App& app) {
    const auto keys = zone_keys();
    texts_.resize(keys.size());
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (!is_option(keys[i])) continue;
        CLI::Option* option =
            app.add_option(option_name(keys[i]), texts_[i], std::string(keys[i].help))
                ->type_name(type_name_of(keys[i].kind))
                ->group(group_of(keys[i].table));
        if (!keys[i].choices.empty())
            offer_words(*option, {keys[i].choices.begin(), keys[i].choices.end()});
    }
}

bool ZoneOptions::any_given() const {
    return std::any_of(texts_.begin(), texts_.end(),
                       [](const auto& text) { return text.has_value(); });
}

std::string ZoneOptions::first_given() const {
    for (std::size_t i = 0; i < texts_.size(); ++i)
        if (texts_[i]) return option_name(zone_keys()[i]);
    return {};
}

Result<ZoneSet> ZoneOptions::zone_set_of_options() const {
    return zone_set_of_texts(texts_);
}

}  // namespace thirstline
