#include "lookup/site/site_hints.hpp"

#include <algorithm>
#include <optional>
#include <vector>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

constexpr int kPlacesShown = 5;

std::string place_names_hint(const std::vector<PostalPlace>& places) {
    std::string list;
    for (std::size_t i = 0; i < std::min<std::size_t>(places.size(), kPlacesShown); ++i) {
        const PostalPlace& place = places[i];
        add_word(list, place.code + " " + place.country + " (" + place.place + ")");
    }
    const bool has_more = places.size() > kPlacesShown;
    return "use the postal code of the place: " + list + (has_more ? " and more" : "");
}

}  // namespace

Result<std::string> unknown_postal_hint(Database& database, const SiteQuery& query,
                                        std::string_view typed) {
    const std::string code = query.postal.value_or("");
    if (code.find_first_of("0123456789") == std::string::npos) {
        const auto places = TRY(database.postal_places_named(typed, kPlacesShown + 1));
        return places.empty() ? std::string() : place_names_hint(places);
    }
    std::vector<std::string> countries;
    if (query.country) {
        countries.push_back(*query.country);
    } else {
        countries = TRY(database.postal_countries());
    }
    for (const std::string& country : countries) {
        const auto codes = TRY(database.postal_codes_beside(code, country));
        if (codes.empty()) continue;
        return "the nearest codes of " + country + " in the file are " + joined(codes) +
               "; a code of post-office boxes or of one organization may have no area";
    }
    return std::string();
}

Result<std::string> wrong_sign_hint(Database& database, LatLonE7 position) {
    struct Slip {
        LatLonE7 meant;
        const char* rule;
    };
    for (const Slip& slip :
         {Slip{{position.lat_e7, -position.lon_e7}, "longitude is negative west of Greenwich"},
          Slip{{-position.lat_e7, position.lon_e7}, "latitude is negative south of the equator"}}) {
        const auto answer = TRY(database.answer(slip.meant, std::nullopt));
        if (answer.found) return "did you mean " + lat_lon_text(slip.meant) + "? " + slip.rule;
    }
    return std::string();
}

}  // namespace thirstline
