#include "lookup/demand_output/shared_assumptions.hpp"

#include <algorithm>
#include <utility>

#include "schema/text/word_lists.hpp"

namespace thirstline {
namespace {

void add_assumption(std::vector<SharedAssumption>& shared, const Assumption& assumption,
                    const std::string& zone) {
    const auto known = std::find_if(shared.begin(), shared.end(), [&assumption](const auto& other) {
        return other.what == assumption.what && other.source == assumption.source &&
               other.basis == assumption.basis;
    });
    SharedAssumption& entry = known != shared.end()
                                  ? *known
                                  : shared.emplace_back(SharedAssumption{
                                        assumption.what, {}, assumption.source, assumption.basis});
    const auto same =
        std::find_if(entry.values.begin(), entry.values.end(),
                     [&assumption](const auto& other) { return other.value == assumption.value; });
    auto& zones =
        same != entry.values.end()
            ? same->zones
            : entry.values.emplace_back(SharedAssumption::Value{assumption.value, {}}).zones;
    if (!zone.empty()) zones.push_back(zone);
}

}  // namespace

std::vector<SharedAssumption> shared_assumptions(const DemandPlan& plan) {
    std::vector<SharedAssumption> shared;
    for (const Assumption& assumption : plan.site.assumed) add_assumption(shared, assumption, "");
    for (const ZonePlan& zone : plan.zones) {
        for (const Assumption& assumption : zone.assumed)
            add_assumption(shared, assumption, zone.name);
    }
    return shared;
}

Phrase values_of(const SharedAssumption& assumption, std::size_t zones) {
    std::vector<Phrase> out;
    for (const SharedAssumption::Value& value : assumption.values) {
        const bool holds_for_all = value.zones.empty() || value.zones.size() == zones;
        if (holds_for_all) {
            out.push_back(value.value);
            continue;
        }
        std::vector<Phrase> names(value.zones.begin(), value.zones.end());
        out.push_back(
            {"assumed.value_for"_text,
             {{"value", value.value}, {"zones", Phrase::joined_with_and(std::move(names))}}});
    }
    return Phrase::joined(std::move(out), "; ");
}

std::string assumption_sentence(const SharedAssumption& assumption, std::size_t zones,
                                const TextStyle& style) {
    return rendered({"assumed.sentence"_text,
                     {{"what", capitalised(rendered(assumption.what, style))},
                      {"values", values_of(assumption, zones)},
                      {"source", capitalised(rendered(assumption.source, style))},
                      {"basis", basis_name(assumption.basis)}}},
                    style);
}

std::vector<std::string> assumptions_by_source(const DemandPlan& plan, const TextStyle& style) {
    struct Group {
        Phrase source;
        std::vector<Phrase> items;
    };
    std::vector<Group> groups;
    for (const SharedAssumption& assumption : shared_assumptions(plan)) {
        const TextKey basis = basis_name(assumption.basis);
        const bool has_publication = assumption.basis == Basis::seen ||
                                     assumption.basis == Basis::second_hand ||
                                     assumption.basis == Basis::memory;
        Phrase source = assumption.basis == Basis::own_choice
                            ? Phrase("assumed.own_choices"_text)
                            : Phrase(capitalised(rendered(basis, style)));
        if (has_publication) {
            source = {
                "assumed.publication"_text,
                {{"source", capitalised(rendered(assumption.source, style))}, {"basis", basis}}};
        }
        auto group = std::find_if(groups.begin(), groups.end(),
                                  [&source](const Group& known) { return known.source == source; });
        if (group == groups.end()) group = groups.insert(groups.end(), Group{source, {}});
        group->items.push_back(
            {"assumed.item"_text,
             {{"what", assumption.what}, {"values", values_of(assumption, plan.zones.size())}}});
    }
    std::vector<std::string> out;
    for (Group& group : groups) {
        out.push_back(rendered({"assumed.group"_text,
                                {{"source", std::move(group.source)},
                                 {"items", Phrase::joined(std::move(group.items), "; ")}}},
                               style));
    }
    return out;
}

}  // namespace thirstline
