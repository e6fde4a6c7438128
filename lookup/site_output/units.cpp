#include "lookup/site_output/units.hpp"

#include <algorithm>
#include <initializer_list>
#include <string>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

/// The first locale category that is set is used.
std::string_view first_set(std::initializer_list<std::string_view> names) {
    for (const std::string_view name : names)
        if (!name.empty()) return name;
    return {};
}

/// "US" of "en_US.UTF-8@currency=…"; empty for "C" or "en".
std::string_view territory_of(std::string_view locale) {
    locale = locale.substr(0, locale.find_first_of(".@"));
    const std::size_t underscore = locale.find('_');
    return underscore == std::string_view::npos ? std::string_view{}
                                                : locale.substr(underscore + 1);
}

}  // namespace

std::optional<UnitSystem> unit_system_named(std::string_view name) {
    if (name == "us") return UnitSystem::us;
    if (name == "metric") return UnitSystem::metric;
    return std::nullopt;
}

UnitSystem unit_system_of_locale(const Environment& environment) {
    const std::string_view territory =
        territory_of(first_set({environment.lc_all, environment.lc_measurement, environment.lang}));
    const bool inches_are_used = territory == "US" || territory == "LR" || territory == "MM";
    return inches_are_used ? UnitSystem::us : UnitSystem::metric;
}

bool locale_is_utf8(const Environment& environment) {
    std::string name{first_set({environment.lc_all, environment.lc_ctype, environment.lang})};
    std::erase(name, '-');
    return ascii_lower(name).find(".utf8") != std::string::npos;
}

}  // namespace thirstline
