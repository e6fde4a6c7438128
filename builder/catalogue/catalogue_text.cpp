#include "builder/catalogue/catalogue_text.hpp"

#include <cstdio>
#include <nlohmann/json.hpp>

#include "schema/base/words.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kTextColumns = 100;

std::string with_full_stop(std::string text) {
    if (!text.empty() && !text.ends_with('.')) text += ".";
    return text;
}

/// What the licence allows, in a few words.
std::string allowance_text(const std::string& word, const Licences& licences) {
    const Licence* licence = licences.find(word);
    if (licence == nullptr) return word + ": not known to this program; read it";
    std::string text = word + " (" + licence->title + "): a file made from it ";
    text += licence->may_be_passed_on ? "may be passed on" : "must not be passed on";
    text += licence->allows_commercial_use ? ", commercial use is allowed"
                                           : ", commercial use is not allowed";
    if (licence->needs_attribution) text += ", the attribution must be shown";
    if (licence->is_share_alike) text += ", the file must have the same license";
    return text + ". This is " + (licence->standing == "read" ? "as read" : licence->standing) +
           ", and not legal advice";
}

std::string size_text(const CatalogueSource& source) {
    if (source.size_mb) return megabytes_text(*source.size_mb);
    return source.by_hand.empty() && !source.block.empty()
               ? "not known; fetch asks the server before the download"
               : "not known";
}

std::string readable_text(const CatalogueSource& source) {
    if (source.block.empty()) return "no recipe block";
    return source.by_hand.empty() ? "fetch downloads it" : "to be downloaded by hand";
}

nlohmann::ordered_json json_of(const CatalogueSource& source, const Licences& licences) {
    using Json = nlohmann::ordered_json;
    const Licence* licence = licences.find(source.licence);
    Json json{{"name", source.name},
              {"title", source.title},
              {"provider", source.provider},
              {"kind", source.kind},
              {"period", source.period},
              {"region", source.region},
              {"resolution", source.resolution}};
    json["variables"] = source.variables;
    json["licence"] = {{"word", source.licence}};
    if (licence != nullptr) {
        json["licence"]["title"] = licence->title;
        json["licence"]["may_be_passed_on"] = licence->may_be_passed_on;
        json["licence"]["commercial_use"] = licence->allows_commercial_use;
        json["licence"]["share_alike"] = licence->is_share_alike;
        json["licence"]["needs_attribution"] = licence->needs_attribution;
        json["licence"]["standing"] = licence->standing;
    }
    json["size_mb"] = source.size_mb ? Json(*source.size_mb) : Json(nullptr);
    json["urls"] = source.urls();
    json["verified"] = source.verified;
    json["verified_note"] = source.verified_note;
    json["note"] = source.note;
    json["by_hand"] = source.by_hand.empty() ? Json(nullptr) : Json(source.by_hand);
    json["not_used"] = source.not_used.empty() ? Json(nullptr) : Json(source.not_used);
    json["block"] = source.block.empty() ? Json(nullptr) : Json(source.block_for(""));
    return json;
}

/// How well the facts of a source are known, in a few words.
std::string standing_of_facts(const CatalogueSource& source) {
    if (source.verified == "seen") return "facts checked in a real file";
    if (source.verified == "second-hand") return "facts reported by others";
    return "facts " + source.verified;
}

}  // namespace

std::string megabytes_text(double megabytes) {
    char text[32];
    if (megabytes >= 1000.0) {
        std::snprintf(text, sizeof text, "%.1f GB", megabytes / 1000.0);
    } else {
        std::snprintf(text, sizeof text, megabytes < 10.0 ? "%.1f MB" : "%.0f MB", megabytes);
    }
    return text;
}

std::string verified_text(const CatalogueSource& source) {
    std::string text = source.verified;
    if (source.verified == "seen") text += ", a real file or the provider's own text was read";
    if (source.verified == "second-hand") text += ", stated by others who tested it";
    if (source.verified == "from memory") text += ", check before you rely on it";
    text += ".";
    if (!source.verified_note.empty()) text += " " + source.verified_note;
    return text;
}

std::string sources_text(const Catalogue& catalogue, const Licences& licences) {
    std::string out;
    for (const CatalogueSource& source : catalogue.sources()) {
        const Licence* licence = licences.find(source.licence);
        std::string terms = source.licence;
        if (licence != nullptr && !licence->may_be_passed_on) terms += " (must not be passed on)";
        if (licence != nullptr && licence->may_be_passed_on && !licence->allows_commercial_use)
            terms += " (not for commercial use)";
        out += left_aligned(source.name, 18) + source.title + "\n";
        std::string facts = source.region + "; " + source.resolution + "; " +
                            joined(source.variables) + "; " + terms + "; ";
        if (source.size_mb) facts += megabytes_text(*source.size_mb) + "; ";
        out += wrapped(facts + readable_text(source) + "; " + standing_of_facts(source),
                       kTextColumns, std::string(18, ' '), std::string(18, ' '));
    }
    return out +
           "\n`thirstline-builder sources NAME` prints a source's part of a recipe, ready to "
           "paste.\n";
}

std::string source_text(const CatalogueSource& source, const Licences& licences) {
    std::string out;
    const auto add = [&out](const std::string& label, const std::string& text) {
        if (!text.empty())
            out += wrapped(label + ": " + with_full_stop(text), kTextColumns, "# ", "#   ");
    };
    out += wrapped(with_full_stop(source.title), kTextColumns, "# ", "# ");
    add("Provider", source.provider);
    add("Period", source.period);
    add("Region", source.region + "; " + source.resolution);
    add("Variables", joined(source.variables));
    add("License", allowance_text(source.licence, licences));
    add("Size", size_text(source));
    add("Facts", verified_text(source));
    add("Note", source.note);
    add("To download by hand", source.by_hand);
    add("Not in the ready recipes", source.not_used);
    if (source.is_by_country())
        add("Country", "a block for each; change both letters everywhere in it");
    if (source.block.empty()) return out + "# It has no recipe block: the builder cannot use it.\n";
    return out + "\n" + source.block_for("");
}

std::string sources_json(const std::vector<CatalogueSource>& sources, const Licences& licences) {
    nlohmann::ordered_json json{{"schema_version", 1}};
    json["sources"] = nlohmann::ordered_json::array();
    for (const CatalogueSource& source : sources)
        json["sources"].push_back(json_of(source, licences));
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::string recipes_text(const Catalogue& catalogue) {
    std::string out;
    for (const ReadyRecipe& recipe : catalogue.recipes())
        out += left_aligned(recipe.name, 18) + recipe.title + "\n";
    return out + "\n`thirstline-builder recipe NAME > recipe.toml` writes one to a file.\n";
}

}  // namespace thirstline
