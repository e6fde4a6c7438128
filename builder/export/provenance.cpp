#include "builder/export/provenance.hpp"

#include <cpl_string.h>

#include <algorithm>

#include "schema/base/version.hpp"
#include "schema/database/missing_rows.hpp"
#include "schema/database/shown_period.hpp"

namespace thirstline {

namespace {

std::string distinct(const std::vector<Source>& sources, std::string Source::*text) {
    std::vector<std::string> seen;
    std::string all;
    for (const Source& source : sources) {
        if ((source.*text).empty() || std::ranges::find(seen, source.*text) != seen.end()) continue;
        seen.push_back(source.*text);
        all += (all.empty() ? "" : "; ") + source.*text;
    }
    return all;
}

/// "name  value" in columns; empty for an empty value.
std::string line(const std::string& name, const std::string& value) {
    constexpr std::size_t kNameWidth = 16;
    if (value.empty()) return "";
    return name + std::string(std::max(kNameWidth, name.size() + 1) - name.size(), ' ') + value +
           "\n";
}

}  // namespace

std::string on_one_line(std::string_view text) {
    std::string line(text);
    for (char& c : line) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte < 0x20 || byte == 0x7F) c = ' ';
    }
    if (CPLIsUTF8(line.c_str(), static_cast<int>(line.size())) == 0) {
        for (char& c : line)
            if (static_cast<unsigned char>(c) >= 0x80) c = '?';
    }
    return line;
}

Result<Provenance> provenance_of(Database& database, const std::string& selection) {
    auto sources = TRY(database.sources());
    for (Source& source : sources) {
        for (std::string* text : {&source.name, &source.variable, &source.period, &source.licence,
                                  &source.attribution, &source.url})
            *text = on_one_line(*text);
    }
    const auto metadata = [&database](const char* key) {
        return on_one_line(database.metadata(key));
    };
    Edition edition = edition_of(database);
    for (const EditionKey& key : kEditionKeys) edition.*key.text = on_one_line(edition.*key.text);
    return Provenance{metadata("title"),
                      metadata("region"),
                      metadata("publisher"),
                      on_one_line(shown_notice(database)),
                      on_one_line(shown_period(database, sources)),
                      metadata("reference"),
                      metadata("site_correction"),
                      metadata("soil_heat_flux"),
                      metadata("content_sha256"),
                      on_one_line(selection),
                      std::string("thirstline-builder ") + kProgramVersion,
                      std::move(edition),
                      std::move(sources)};
}

std::string licences(const Provenance& provenance) {
    return distinct(provenance.sources, &Source::licence);
}

std::string attributions(const Provenance& provenance) {
    return distinct(provenance.sources, &Source::attribution);
}

std::string source_line(const Source& source) {
    std::string text = source.variable + ": " + source.name +
                       (source.period.empty() ? "" : ", " + source.period) + ". " +
                       source.attribution + ". License: " + source.licence + ".";
    if (!source.url.empty()) text += " " + source.url;
    return text;
}

std::string reference_et_name(const Provenance& provenance) {
    return provenance.reference == "tall"
               ? "reference evapotranspiration, tall reference surface (alfalfa)"
               : "reference evapotranspiration, short reference surface (grass)";
}

std::vector<std::pair<std::string, std::string>> provenance_items(const Provenance& provenance) {
    std::vector<std::pair<std::string, std::string>> items{
        {"TITLE", provenance.title},
        {"REGION", provenance.region},
        {"PUBLISHER", provenance.publisher},
        {"EDITION", provenance.edition.edition},
        {"DATE", provenance.edition.date},
        {"DOI", provenance.edition.doi},
        {"CONTACT", provenance.edition.contact},
        {"LICENCE_OF_DATASET", provenance.edition.licence},
        {"NOTICE", provenance.notice},
        {"PERIOD", provenance.period},
        {"ETO", reference_et_name(provenance)},
        {"SITE_CORRECTION", provenance.site_correction},
        {"SOIL_HEAT_FLUX", provenance.soil_heat_flux},
        {"SELECTION", provenance.selection},
        {"LICENCE", licences(provenance)},
        {"ATTRIBUTION", attributions(provenance)},
        {"MADE_FROM_SHA256", provenance.content_sha256},
        {"MADE_BY", provenance.program}};
    std::erase_if(items, [](const auto& item) { return item.second.empty(); });
    return items;
}

std::string provenance_text(const Provenance& provenance) {
    std::string text;
    text += line("title", provenance.title);
    text += line("region", provenance.region);
    text += line("publisher", provenance.publisher);
    for (const EditionKey& key : kEditionKeys)
        text += line(std::string(key.key), provenance.edition.*key.text);
    text += line("notice", provenance.notice);
    text += line("period", provenance.period);
    text += line("ETo", reference_et_name(provenance));
    text += line("site correction", provenance.site_correction);
    text += line("soil heat flux", provenance.soil_heat_flux);
    text += line("selection", provenance.selection);
    text += line("licences", licences(provenance));
    text += line("made from", "a database of content SHA-256 " + provenance.content_sha256 +
                                  ", by " + provenance.program);
    for (std::size_t s = 0; s < provenance.sources.size(); ++s)
        text += line("source " + std::to_string(s + 1), source_line(provenance.sources[s]));
    return text;
}

}  // namespace thirstline
