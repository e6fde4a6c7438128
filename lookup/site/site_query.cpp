#include "lookup/site/site_query.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <utility>
#include <vector>

#include "lookup/site/layer_values.hpp"
#include "schema/base/words.hpp"
#include "schema/database/postal_codes.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

bool is_ascii_letter(char c) {
    return ascii_lower(c) >= 'a' && ascii_lower(c) <= 'z';
}

SiteFinding found(const PostalPlace& place) {
    SiteFinding finding;
    finding.query.position = place.position;
    finding.query.postal = place.code;
    finding.query.country = place.country;
    finding.query.place = place.place;
    return finding;
}

Result<SiteFinding> find_in_country(Database& database, std::string_view text,
                                    const std::string& country) {
    const auto code = TRY(normalised_postal_code(country, text));
    const auto places = TRY(database.postal_places(code));
    for (const PostalPlace& place : places)
        if (place.country == country) return found(place);
    SiteFinding finding;
    finding.query.postal = code;
    finding.query.country = country;
    finding.miss = Miss{"the file has no postal code " + code + " of " + country, ""};
    const auto countries = TRY(database.postal_countries());
    if (countries.empty()) {
        finding.miss = Miss{"the file has no postal codes", "use coordinates"};
    } else if (std::find(countries.begin(), countries.end(), country) == countries.end()) {
        finding.miss = Miss{"the file has no postal codes of " + country,
                            "it has those of " + joined(countries)};
    }
    return finding;
}

/// Letters without a digit, such as "St. Louis": no postal code, but a question all the same.
bool is_place_name(std::string_view text) {
    return std::any_of(text.begin(), text.end(), is_ascii_letter) &&
           text.find_first_of("0123456789") == std::string_view::npos;
}

Result<SiteFinding> find_anywhere(Database& database, std::string_view text) {
    const auto codes = possible_postal_codes(text);
    std::vector<PostalPlace> places;
    if (codes) places = TRY(places_meant_by(database, text));
    if (places.empty()) {
        if (const auto named = code_in_country(text)) {
            const auto countries = TRY(database.postal_countries());
            if (std::find(countries.begin(), countries.end(), named->country) != countries.end())
                return find_in_country(database, named->code, named->country);
        }
    }
    if (!codes) {
        if (!is_place_name(text)) return fail(codes.error());
        SiteFinding finding;
        finding.query.postal = std::string(text);
        finding.miss = Miss{in_quotes(text, 40) + " is not a postal code", ""};
        return finding;
    }
    if (places.size() == 1) return found(places.front());
    if (places.size() > 1) {
        std::vector<std::string> countries;
        for (const PostalPlace& place : places) countries.push_back(place.country);
        std::sort(countries.begin(), countries.end());
        return fail(
            ErrorCode::usage,
            "postal code " + codes->front() + " exists in several countries: " + joined(countries),
            "name one with --country");
    }
    SiteFinding finding;
    finding.query.postal = codes->front();
    finding.miss = Miss{"the file has no postal code " + codes->front(), lost_zero_hint(text)};
    return finding;
}

}  // namespace

Result<SiteFinding> find_postal_code(Database& database, std::string_view code,
                                     std::string_view country) {
    if (country.empty()) return find_anywhere(database, code);
    const auto normalised = TRY(normalised_country(country));
    return find_in_country(database, code, normalised);
}

Result<SiteFinding> find_site(Database& database, const SiteRequest& request) {
    SiteFinding finding;
    if (request.position) {
        finding.query.position = request.position;
    } else {
        finding = TRY(find_postal_code(database, request.postal, request.country));
    }
    finding.query.elevation_m = request.elevation_m;
    finding.query.typed_elevation_m = request.typed_elevation_m;
    return finding;
}

std::string lat_lon_text(LatLonE7 position) {
    std::string text;
    append_degrees(text, position.lat_e7);
    text.push_back(',');
    append_degrees(text, position.lon_e7);
    return text;
}

Miss no_data_near(LatLonE7 position, std::int32_t reach_m) {
    return {"the file has no data within " + fixed(reach_m / 1000.0, reach_m % 1000 == 0 ? 0 : 1) +
                " km of " + lat_lon_text(position),
            ""};
}

std::string elevation_too_far(const Answer& answer, const TileLayout& layout,
                              std::int32_t elevation_m) {
    const auto terrain_m = static_cast<std::int32_t>(
        std::lround(LayerValues(answer, layout, LayerId::elevation).at(0).value_or(0.0)));
    return "the elevation " + std::to_string(elevation_m) + " m is " +
           std::to_string(std::abs(elevation_m - terrain_m)) +
           (elevation_m > terrain_m ? " m above" : " m below") + " the terrain around the site, " +
           std::to_string(terrain_m) + " m; the maximum adjustment is " +
           std::to_string(kMaxAdjustmentM) + " m";
}

}  // namespace thirstline
