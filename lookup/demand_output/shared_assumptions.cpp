#include "lookup/demand_output/shared_assumptions.hpp"

#include <algorithm>

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

std::string values_text(const SharedAssumption& assumption, std::size_t zones) {
    std::string out;
    for (const SharedAssumption::Value& value : assumption.values) {
        out += (out.empty() ? "" : "; ") + value.value;
        const bool holds_for_all = value.zones.empty() || value.zones.size() == zones;
        if (!holds_for_all) out += " for " + joined_with_and(value.zones);
    }
    return out;
}

std::string assumption_sentence(const SharedAssumption& assumption, std::size_t zones) {
    return capitalised(assumption.what) + ": " + values_text(assumption, zones) + ". " +
           capitalised(assumption.source) + " (" + std::string(basis_name(assumption.basis)) + ").";
}

std::vector<std::string> assumptions_by_source(const DemandPlan& plan) {
    struct Group {
        std::string source;
        std::string list;
    };
    std::vector<Group> groups;
    for (const SharedAssumption& assumption : shared_assumptions(plan)) {
        const std::string basis(basis_name(assumption.basis));
        const bool has_publication = assumption.basis == Basis::seen ||
                                     assumption.basis == Basis::second_hand ||
                                     assumption.basis == Basis::memory;
        const std::string source =
            has_publication ? capitalised(assumption.source) + " (" + basis + ")"
            : assumption.basis == Basis::own_choice ? "Thirstline's assumptions"
                                                    : capitalised(basis);
        auto group = std::find_if(groups.begin(), groups.end(),
                                  [&source](const Group& known) { return known.source == source; });
        if (group == groups.end()) group = groups.insert(groups.end(), Group{source, ""});
        group->list += (group->list.empty() ? "" : "; ") + assumption.what + " " +
                       values_text(assumption, plan.zones.size());
    }
    std::vector<std::string> out;
    for (const Group& group : groups) out.push_back(group.source + ": " + group.list + ".");
    return out;
}

}  // namespace thirstline
