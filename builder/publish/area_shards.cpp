#include "builder/publish/area_shards.hpp"

#include <algorithm>
#include <cstdio>
#include <optional>

#include "builder/export/format_writers.hpp"
#include "builder/export/image_tiles.hpp"

namespace thirstline {

namespace {

/// The finest of several lattices may overlap the one with most points: squares of that size must
/// have an acceptable size there.
constexpr double kMaxShardBytes = 8.0 * kWantedShardBytes;
/// Size of the square that is used to measure the bytes per point.
constexpr int kTrialPoints = 5 * kImageTileEdge;

std::string degrees_text(std::int64_t units) {
    char text[32];
    std::snprintf(text, sizeof text, "%.6g",
                  static_cast<double>(units) / static_cast<double>(3600 * kUnitsPerArcsec));
    return text;
}

std::string box_text(const LatLonBox& box) {
    return "box " + degrees_text(box.west) + "," + degrees_text(box.south) + "," +
           degrees_text(box.west + box.width) + "," + degrees_text(box.north);
}

class AreaShardWriting {
  public:
    AreaShardWriting(Database& database, const Provenance& provenance,
                     const std::atomic<bool>& interrupted)
        : database_(database), provenance_(provenance), interrupted_(interrupted) {
        for (const Layer& layer : database.layout().layers)
            if (is_known(layer.id) && image_holds(layer.id)) variables_.push_back(layer);
    }

    Result<std::int32_t> edge_arcsec(const PointSurvey& survey) {
        const auto most = std::ranges::max_element(survey.points_of_lattice);
        const Lattice& main =
            database_.lattices()[static_cast<std::size_t>(most - survey.points_of_lattice.begin())];
        const auto bytes = TRY(bytes_of_a_point(survey, main));
        std::int32_t edge = edge_arcsec_for(main.spacing_arcsec, bytes, kWantedShardBytes);
        for (const Lattice& lattice : database_.lattices())
            edge = std::min(edge, edge_arcsec_for(lattice.spacing_arcsec, bytes, kMaxShardBytes));
        return edge;
    }

    /// Nothing if no point answers for the square.
    Result<std::optional<std::string>> image_of(const LatLonBox& box) {
        const SiteSelection selection = SiteSelection::of_box(box, box_text(box));
        const auto tiles = TRY(SelectedTiles::make(database_, selection,
                                                   PointsWanted::that_answer_for_it, interrupted_));
        auto image = image_bytes_without_postal_codes(job(selection, tiles));
        if (image) return std::optional(std::move(*image));
        if (image.error().code == ErrorCode::no_data) return std::optional<std::string>{};
        return fail(image.error());
    }

  private:
    [[nodiscard]] ExportJob job(const SiteSelection& selection, const SelectedTiles& tiles) const {
        Provenance provenance = provenance_;
        provenance.selection = selection.description();
        return {database_,
                selection,
                tiles,
                database_.lattices(),
                variables_,
                std::move(provenance),
                "the image of " + selection.description(),
                interrupted_};
    }

    /// Measured on a square of the lattice around its fullest tile.
    Result<double> bytes_of_a_point(const PointSurvey& survey, const Lattice& lattice) {
        const SurveyedTile* fullest = nullptr;
        for (const SurveyedTile& tile : survey.tiles) {
            if (&database_.lattices()[static_cast<std::size_t>(tile.lattice)] != &lattice) continue;
            if (fullest == nullptr || tile.points > fullest->points) fullest = &tile;
        }
        const std::int64_t edge =
            std::min(std::int64_t{kTrialPoints} * lattice.spacing_arcsec * kUnitsPerArcsec,
                     kUnitsPerCircle / 4);
        const LatLonBox box{fullest->box.south, fullest->box.south + edge, fullest->box.west, edge};
        const SiteSelection selection = SiteSelection::of_box(box, "");
        const auto tiles = TRY(SelectedTiles::make(database_, selection,
                                                   PointsWanted::that_answer_for_it, interrupted_));
        std::int64_t points = 0;
        for (const Lattice& each : database_.lattices()) {
            const SelectedTiles::Rows rows = tiles.tile_rows(each);
            for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
                const auto row = TRY(tiles.row(each, tile_row));
                for (const SelectedTile& tile : row)
                    points += std::ranges::count(tile.tile.present, std::uint8_t{1});
            }
        }
        const auto image = TRY(image_bytes_without_postal_codes(job(selection, tiles)));
        return static_cast<double>(image.size()) /
               static_cast<double>(std::max<std::int64_t>(points, 1));
    }

    Database& database_;
    const Provenance& provenance_;
    const std::atomic<bool>& interrupted_;
    std::vector<Layer> variables_;
};

}  // namespace

Result<AreaShards> write_area_shards(SiteFolder& folder, Database& database,
                                     const PointSurvey& survey, const Provenance& provenance,
                                     const std::atomic<bool>& interrupted) {
    AreaShardWriting writing(database, provenance, interrupted);
    const auto edge = TRY(writing.edge_arcsec(survey));
    AreaShards shards{edge, {}};
    for (const AreaSquare& square : squares_answered(survey, database.lattices(), edge)) {
        if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        const auto image = TRY(writing.image_of(box_of_square(square, edge)));
        if (!image) continue;
        auto file = TRY(folder.add_by_hash("data/area", ".img", *image));
        shards.files.emplace(square, std::move(file));
    }
    return shards;
}

}  // namespace thirstline
