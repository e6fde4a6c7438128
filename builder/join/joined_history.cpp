#include "builder/join/joined_history.hpp"

#include <map>

#include "schema/base/version.hpp"

namespace thirstline {

namespace {

std::string stated(const JoinedBaseline& baseline, std::string_view key) {
    const auto found = baseline.metadata.find(key);
    return found == baseline.metadata.end() ? std::string() : found->second;
}

/// The steps of one baseline, the last of which states the content hash of its result if that is
/// one file.
std::vector<HistoryStep> steps_of(const JoinedBaseline& baseline) {
    std::vector<HistoryStep> steps = baseline.history;
    if (steps.empty()) {
        HistoryStep build;
        build.step = 1;
        build.action = kBuildAction;
        build.program = stated(baseline, "builder_version");
        build.title = stated(baseline, "title");
        steps.push_back(std::move(build));
    }
    if (const std::string whole = stated(baseline, "subset_of"); !whole.empty()) {
        HistoryStep subset;
        subset.step = steps.back().step + 1;
        subset.action = kSubsetAction;
        subset.program = stated(baseline, "builder_version");
        subset.title = stated(baseline, "title");
        subset.inputs = {steps.back().step};
        subset.note = stated(baseline, "subset_selection");
        steps.back().content_sha256 = whole;
        steps.push_back(std::move(subset));
    }
    if (baseline.inputs.size() == 1)
        steps.back().content_sha256 = baseline.inputs.front()->database->metadata("content_sha256");
    return steps;
}

}  // namespace

std::vector<HistoryStep> joined_history(const std::vector<const JoinedBaseline*>& baselines) {
    if (baselines.size() == 1) return baselines.front()->history;
    std::vector<HistoryStep> history;
    std::map<const JoinedBaseline*, int> last_step;
    for (const JoinedBaseline* baseline : baselines) {
        const int before = static_cast<int>(history.size());
        for (HistoryStep step : steps_of(*baseline)) {
            step.step += before;
            for (int& input : step.inputs) input += before;
            history.push_back(std::move(step));
        }
        last_step[baseline] = static_cast<int>(history.size());
    }
    HistoryStep join;
    join.step = static_cast<int>(history.size()) + 1;
    join.action = kJoinAction;
    join.program = kProgramVersion;
    for (const JoinedBaseline* baseline : baselines) {
        join.inputs.push_back(last_step[baseline]);
        join.title += (join.title.empty() ? "" : "; ") + stated(*baseline, "title");
    }
    history.push_back(std::move(join));
    return history;
}

}  // namespace thirstline
