#include "lookup/zone_file/zone_file.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "lookup/zone_file/zone_assembly.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/files/toml_file.hpp"

namespace thirstline {
namespace {

constexpr std::array kAllTables{KeyTable::site,        KeyTable::water, KeyTable::controller,
                                KeyTable::season,      KeyTable::zone,  KeyTable::job,
                                KeyTable::restriction, KeyTable::meter};

std::string place_text(const ValuePlace& place) {
    return place.file + ":" + std::to_string(place.line) + ": ";
}

/// The line, or that of the enclosing table if the parser does not know it.
ValuePlace place_of(const toml::node& node, const ValuePlace& around) {
    const auto line = static_cast<std::uint32_t>(node.source().begin.line);
    return {around.file, line == 0 ? around.line : line};
}

std::optional<WrittenItem> written_item(const toml::node& node) {
    if (node.is_number()) return WrittenItem(*node.value<double>());
    if (node.is_string()) return WrittenItem(*node.value<std::string>());
    return std::nullopt;
}

WrittenValue written_list(const toml::array& array) {
    std::vector<WrittenItem> items;
    for (const toml::node& node : array) {
        auto item = written_item(node);
        if (!item) return {};
        items.push_back(std::move(*item));
    }
    return items;
}

Result<WrittenValue> written_tiers(const toml::node& node, const ValuePlace& place) {
    const toml::array* array = node.as_array();
    if (array == nullptr) return WrittenValue{};
    std::vector<PriceTier> tiers;
    for (const toml::node& entry : *array) {
        const toml::table* table = entry.as_table();
        if (table == nullptr) return WrittenValue{};
        PriceTier tier;
        bool has_price = false;
        for (const auto& [key, value] : *table) {
            const auto number = value.is_number() ? value.value<double>() : std::nullopt;
            const bool is_price = key.str() == "price";
            if (!is_price && key.str() != "up_to") {
                return fail_at(place, place_text(place_of(value, place)) + "unknown key " +
                                          quoted(key.str()) + " in a tier; it has " +
                                          quoted("up_to") + " and " + quoted("price"));
            }
            if (!number) {
                return fail_at(place, place_text(place_of(value, place)) + quoted(key.str()) +
                                          " of a tier must be a number");
            }
            if (is_price) {
                tier.price = *number;
                has_price = true;
            } else {
                tier.up_to = *number;
            }
        }
        if (!has_price) {
            return fail_at(
                place, place_text(place_of(entry, place)) + "a tier lacks its " + quoted("price"));
        }
        tiers.push_back(tier);
    }
    return WrittenValue(std::move(tiers));
}

/// A date in TOML syntax, or as a text.
std::optional<CalendarDay> date_of_node(const toml::node& node) {
    if (const auto* date = node.as_date())
        return CalendarDay{(*date)->year, (*date)->month, (*date)->day};
    const auto text = node.value<std::string>();
    return text ? calendar_day(*text) : std::nullopt;
}

Result<WrittenValue> written_readings(const toml::node& node, const ValuePlace& place) {
    const toml::array* array = node.as_array();
    if (array == nullptr) return WrittenValue{};
    std::vector<MeterReading> readings;
    for (const toml::node& entry : *array) {
        const toml::table* table = entry.as_table();
        const toml::node* date = table == nullptr ? nullptr : table->get("date");
        const toml::node* reading = table == nullptr ? nullptr : table->get("reading");
        const auto day = date == nullptr ? std::nullopt : date_of_node(*date);
        if (!day || reading == nullptr || !reading->is_number() || table->size() != 2) {
            return fail_at(place, place_text(place_of(entry, place)) +
                                      "a reading of the meter has " + quoted("date") +
                                      ", such as 2027-05-01, and " + quoted("reading") +
                                      ", a number");
        }
        readings.push_back({*day, *reading->value<double>()});
    }
    return WrittenValue(std::move(readings));
}

Result<WrittenValue> written_value(const ZoneKey& key, const toml::node& node,
                                   const ValuePlace& place) {
    if (key.kind == ValueKind::price_tiers) return written_tiers(node, place);
    if (key.kind == ValueKind::readings) return written_readings(node, place);
    if (const toml::array* array = node.as_array()) return written_list(*array);
    if (const auto flag = node.value<bool>(); node.is_boolean()) return WrittenValue(*flag);
    if (const auto* date = node.as_date()) {
        return WrittenValue(CalendarDay{(*date)->year, (*date)->month, (*date)->day});
    }
    if (auto item = written_item(node)) {
        return std::visit([](auto& value) { return WrittenValue(std::move(value)); }, *item);
    }
    return WrittenValue{};
}

std::vector<std::string_view> key_names(KeyTable table) {
    std::vector<std::string_view> names;
    for (const ZoneKey& key : zone_keys())
        if (key.table == table) names.push_back(key.name);
    return names;
}

const ZoneKey* key_named(KeyTable table, std::string_view name) {
    const auto keys = zone_keys();
    const auto found = std::find_if(keys.begin(), keys.end(), [&](const ZoneKey& key) {
        return key.table == table && key.name == name;
    });
    return found == keys.end() ? nullptr : &*found;
}

tl::unexpected<Error> unknown_key(KeyTable table, std::string_view name, const ValuePlace& place) {
    const std::string start =
        place_text(place) + "unknown key " + quoted(name) + " in " + std::string(table_name(table));
    for (const KeyTable other : kAllTables) {
        if (key_named(other, name) == nullptr) continue;
        return fail_at(place, start + "; it belongs in " + std::string(table_name(other)));
    }
    return fail_at(place, start + did_you_mean_clause(name, key_names(table)));
}

Result<ZoneValues> read_table(KeyTable table, const toml::table& toml_table,
                              const ValuePlace& around) {
    ZoneValues values;
    values.place = place_of(toml_table, around);
    for (const auto& [name, node] : toml_table) {
        ValuePlace place = place_of(node, values.place);
        const ZoneKey* key = key_named(table, name.str());
        if (key == nullptr) return unknown_key(table, name.str(), place);
        auto written = TRY(written_value(*key, node, place));
        auto value = TRY(fitting_value(*key, place, written));
        values.values.push_back({key, std::move(place), std::move(value)});
    }
    // By line, so that the message about two exclusive values names the later one.
    std::stable_sort(
        values.values.begin(), values.values.end(),
        [](const ZoneValue& a, const ZoneValue& b) { return a.place.line < b.place.line; });
    return values;
}

/// Tables that a file may have more than once; `node` may be null if there are none.
Result<std::vector<ZoneValues>> read_each(KeyTable table, const toml::node* node,
                                          const ValuePlace& file) {
    std::vector<ZoneValues> tables;
    if (node == nullptr) return tables;
    const toml::array* array = node->as_array();
    const bool are_tables =
        array != nullptr && std::all_of(array->begin(), array->end(),
                                        [](const toml::node& entry) { return entry.is_table(); });
    if (!are_tables) {
        const ValuePlace place = place_of(*node, file);
        return fail_at(place,
                       place_text(place) + "each " +
                           (table == KeyTable::zone ? "zone" : "restriction") +
                           " is written with two brackets: " + std::string(table_name(table)));
    }
    if (array->size() > kMaxZones) {
        return fail_at(file, file.file + ": there are " + std::to_string(array->size()) + " " +
                                 std::string(table_name(table)) + " tables; the maximum is " +
                                 std::to_string(kMaxZones) +
                                 "; give each controller a file of its own");
    }
    for (const toml::node& entry : *array) {
        auto values = TRY(read_table(table, *entry.as_table(), file));
        tables.push_back(std::move(values));
    }
    return tables;
}

Result<std::vector<ZoneValues>> read_zones(const toml::node* node, const ValuePlace& file) {
    auto zones = TRY(read_each(KeyTable::zone, node, file));
    if (zones.empty())
        return fail_at(file, file.file + ": there is no zone; begin one with [[zone]]");
    return zones;
}

/// A table that a file may have once; may be absent.
Result<std::optional<ZoneValues>> read_single(KeyTable table, const toml::node* node,
                                              const ValuePlace& file) {
    if (node == nullptr) return std::nullopt;
    if (!node->is_table()) {
        const ValuePlace place = place_of(*node, file);
        return fail_at(
            place, place_text(place) + "this must be the table " + std::string(table_name(table)));
    }
    return TRY(read_table(table, *node->as_table(), file));
}

Result<void> refuse_other_tables(const toml::table& document, const ValuePlace& file) {
    const std::vector<std::string_view> known{"site", "water", "controller",  "season",
                                              "zone", "job",   "restriction", "meter"};
    for (const auto& [name, node] : document) {
        if (std::find(known.begin(), known.end(), name.str()) != known.end()) continue;
        const ValuePlace place = place_of(node, file);
        for (const KeyTable table : kAllTables) {
            if (key_named(table, name.str()) == nullptr) continue;
            return fail_at(place, place_text(place) + "the key " + quoted(name.str()) +
                                      " is outside of every table; it belongs in " +
                                      std::string(table_name(table)));
        }
        return fail_at(place, place_text(place) + "unknown key " + quoted(name.str()) +
                                  " in the zone file" + did_you_mean_clause(name.str(), known));
    }
    return {};
}

}  // namespace

Result<ZoneSet> read_zone_file(const std::string& path) {
    const auto text = TRY(text_of_toml_file(path, "zone file"));
    return zones_of_text(text, path);
}

Result<ZoneSet> zones_of_text(const std::string& text, const std::string& name) {
    const auto document = TRY(toml_of_text(text, name));
    const ValuePlace file{name, 1};
    TRY(refuse_other_tables(document, file));
    ZoneTables tables;
    auto site = TRY(read_single(KeyTable::site, document.get("site"), file));
    if (site) tables.site = std::move(*site);
    tables.water = TRY(read_single(KeyTable::water, document.get("water"), file));
    auto controller = TRY(read_single(KeyTable::controller, document.get("controller"), file));
    if (controller) tables.controller = std::move(*controller);
    auto season = TRY(read_single(KeyTable::season, document.get("season"), file));
    if (season) tables.season = std::move(*season);
    auto job = TRY(read_single(KeyTable::job, document.get("job"), file));
    if (job) tables.job = std::move(*job);
    tables.meter = TRY(read_single(KeyTable::meter, document.get("meter"), file));
    tables.zones = TRY(read_zones(document.get("zone"), file));
    tables.restrictions = TRY(read_each(KeyTable::restriction, document.get("restriction"), file));
    return zone_set(tables);
}

}  // namespace thirstline
