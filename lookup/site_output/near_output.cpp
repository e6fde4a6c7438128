#include "lookup/site_output/near_output.hpp"

#include <cmath>

#include "lookup/site_output/place_text.hpp"
#include "lookup/site_output/site_json.hpp"
#include "schema/text/json_writer.hpp"
#include "schema/text/rounding.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {

namespace {

std::string station_text(const NearStation& near, const TextStyle& style) {
    const StationRecord& record = near.record;
    std::string out = wrapped(
        record.country.empty() ? record.name : record.name + ", " + record.country, kTextColumns);
    std::string where = distance_text(near.distance_km, style) + " away";
    if (near.elevation_difference_m) {
        const double difference_m = *near.elevation_difference_m;
        const std::string height = height_text(std::abs(difference_m), style);
        where += std::abs(difference_m) < 1.0
                     ? ", same elevation"
                     : ", " + height + (difference_m < 0.0 ? " lower" : " higher");
    }
    out += wrapped(where, kTextColumns, "  ", "  ");
    out += wrapped("similarity " + fixed(100.0 * near.similarity, 0) + "%; " + record.variables,
                   kTextColumns, "  ", "  ");
    return out + wrapped(record.source + ", " + record.period, kTextColumns, "  ", "  ");
}

}  // namespace

std::string near_text(const SiteQuery& query, const std::vector<NearStation>& stations,
                      const TextStyle& style) {
    std::string out;
    if (query.postal) {
        const std::string code = query.country.value_or("") + " " + *query.postal;
        out += wrapped(query.place.empty() ? code : query.place + ", " + code, kTextColumns);
    }
    if (query.position) out += wrapped(position_text(*query.position), kTextColumns);
    out += "\nStations used for this site\n" +
           wrapped(
               "Similarity: how alike mean temperature is at the station and the site, by distance "
               "and elevation, as fitted when the file was built.",
               kTextColumns);
    for (const NearStation& near : stations) out += station_text(near, style);
    return out;
}

std::string near_json(const SiteQuery& query, const std::vector<NearStation>& stations) {
    std::string out;
    JsonWriter json(out, JsonLayout::indented);
    json.open_object();
    json.name("schema_version");
    json.integer(1);
    write_query(json, query);
    json.name("stations");
    json.open_array();
    for (const NearStation& near : stations) {
        const StationRecord& record = near.record;
        json.open_object();
        const auto text = [&json](std::string_view name, const std::string& value) {
            json.name(name);
            json.text(value);
        };
        text("source", record.source);
        text("name", record.name);
        text("country", record.country);
        json.name("lat");
        json.degrees(record.position.lat_e7);
        json.name("lon");
        json.degrees(record.position.lon_e7);
        json.name("elevation_m");
        json.integer(record.elevation_m);
        json.name("distance_km");
        json.number(near.distance_km, 1);
        json.name("elevation_difference_m");
        json.number_or_null(near.elevation_difference_m, 0);
        text("period", record.period);
        text("variables", record.variables);
        json.name("weight");
        json.number(near.weight, 3);
        json.close_object();
    }
    json.close_array();
    json.close_object();
    return out + "\n";
}

}  // namespace thirstline
