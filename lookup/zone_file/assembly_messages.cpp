#include "lookup/zone_file/assembly_messages.hpp"

#include <algorithm>

namespace thirstline {

std::string asked_for(Quantity quantity, const ValuePlace& place) {
    const auto keys = zone_keys();
    std::string out;
    for (const ZoneKey& key : keys) {
        if (key.quantity != quantity) continue;
        out += (out.empty() ? "" : " or ") +
               (place.file.empty() ? option_name(key) : quoted(key.name));
    }
    return out;
}

std::string table_start(const ValuePlace& place, KeyTable table) {
    if (place.file.empty()) return table == KeyTable::zone ? "the zone " : "";
    return place.file + ":" + std::to_string(place.line) + ": " + std::string(table_name(table)) +
           " ";
}

Result<void> check_single_units(const ZoneValues& values) {
    for (auto value = values.values.begin(); value != values.values.end(); ++value) {
        const auto before =
            std::find_if(values.values.begin(), value, [value](const ZoneValue& other) {
                return other.key->quantity == value->key->quantity;
            });
        if (before == value) continue;
        return fail_at(value->place,
                       subject(*value->key, value->place) + " gives the same quantity as " +
                           mention(*before->key, before->place) + "; keep one of them");
    }
    return {};
}

}  // namespace thirstline
