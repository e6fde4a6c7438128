#include "builder/publish/publication_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "builder/publish/map_outline.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

using OrderedJson = nlohmann::ordered_json;

/// Rounded to 1e-7 degrees, for short output.
double degrees_of(double arcsec) {
    constexpr double kScale = 1e7;
    return std::round(arcsec / kArcsecPerDegree * kScale) / kScale;
}

double degrees_of_units(std::int64_t units) {
    return degrees_of(static_cast<double>(units) / static_cast<double>(kUnitsPerArcsec));
}

/// West, south, east, north; east exceeds 180 if the box crosses the antimeridian.
OrderedJson box_json(const LatLonBox& box) {
    std::int64_t west = box.west;
    while (west >= kUnitsPerCircle / 2) west -= kUnitsPerCircle;
    while (west < -kUnitsPerCircle / 2) west += kUnitsPerCircle;
    return {degrees_of_units(west), degrees_of_units(box.south), degrees_of_units(west + box.width),
            degrees_of_units(box.north)};
}

OrderedJson file_json(const PublishedFile& file) {
    return {{"name", file.name}, {"bytes", file.bytes}};
}

OrderedJson areas_json(const AreaShards& areas) {
    OrderedJson files = OrderedJson::object();
    for (const auto& [square, file] : areas.files)
        files[std::to_string(square.row) + "," + std::to_string(square.column)] = file_json(file);
    return {{"edge_arcsec", areas.edge_arcsec}, {"files", std::move(files)}};
}

OrderedJson postal_json(const PostalShards& postal) {
    OrderedJson files = OrderedJson::object();
    for (const auto& [prefix, file] : postal.files) files[prefix] = file_json(file);
    return {{"countries", postal.countries},
            {"codes", postal.codes},
            {"prefix", postal.prefix_letters},
            {"files", std::move(files)}};
}

OrderedJson sources_json(const std::vector<Source>& sources) {
    OrderedJson all = OrderedJson::array();
    for (const Source& source : sources) {
        all.push_back({{"name", plain_text(source.name)},
                       {"variable", plain_text(source.variable)},
                       {"period", plain_text(source.period)},
                       {"licence", plain_text(source.licence)},
                       {"attribution", plain_text(source.attribution)},
                       {"url", plain_text(source.url)}});
    }
    return all;
}

OrderedJson downloads_json(const std::vector<Download>& downloads) {
    OrderedJson all = OrderedJson::array();
    for (const Download& download : downloads) {
        all.push_back({{"name", download.file.name},
                       {"form", download.form},
                       {"bytes", download.file.bytes},
                       {"sha256", download.file.sha256}});
    }
    return all;
}

OrderedJson layer_json(const MapLayer& layer) {
    OrderedJson values = OrderedJson::array();
    for (const std::optional<double>& value : layer.values) {
        if (!value) {
            values.push_back(nullptr);
        } else if (layer.decimals == 0) {
            values.push_back(static_cast<std::int64_t>(*value));
        } else {
            values.push_back(*value);
        }
    }
    return {{"id", layer.id},
            {"unit", layer.unit},
            {"name", layer.name},
            {"values", std::move(values)}};
}

OrderedJson outline_json(const MapRaster& map) {
    const MapGrid& grid = map.grid;
    OrderedJson rings = OrderedJson::array();
    for (const auto& ring : outline_rings(map.has_data, grid.rows, grid.columns)) {
        OrderedJson line = OrderedJson::array();
        for (const CellCorner& corner : ring) {
            line.push_back(OrderedJson::array(
                {degrees_of(grid.west_arcsec + 1.0 * corner.column * grid.spacing_arcsec),
                 degrees_of(grid.south_arcsec + 1.0 * corner.row * grid.spacing_arcsec)}));
        }
        rings.push_back(std::move(line));
    }
    return rings;
}

}  // namespace

std::string baseline_json(const SiteParts& parts) {
    const Provenance& provenance = parts.provenance;
    OrderedJson json{{"format", 1},
                     {"title", plain_text(provenance.title)},
                     {"region", plain_text(provenance.region)},
                     {"publisher", plain_text(provenance.publisher)},
                     {"notice", plain_text(provenance.notice)},
                     {"period", plain_text(provenance.period)},
                     {"reference", plain_text(provenance.reference)},
                     {"site_correction", plain_text(provenance.site_correction)},
                     {"content_sha256", plain_text(provenance.content_sha256)},
                     {"program", provenance.program},
                     {"box", box_json(parts.survey.box)},
                     {"areas", areas_json(parts.areas)},
                     {"postal", postal_json(parts.postal)},
                     {"map", file_json(parts.map_file)},
                     {"sources", sources_json(provenance.sources)},
                     {"downloads", downloads_json(parts.downloads)},
                     {"report", kReportName}};
    if (parts.middle) {
        json["example"] = {{"code", parts.postal.example},
                           {"lat_e7", parts.middle->lat_e7},
                           {"lon_e7", parts.middle->lon_e7}};
    }
    if (parts.ground_file) json["ground"] = file_json(*parts.ground_file);
    if (parts.signing_key) json["signing_key"] = public_key_line(*parts.signing_key);
    for (const EditionKey& key : kEditionKeys) {
        const std::string text = plain_text(provenance.edition.*key.text);
        if (!text.empty()) json[std::string(key.key)] = text;
    }
    return json.dump() + "\n";
}

std::string map_json(const MapRaster& map) {
    OrderedJson layers = OrderedJson::array();
    for (const MapLayer& layer : map.layers) layers.push_back(layer_json(layer));
    const OrderedJson json{{"rows", map.grid.rows},
                           {"columns", map.grid.columns},
                           {"west_arcsec", map.grid.west_arcsec},
                           {"south_arcsec", map.grid.south_arcsec},
                           {"spacing_arcsec", map.grid.spacing_arcsec},
                           {"layers", std::move(layers)},
                           {"outline", outline_json(map)}};
    return json.dump() + "\n";
}

}  // namespace thirstline
