#include "builder/catalogue/catalogue.hpp"
#include "builder/catalogue/catalogue_text.hpp"
#include "schema/base/words.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kCommentColumns = 100;

std::string comment(const std::string& text) {
    return wrapped(text, kCommentColumns, "# ", "# ");
}

/// Each line of a block as a comment, so that it can be used by removing the signs.
std::string commented_out(const std::string& block) {
    std::string out;
    std::size_t begin = 0;
    while (begin < block.size()) {
        const std::size_t end = std::min(block.find('\n', begin), block.size());
        const std::string line = block.substr(begin, end - begin);
        out += line.empty() ? "\n" : "#" + line + "\n";
        begin = end + 1;
    }
    return out;
}

/// "30 MB and what the servers state for 7 other sources"
std::string sizes_text(const std::vector<CatalogueSource>& sources) {
    std::string known;
    std::vector<std::string> unknown;
    for (const CatalogueSource& source : sources) {
        if (!source.by_hand.empty()) continue;
        if (source.size_mb) {
            add_word(known, source.name + " " + megabytes_text(*source.size_mb));
        } else {
            unknown.push_back(source.name);
        }
    }
    std::string text = "Downloads: ";
    if (!known.empty()) text += known + "; ";
    text += "the catalogue has no size for " + joined(unknown) +
            ". `thirstline-builder fetch RECIPE --dry-run` asks the servers and shows all sizes "
            "before anything is downloaded.";
    return text;
}

std::string introduction(const ReadyRecipe& recipe, const std::vector<CatalogueSource>& used) {
    std::string text =
        comment(recipe.title) + "#\n" + comment(recipe.about) + "#\n" + comment(sizes_text(used));
    for (const CatalogueSource& source : used) {
        if (source.kind != "elevation" || source.by_hand.empty()) continue;
        text += "#\n" + comment("Download the elevation by hand: " + source.by_hand + ".");
    }
    return text + "#\n" +
           comment(
               "{data} in a path is the folder into which fetch downloads: this recipe's name "
               "with the ending .data, beside it. Check the terms of each source before you "
               "publish the result: `thirstline-builder check` sums them up.") +
           "\n";
}

std::string source_comment(const CatalogueSource& source) {
    std::string text = comment("--- " + source.title + ". License: " + source.licence +
                               ". Facts: " + verified_text(source));
    if (!source.note.empty()) text += comment(source.note);
    if (!source.by_hand.empty()) text += comment("To download by hand: " + source.by_hand + ".");
    return text;
}

}  // namespace

Result<std::string> recipe_text(const Catalogue& catalogue, const ReadyRecipe& recipe) {
    const auto known_source = [&](const std::string& name) -> Result<CatalogueSource> {
        auto source = catalogue.source(name);
        if (!source) return fail(ErrorCode::internal, source.error().message);
        return source;
    };
    std::vector<CatalogueSource> used;
    for (const ReadyRecipe::Part& part : recipe.parts) {
        auto source = TRY(known_source(part.source));
        used.push_back(std::move(source));
    }
    std::string text = introduction(recipe, used) + recipe.head;
    for (std::size_t i = 0; i < used.size(); ++i) {
        const CatalogueSource& source = used[i];
        const bool is_optional = !source.by_hand.empty() && source.kind != "elevation";
        text += "\n" + source_comment(source);
        if (is_optional)
            text += comment("Then remove the first sign of each line below, and it is used.");
        std::vector<std::string> countries = recipe.parts[i].countries;
        if (countries.empty()) countries.emplace_back();
        for (std::size_t c = 0; c < countries.size(); ++c) {
            const std::string block = source.block_for(countries[c]);
            text += (c == 0 ? "" : "\n") + (is_optional ? commented_out(block) : block);
        }
    }
    for (const std::string& name : recipe.not_used) {
        const auto source = TRY(known_source(name));
        text += "\n" + comment("Not used: " + source.title + ", because " + source.not_used + ".");
    }
    return text;
}

}  // namespace thirstline
