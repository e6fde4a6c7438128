#include "builder/licences/licences.hpp"

#include <algorithm>

#include "builder/licences/embedded_tables.hpp"
#include "builder/licences/licences_texts.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

Licence licence_of(const toml::table& table) {
    return {texts_at(table, "words"),
            text_at(table, "title"),
            text_at(table, "pass_on") == "yes",
            text_at(table, "commercial") == "yes",
            table["attribution"].value_or(true),
            table["share_alike"].value_or(false),
            texts_at(table, "beside"),
            text_at(table, "standing")};
}

template <class T, class Same>
void add_once(std::vector<T>& list, T item, Same same) {
    if (std::none_of(list.begin(), list.end(), [&](const T& known) { return same(known, item); }))
        list.push_back(std::move(item));
}

void add_text_once(std::vector<std::string>& list, const std::string& text) {
    if (!text.empty()) add_once(list, text, std::equal_to<>());
}

bool has_same_licence(const LicensedSource& a, const LicensedSource& b) {
    return folded_name(a.licence) == folded_name(b.licence);
}

/// Whether data under `other` may be part of a file under the share-alike licence.
bool accepts(const Licences& licences, const Licence& share_alike, const Licence& other) {
    return &share_alike == &other ||
           std::any_of(share_alike.beside.begin(), share_alike.beside.end(),
                       [&](const std::string& word) { return licences.find(word) == &other; });
}

void add_clashes(const Licences& licences, const std::vector<LicensedSource>& sources,
                 LicenceSummary& summary) {
    for (const LicensedSource& share_alike : summary.share_alike) {
        const Licence* licence = licences.find(share_alike.licence);
        for (const LicensedSource& other : sources) {
            const Licence* of_other = licences.find(other.licence);
            if (of_other == nullptr || accepts(licences, *licence, *of_other)) continue;
            add_once(summary.clashes, LicenceClash{share_alike, other},
                     [](const LicenceClash& a, const LicenceClash& b) {
                         return (has_same_licence(a.share_alike, b.share_alike) &&
                                 has_same_licence(a.other, b.other)) ||
                                (has_same_licence(a.share_alike, b.other) &&
                                 has_same_licence(a.other, b.share_alike));
                     });
        }
    }
}

}  // namespace

Result<Licences> Licences::known() {
    Licences licences;
    licences.licences_ = TRY(embedded_entries(licences_toml(), "licence", &licence_of));
    return licences;
}

const Licence* Licences::find(std::string_view word) const {
    const std::string folded = folded_name(word);
    if (folded.empty()) return nullptr;
    for (const Licence& licence : licences_)
        for (const std::string& known : licence.words)
            if (folded_name(known) == folded) return &licence;
    return nullptr;
}

LicenceSummary licence_summary(const Licences& licences,
                               const std::vector<LicensedSource>& sources) {
    LicenceSummary summary;
    summary.sources = sources.size();
    for (const LicensedSource& source : sources) {
        const Licence* licence = licences.find(source.licence);
        if (licence == nullptr || licence->needs_attribution)
            add_text_once(summary.attributions, source.attribution);
        if (source.attribution.find(kDateToFillIn) != std::string::npos)
            add_text_once(summary.without_date, source.name);
        if (licence == nullptr) {
            add_once(summary.unknown, source, has_same_licence);
            continue;
        }
        add_text_once(summary.standings, licence->words.front() + ": " + licence->standing);
        if (!licence->may_be_passed_on) summary.not_to_be_passed_on.push_back(source);
        if (!licence->allows_commercial_use) summary.non_commercial.push_back(source);
        if (licence->is_share_alike) add_once(summary.share_alike, source, has_same_licence);
    }
    add_clashes(licences, sources, summary);
    return summary;
}

std::string publishing_restriction(const LicenceSummary& summary) {
    const auto of = [](const LicensedSource& source) {
        return "the license " + in_quotes(source.licence) + " of " + in_quotes(source.name);
    };
    if (!summary.not_to_be_passed_on.empty())
        return of(summary.not_to_be_passed_on.front()) + " does not allow passing the data on";
    if (!summary.non_commercial.empty())
        return of(summary.non_commercial.front()) + " does not allow commercial use";
    if (summary.clashes.empty()) return {};
    const LicenceClash& clash = summary.clashes.front();
    return of(clash.share_alike) + " requires the same license for the file, which " +
           of(clash.other).substr(4) + " does not allow";
}

}  // namespace thirstline
