#include "lookup/site/site_hints.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "schema/base/words.hpp"
#include "schema/database/missing_rows.hpp"
#include "schema/database/postal_codes.hpp"
#include "schema/geo/chord.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kPlacesShown = 6;
constexpr int kPlacesRead = 2000;
/// Codes of one name that are nearer to each other belong to the same place.
constexpr double kSamePlaceKm = 50.0;

double distance_km(const PostalPlace& a, const PostalPlace& b) {
    return metres_of_squared_chord(
               squared_chord_q60(unit_vector_q30(a.position), unit_vector_q30(b.position))) /
           1000.0;
}

/// The first code of each place.
std::vector<PostalPlace> distinct_places(const std::vector<PostalPlace>& places) {
    std::vector<PostalPlace> distinct;
    for (const PostalPlace& place : places) {
        const bool is_known =
            std::any_of(distinct.begin(), distinct.end(), [&place](const PostalPlace& known) {
                return known.place == place.place && distance_km(known, place) < kSamePlaceKm;
            });
        if (!is_known) distinct.push_back(place);
        if (distinct.size() > kPlacesShown) break;
    }
    return distinct;
}

std::string degrees_text(LatLonE7 position) {
    const double lat_deg = position.lat_e7 / 1e7;
    const double lon_deg = position.lon_e7 / 1e7;
    return fixed(std::abs(lat_deg), 1) + (lat_deg < 0.0 ? " S " : " N ") +
           fixed(std::abs(lon_deg), 1) + (lon_deg < 0.0 ? " W" : " E");
}

std::string place_names_hint(const std::vector<PostalPlace>& places) {
    std::string list;
    for (std::size_t i = 0; i < std::min(places.size(), kPlacesShown); ++i) {
        const PostalPlace& place = places[i];
        list += (i > 0 ? ", " : "") + place.code + " " + place.country + " (" + place.place + ", " +
                degrees_text(place.position) + ")";
    }
    const bool has_more = places.size() > kPlacesShown;
    return "use the postal code of the place: " + list + (has_more ? " and more" : "");
}

/// The name as typed, then in other spellings: without a state or province after it, and with
/// "Saint" for "St.".
std::vector<std::string> spellings(std::string_view typed) {
    constexpr std::string_view kBlanks = " \t,";
    const std::size_t first = typed.find_first_not_of(kBlanks);
    if (first == std::string_view::npos) return {};
    const std::string name(typed.substr(first, typed.find_last_not_of(kBlanks) - first + 1));
    std::vector<std::string> names{name};
    if (const std::size_t comma = name.find(','); comma != std::string::npos) {
        names.push_back(name.substr(0, comma));
    } else if (const std::size_t blank = name.rfind(' ');
               blank != std::string::npos && name.size() - blank == 3) {
        names.push_back(name.substr(0, blank));
    }
    constexpr std::array<std::pair<std::string_view, std::string_view>, 3> kShort{
        {{"st", "saint"}, {"ft", "fort"}, {"mt", "mount"}}};
    for (std::size_t i = 0, typed_names = names.size(); i < typed_names; ++i) {
        const std::size_t end = names[i].find_first_of(". ");
        if (end == std::string::npos) continue;
        const std::size_t rest = names[i].find_first_not_of(". ", end);
        if (rest == std::string::npos) continue;
        for (const auto& [abbreviation, word] : kShort) {
            if (ascii_lower(names[i].substr(0, end)) == abbreviation)
                names.push_back(std::string(word) + " " + names[i].substr(rest));
        }
    }
    return names;
}

Result<std::string> place_hint(Database& database, std::string_view typed) {
    for (const std::string& name : spellings(typed)) {
        const auto places = distinct_places(TRY(database.postal_places_named(name, kPlacesRead)));
        if (!places.empty()) return place_names_hint(places);
    }
    return std::string();
}

}  // namespace

Result<std::string> unknown_postal_hint(Database& database, const SiteQuery& query,
                                        std::string_view typed) {
    const std::string code = query.postal.value_or("");
    if (code.find_first_of("0123456789") == std::string::npos) return place_hint(database, typed);
    std::vector<std::string> countries;
    if (query.country) {
        countries.push_back(*query.country);
    } else {
        countries = TRY(database.postal_countries());
    }
    for (const std::string& country : countries) {
        if (!normalised_postal_code(country, code)) continue;
        const auto codes = TRY(database.adjacent_postal_codes(code, country));
        if (codes.empty()) continue;
        return "the nearest codes of " + country + " in the file are " + joined(codes) +
               "; a code of post-office boxes or of one organization may have no area";
    }
    if (countries.size() == 1) {
        const auto normalised = normalised_postal_code(countries.front(), code);
        if (!normalised)
            return "it has those of " + countries.front() + "; " + normalised.error().message;
    }
    return std::string();
}

Result<std::string> wrong_sign_hint(Database& database, LatLonE7 position) {
    struct Slip {
        LatLonE7 meant;
        const char* rule;
    };
    const bool can_be_swapped =
        std::abs(std::int64_t{position.lon_e7}) <= 90 * std::int64_t{kE7PerDegree};
    const LatLonE7 swapped{can_be_swapped ? position.lon_e7 : position.lat_e7,
                           can_be_swapped ? position.lat_e7 : position.lon_e7};
    for (const Slip& slip :
         {Slip{{position.lat_e7, -position.lon_e7}, "longitude is negative west of Greenwich"},
          Slip{{-position.lat_e7, position.lon_e7}, "latitude is negative south of the equator"},
          Slip{swapped, "latitude comes first"}}) {
        const auto answer = TRY(database.answer(slip.meant, std::nullopt));
        if (answer.found) return "did you mean " + lat_lon_text(slip.meant) + "? " + slip.rule;
    }
    return incomplete_words(database);
}

}  // namespace thirstline
