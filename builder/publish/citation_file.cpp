#include "builder/publish/citation_file.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

/// A text in double quotes, as JSON writes it, is valid YAML.
std::string quoted(const std::string& text) {
    return nlohmann::json(plain_text(text)).dump();
}

std::string line(const std::string& key, const std::string& text) {
    return text.empty() ? std::string() : key + ": " + quoted(text) + "\n";
}

/// The form of an identifier of SPDX; others are not valid in the format.
bool is_licence_identifier(const std::string& text) {
    return text.find('-') != std::string::npos && std::ranges::all_of(text, [](char c) {
               return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
                      c == '-' || c == '.' || c == '+';
           });
}

bool is_web_address(const std::string& text) {
    return text.starts_with("https://") || text.starts_with("http://");
}

}  // namespace

std::string citation_cff(const Provenance& provenance) {
    if (provenance.publisher.empty()) return {};
    const Edition& edition = provenance.edition;
    std::string contact;
    if (is_web_address(edition.contact)) {
        contact = "    website: " + quoted(edition.contact) + "\n";
    } else if (edition.contact.find('@') != std::string::npos &&
               edition.contact.find(' ') == std::string::npos) {
        contact = "    email: " + quoted(edition.contact) + "\n";
    }
    std::string text =
        "cff-version: 1.2.0\n"
        "message: \"Cite this dataset, and add the attributions of the sources that you use.\"\n"
        "type: dataset\n" +
        line("title", provenance.title) + "authors:\n  - name: " + quoted(provenance.publisher) +
        "\n" + contact + line("version", edition.edition) + line("date-released", edition.date) +
        line("doi", edition.doi) + "identifiers:\n  - type: other\n    value: " +
        quoted("sha256:" + provenance.content_sha256) +
        "\n    description: \"Content SHA-256 of the database\"\n";
    if (is_licence_identifier(edition.licence)) text += line("license", edition.licence);
    if (is_web_address(edition.licence)) text += line("license-url", edition.licence);
    const std::string period =
        provenance.period.empty() ? "" : " Normals of " + provenance.period + ".";
    return text +
           line("abstract", "Monthly normals of reference evapotranspiration and rain" +
                                (provenance.region.empty() ? "" : " of " + provenance.region) +
                                "." + period + " Computed with " + provenance.program + ".");
}

}  // namespace thirstline
