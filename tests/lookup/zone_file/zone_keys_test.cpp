// Exact conversions: the international inch is 25.4 mm, the foot 0.3048 m, the US gallon 231 cubic
// inches (NIST Handbook 44, appendix C; from memory, and recomputed).
#include "lookup/zone_file/zone_keys.hpp"

#include <gtest/gtest.h>

#include <map>
#include <set>

#include "lookup/demand/demand_checks.hpp"
#include "lookup/zone_file/zone_assembly.hpp"

namespace thirstline {
namespace {

const ZoneKey& key_named(KeyTable table, std::string_view name) {
    for (const ZoneKey& key : zone_keys()) {
        if (key.table == table && key.name == name) return key;
    }
    ADD_FAILURE() << name;
    return zone_keys().front();
}

TEST(ZoneKeys, ConvertToSi) {
    const auto si = [](KeyTable table, std::string_view name) {
        return key_named(table, name).si_per_unit;
    };
    EXPECT_DOUBLE_EQ(si(KeyTable::zone, "area_ft2"), 0.3048 * 0.3048);
    EXPECT_DOUBLE_EQ(si(KeyTable::zone, "rate_in_per_h"), 25.4);
    EXPECT_DOUBLE_EQ(si(KeyTable::zone, "flow_gpm"), 231 * 16.387064 / 1000);
    EXPECT_DOUBLE_EQ(si(KeyTable::site, "flow_gpm"), 231 * 16.387064 / 1000);
    EXPECT_DOUBLE_EQ(si(KeyTable::zone, "gph_each"), 231 * 16.387064 / 1000);
    EXPECT_DOUBLE_EQ(si(KeyTable::zone, "available_water_in_per_ft"), 25.4 / 0.3048);
    EXPECT_DOUBLE_EQ(si(KeyTable::site, "yearly_allowance_m3"), 1000.0);
    for (const char* name : {"root_depth_in", "intake_in_per_h", "surface_storage_in"}) {
        EXPECT_DOUBLE_EQ(si(KeyTable::zone, name), 25.4) << name;
    }
}

TEST(ZoneKeys, EveryUsUnitHasItsMetricTwin) {
    std::map<std::pair<KeyTable, Quantity>, std::set<bool>> twins;
    for (const ZoneKey& key : zone_keys()) {
        const std::string name = '_' + std::string(key.name) + '_';
        for (const char* unit : {"_ft2_", "_in_", "_gpm_", "_gph_", "_gal_", "_in_per_"}) {
            if (name.find(unit) != std::string::npos) twins[{key.table, key.quantity}].insert(true);
        }
        const bool is_number = key.kind == ValueKind::number || key.kind == ValueKind::numbers;
        if (is_number && key.si_per_unit == 1.0) {
            twins[{key.table, key.quantity}].insert(false);
        }
    }
    for (const auto& [quantity, kinds] : twins) {
        EXPECT_TRUE(!kinds.contains(true) || kinds.contains(false))
            << static_cast<int>(quantity.second);
    }
}

TEST(ZoneKeys, AreUnlikeInFileAndOnTheCommandLine) {
    std::set<std::pair<KeyTable, std::string_view>> names;
    std::set<std::string> options;
    for (const ZoneKey& key : zone_keys()) {
        EXPECT_TRUE(names.insert({key.table, key.name}).second) << key.name;
        EXPECT_TRUE(!is_option(key) || options.insert(option_name(key)).second) << key.name;
    }
    EXPECT_TRUE(options.contains("--area-ft2"));
    EXPECT_TRUE(options.contains("--site-flow-gpm"));
    // What the command has besides.
    for (const char* taken : {"--at", "--postal", "--country", "--elevation", "--own", "--units",
                              "--unit", "--format", "--zones", "--db", "--width"}) {
        EXPECT_FALSE(options.contains(taken)) << taken;
    }
}

TEST(ZoneKeys, StateTheirRangeInTheirOwnUnit) {
    EXPECT_EQ(wanted_value(key_named(KeyTable::zone, "root_depth_in")),
              "a number from 0.99 to 110");
    EXPECT_EQ(wanted_value(key_named(KeyTable::zone, "root_depth_mm")), "a number from 25 to 3000");
    EXPECT_EQ(wanted_value(key_named(KeyTable::zone, "planting")),
              "\"cool turf\" or \"warm turf\"");
}

TEST(ZoneKeys, OfferOnlyANearbyWord) {
    const auto hint = [](std::string_view name, const WrittenValue& written) {
        const auto value = fitting_value(key_named(KeyTable::zone, name), {}, written);
        return value ? "accepted" : value.error().hint;
    };
    EXPECT_EQ(hint("exposure", std::string("windy")), "");
    EXPECT_EQ(hint("exposure", std::string("shadde")), "did you mean \"shaded\"?");
    EXPECT_EQ(hint("rain_credit", std::string("most")), "");
    EXPECT_EQ(hint("soil", std::string("silt loam")), "accepted");
    EXPECT_EQ(hint("soil", std::string("silt lome")), "did you mean \"silt loam\"?");
    EXPECT_EQ(hint("distribution_uniformity", 65.0), "65% is 0.65");
}

TEST(ZoneKeys, AcceptTheTradesWordsForAChoice) {
    const auto accepted = [](std::string_view name, const WrittenValue& written) {
        return fitting_value(key_named(KeyTable::zone, name), {}, written).value();
    };
    for (const char* word : {"sunny", "Sun", "full sun", "Average"})
        EXPECT_EQ(std::get<std::string>(accepted("exposure", std::string(word))), "average");
    EXPECT_EQ(std::get<std::string>(accepted("exposure", std::string("shade"))), "shaded");
    EXPECT_EQ(std::get<std::string>(accepted("soil", std::string("Clay Loam"))), "clay loam");
}

/// The values that a zone needs beside the one that is tried.
ZoneValues zone_with_key(const ZoneKey& key, double value_si) {
    ZoneValues values;
    const auto add = [&values](Quantity quantity, FittingValue value) {
        for (const ZoneKey& other : zone_keys()) {
            if (other.quantity != quantity) continue;
            values.values.push_back({&other, {}, std::move(value)});
            return;
        }
    };
    using enum Quantity;
    const bool is_drip = key.quantity == emitters || key.quantity == emitter_flow ||
                         key.quantity == wetted_area || key.quantity == plants;
    const auto is_one_of = [&key](std::initializer_list<Quantity> quantities) {
        return std::find(quantities.begin(), quantities.end(), key.quantity) != quantities.end();
    };
    if (is_drip && key.quantity != emitters) add(emitters, 10.0);
    if (is_drip && key.quantity != emitter_flow) add(emitter_flow, 4.0);
    if (!is_drip && !is_one_of({rate, zone_flow})) add(rate, 20.0);
    if (is_one_of({density, microclimate})) add(species, 0.5);
    if (!is_one_of({plant_factor, species, density, microclimate})) {
        add(planting, std::string("cool turf"));
    }
    if (is_one_of({new_planting_minutes, new_planting_runs})) {
        add(new_planting_until, CalendarDay{2030, 5, 1});
    }
    if (key.quantity == new_planting_runs) add(new_planting_minutes, 5.0);
    if (key.quantity == tolerated_salinity) add(water_salinity, 1.0);
    // The wetted area is part of the planted one.
    if (key.quantity != area) add(area, key.quantity == wetted_area ? value_si : 100.0);
    values.values.push_back({&key, {}, value_si});
    return values;
}

/// Of which only several together are a zone's number.
bool is_measured(Quantity quantity) {
    using enum Quantity;
    for (const Quantity one :
         {catch_can_area, catch_can_minutes, nozzle_flow, nozzle_area, Quantity::sand_percent,
          Quantity::clay_percent, field_capacity, wilting_point}) {
        if (quantity == one) return true;
    }
    return false;
}

TEST(ZoneKeys, AcceptNoNumberThatThePlanRefuses) {
    int tried = 0;
    for (const ZoneKey& key : zone_keys()) {
        const bool is_number = key.kind == ValueKind::number || key.kind == ValueKind::whole_number;
        if (key.table != KeyTable::zone || !is_number || is_measured(key.quantity)) continue;
        for (const double value_si : {key.range.least, key.range.greatest}) {
            const auto set = zone_set({{}, std::nullopt, {zone_with_key(key, value_si)}});
            ASSERT_TRUE(set) << key.name << ": " << set.error().message;
            const auto checked = check_zones(set->zones);
            EXPECT_TRUE(checked) << key.name << ": " << checked.error().message;
            ++tried;
        }
    }
    EXPECT_GT(tried, 50);
    const ZoneValues sound_zone = zone_with_key(key_named(KeyTable::zone, "slope_percent"), 5.0);
    for (const ZoneKey& key : zone_keys()) {
        if (key.table != KeyTable::site || key.kind != ValueKind::number) continue;
        for (const double value_si : {key.range.least, key.range.greatest}) {
            ZoneValues site;
            site.values.push_back({&key, {}, value_si});
            const auto set = zone_set({site, std::nullopt, {sound_zone}});
            ASSERT_TRUE(set) << set.error().message;
            const auto checked = check_local_rules(set->rules);
            EXPECT_TRUE(checked) << key.name << ": " << checked.error().message;
        }
    }
}

}  // namespace
}  // namespace thirstline
