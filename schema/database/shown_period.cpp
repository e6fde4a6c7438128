#include "schema/database/shown_period.hpp"

#include <algorithm>
#include <array>

namespace thirstline {

namespace {

struct VariableOfKind {
    std::string_view begins;  ///< the variable's name, or its beginning
    std::string_view kind;
};

// The more special name first.
constexpr std::array<VariableOfKind, 12> kKindOfVariable{{
    {"tm", "temperature"},            // tmax, tmin, tmean
    {"temperature_", "temperature"},  // temperature_range
    {"rain_days", ""},
    {"rain", "rain"},
    {"vapour_", "humidity"},
    {"specific_", "humidity"},
    {"dew_", "humidity"},
    {"relative_", "humidity"},
    {"wind", "wind"},
    {"sunshine_", "radiation"},
    {"cloud", "radiation"},
    {"radiation", "radiation"},
}};
constexpr std::array<std::string_view, 6> kKinds{"temperature", "rain",      "humidity",
                                                 "wind",        "radiation", "reference ET"};

std::string_view kind_of_variable(std::string_view variable) {
    if (variable == "eto") return "reference ET";
    const auto found = std::ranges::find_if(kKindOfVariable, [variable](const VariableOfKind& row) {
        return variable.starts_with(row.begins);
    });
    return found == kKindOfVariable.end() ? std::string_view() : found->kind;
}

/// The names in a source's "tmax, tmin, rain".
std::vector<std::string_view> variables_of(std::string_view text) {
    std::vector<std::string_view> names;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of(", "), text.size());
        if (end > 0) names.push_back(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return names;
}

bool is_listed(std::string_view ids, int id) {
    const std::string list = " " + std::string(ids) + " ";
    return list.find(" " + std::to_string(id) + " ") != std::string::npos;
}

}  // namespace

std::vector<KindPeriods> periods_by_kind(const std::vector<Source>& sources,
                                         std::string_view baseline_period,
                                         std::string_view station_sources) {
    std::vector<KindPeriods> kinds;
    for (const std::string_view kind : kKinds) {
        KindPeriods of_kind{std::string(kind), {}};
        bool is_of_stations = false;
        for (const Source& source : sources) {
            if (source.values_used == 0 || source.period.empty()) continue;
            const auto variables = variables_of(source.variable);
            if (std::ranges::none_of(variables,
                                     [kind](auto name) { return kind_of_variable(name) == kind; }))
                continue;
            is_of_stations = is_of_stations || (source.period == baseline_period &&
                                                is_listed(station_sources, source.id));
            if (std::ranges::find(of_kind.periods, source.period) == of_kind.periods.end())
                of_kind.periods.push_back(source.period);
        }
        if (is_of_stations) of_kind.periods = {std::string(baseline_period)};
        std::ranges::sort(of_kind.periods);
        if (!of_kind.periods.empty()) kinds.push_back(std::move(of_kind));
    }
    return kinds;
}

bool differ_by_kind(const std::vector<KindPeriods>& kinds) {
    return std::ranges::any_of(
        kinds, [&](const KindPeriods& kind) { return kind.periods != kinds.front().periods; });
}

std::string period_text_of(const std::vector<KindPeriods>& kinds,
                           const std::string& baseline_period) {
    if (kinds.empty()) return baseline_period;
    const auto joined = [](const std::vector<std::string>& periods, const char* between) {
        std::string text;
        for (const std::string& period : periods) text += (text.empty() ? "" : between) + period;
        return text;
    };
    if (!differ_by_kind(kinds)) return joined(kinds.front().periods, "; ");
    std::string text;
    for (const KindPeriods& kind : kinds)
        text += (text.empty() ? "" : ", ") + kind.kind + " " + joined(kind.periods, " and ");
    return text;
}

std::string shown_period(const Database& database, const std::vector<Source>& sources) {
    const std::string& stated = database.metadata("period");
    return period_text_of(periods_by_kind(sources, stated, database.metadata("station_sources")),
                          stated);
}

}  // namespace thirstline
