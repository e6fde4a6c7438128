// What identifies an edition of a baseline, for people who cite it: metadata of the same names.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "schema/database/database.hpp"

namespace thirstline {

/// All may be empty.
struct Edition {
    std::string edition;  ///< such as "2026.1"
    std::string date;     ///< of the edition: "2026-12-01"
    std::string doi;      ///< "10.1234/abcd"
    std::string contact;  ///< an address of the web or of mail, or words
    std::string licence;  ///< of the product; its sources have their own
    friend bool operator==(const Edition&, const Edition&) = default;
};

struct EditionKey {
    std::string_view key;  ///< in recipes, metadata and JSON
    std::string Edition::*text;
    const char* title;  ///< in reports
};
inline constexpr std::array<EditionKey, 5> kEditionKeys{{
    {"edition", &Edition::edition, "Edition"},
    {"date", &Edition::date, "Date"},
    {"doi", &Edition::doi, "DOI"},
    {"contact", &Edition::contact, "Contact"},
    {"licence", &Edition::licence, "License"},
}};

[[nodiscard]] inline Edition edition_of(const Database& database) {
    Edition edition;
    for (const EditionKey& key : kEditionKeys) edition.*key.text = database.metadata(key.key);
    return edition;
}

}  // namespace thirstline
