#include "builder/licences/licence_text.hpp"

#include <nlohmann/json.hpp>

#include "schema/base/words.hpp"
#include "schema/text/text_wrapping.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kSummaryColumns = 79;
constexpr std::size_t kMaxNamed = 3;

/// `"CC-BY-NC-4.0" of Wind, Rain and 7 more`, by licence.
std::vector<std::string> named_by_licence(const std::vector<LicensedSource>& sources) {
    std::vector<std::string> words;
    std::vector<std::vector<std::string>> names;
    for (const LicensedSource& source : sources) {
        std::size_t at = 0;
        while (at < words.size() && folded_name(words[at]) != folded_name(source.licence)) ++at;
        if (at == words.size()) {
            words.push_back(source.licence);
            names.emplace_back();
        }
        names[at].push_back(source.name);
    }
    std::vector<std::string> texts;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (names[i].size() > kMaxNamed + 1) {
            const std::size_t more = names[i].size() - kMaxNamed;
            names[i].resize(kMaxNamed);
            names[i].push_back(std::to_string(more) + " more");
        }
        texts.push_back(in_quotes(words[i]) + " of " + joined_with_and(names[i]));
    }
    return texts;
}

const char* verdict(const LicenceSummary& summary, const std::vector<LicensedSource>& refusing) {
    if (!refusing.empty()) return "no";
    return summary.unknown.empty() && summary.clashes.empty() ? "yes" : "unclear";
}

std::string entry(const std::string& text) {
    return wrapped(text, kSummaryColumns, "  ", "    ");
}

std::string verdict_text(const std::string& what, const LicenceSummary& summary,
                         const std::vector<LicensedSource>& refusing) {
    std::string text = what + ": " + verdict(summary, refusing);
    if (!refusing.empty()) text += ", because of " + joined(named_by_licence(refusing), "; ");
    return entry(text);
}

std::string clash_text(const LicenceClash& clash) {
    return in_quotes(clash.share_alike.licence) + " of " + clash.share_alike.name +
           " requires the same license for the whole file, and may not allow data under " +
           in_quotes(clash.other.licence) + " of " + clash.other.name +
           " in it; leave one of them out, or ask the providers";
}

}  // namespace

std::string licence_summary_text(const LicenceSummary& summary) {
    std::string text = "Licenses of the sources (information from their terms, not legal advice)\n";
    text += verdict_text("the file may be passed on", summary, summary.not_to_be_passed_on);
    text += verdict_text("commercial use", summary, summary.non_commercial);
    for (const LicensedSource& source : summary.share_alike)
        text += entry("share-alike: the file must have the license " + in_quotes(source.licence) +
                      ", because of " + source.name);
    for (const LicenceClash& clash : summary.clashes) text += entry("clash: " + clash_text(clash));
    for (const std::string& unknown : named_by_licence(summary.unknown))
        text += entry("not known to this program: " + unknown +
                      "; read it before you pass the file on");
    if (!summary.without_date.empty())
        text += entry("to complete: write the date of access for " + std::string(kDateToFillIn) +
                      " in the attribution of " + joined_with_and(summary.without_date));
    if (!summary.standings.empty())
        text += entry("basis of these terms: " + joined(summary.standings, "; "));
    if (summary.attributions.empty()) return text + entry("attribution: not required");
    text += "  attributions to show with the file:\n";
    for (const std::string& line : summary.attributions)
        text += wrapped(line, kSummaryColumns, "  - ", "    ");
    return text;
}

nlohmann::ordered_json licence_summary_json(const LicenceSummary& summary) {
    using Json = nlohmann::ordered_json;
    const auto list = [](const std::vector<LicensedSource>& sources) {
        Json array = Json::array();
        for (const LicensedSource& source : sources)
            array.push_back({{"source", source.name}, {"licence", source.licence}});
        return array;
    };
    Json json{{"may_be_passed_on", verdict(summary, summary.not_to_be_passed_on)},
              {"commercial_use", verdict(summary, summary.non_commercial)}};
    json["not_to_be_passed_on"] = list(summary.not_to_be_passed_on);
    json["non_commercial"] = list(summary.non_commercial);
    json["share_alike"] = list(summary.share_alike);
    json["clashes"] = Json::array();
    for (const LicenceClash& clash : summary.clashes)
        json["clashes"].push_back(list({clash.share_alike, clash.other}));
    json["unknown"] = list(summary.unknown);
    json["attributions"] = summary.attributions;
    json["attributions_without_date"] = summary.without_date;
    json["standings"] = summary.standings;
    json["note"] = "Information from the sources' terms, not legal advice.";
    return json;
}

}  // namespace thirstline
