#include "lookup/site_output/source_sentences.hpp"

#include <algorithm>
#include <utility>

#include "lookup/texts/phrase.hpp"

namespace thirstline {
namespace {

/// Adds a full stop to a sentence unless it has one.
std::string sentence(const std::string& text) {
    return text.empty() || text.ends_with('.') ? text : text + ".";
}

bool have_the_same_terms(const Source& a, const Source& b) {
    return a.period == b.period && a.licence == b.licence && a.attribution == b.attribution;
}

/// Sources of one period, licence and attribution, each name once.
struct SourceGroup {
    const Source* terms = nullptr;
    std::vector<std::string> names;

    void add(const std::string& name) {
        if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    }
};

std::vector<SourceGroup> grouped(const std::vector<Source>& sources) {
    std::vector<SourceGroup> groups;
    for (const Source& source : sources) {
        const auto group =
            std::find_if(groups.begin(), groups.end(), [&source](const SourceGroup& known) {
                return have_the_same_terms(*known.terms, source);
            });
        if (group != groups.end()) {
            group->add(source.name);
        } else {
            groups.push_back({&source, {source.name}});
        }
    }
    return groups;
}

}  // namespace

std::vector<std::string> source_sentences(const Baseline& baseline, Language language) {
    const TextStyle style{.language = language};
    std::vector<std::string> out;
    for (const SourceGroup& group : grouped(baseline.sources)) {
        std::string text;
        for (const std::string& name : group.names) text += (text.empty() ? "" : "; ") + name;
        if (!group.terms->period.empty()) text += ": " + group.terms->period;
        text = sentence(text);
        if (!group.terms->attribution.empty()) text += " " + sentence(group.terms->attribution);
        if (!group.terms->licence.empty()) {
            text += " " +
                    rendered({"source.license"_text, {{"license", sentence(group.terms->licence)}}},
                             style);
        }
        out.push_back(std::move(text));
    }
    return out;
}

std::vector<std::string> baseline_sentences(const Baseline& baseline, Language language) {
    const TextStyle style{.language = language};
    std::vector<std::string> out{
        rendered({"source.baseline"_text, {{"title", baseline.title}}}, style)};
    if (!baseline.publisher.empty())
        out.push_back(
            rendered({"source.publisher"_text, {{"publisher", baseline.publisher}}}, style));
    if (!baseline.notice.empty()) out.push_back(baseline.notice);
    return out;
}

}  // namespace thirstline
