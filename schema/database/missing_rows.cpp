#include "schema/database/missing_rows.hpp"

#include <algorithm>
#include <cstdio>

namespace thirstline {

namespace {

std::string degrees_text(std::int32_t arcsec) {
    char text[32];
    std::snprintf(text, sizeof text, "%.6g",
                  static_cast<double>(std::abs(arcsec)) / kArcsecPerDegree);
    return text;
}

const char* hemisphere(std::int32_t arcsec) {
    return arcsec < 0 ? " S" : " N";
}

std::string band_text(const MissingBand& band) {
    const bool crosses = (band.south_arcsec < 0) != (band.north_arcsec < 0);
    return degrees_text(band.south_arcsec) + (crosses ? hemisphere(band.south_arcsec) : "") +
           " to " + degrees_text(band.north_arcsec) + hemisphere(band.north_arcsec);
}

}  // namespace

std::vector<TileRowRange> missing_ranges(const TileRowRanges& present) {
    std::vector<TileRowRange> missing;
    int end = 0;
    for (const TileRowRange& range : present.ranges) {
        if (range.first > end) missing.push_back({end, range.first});
        end = range.end;
    }
    if (end < present.of) missing.push_back({end, present.of});
    return missing;
}

std::vector<MissingBand> missing_bands(const Lattice& lattice, const TileRowRanges& present) {
    const std::int64_t row0 = (lattice.south_arcsec + 324'000) / lattice.spacing_arcsec;
    const std::int64_t first_tile_row = row0 / lattice.tile_edge;
    const auto latitude_of = [&](std::int64_t row) {
        const auto within = std::clamp<std::int64_t>(row, 0, lattice.rows - 1);
        return static_cast<std::int32_t>(lattice.south_arcsec + within * lattice.spacing_arcsec);
    };
    std::vector<MissingBand> bands;
    for (const TileRowRange& range : missing_ranges(present)) {
        const auto row_of = [&](int tile_row) {
            return (first_tile_row + tile_row) * lattice.tile_edge - row0;
        };
        bands.push_back({latitude_of(row_of(range.first)), latitude_of(row_of(range.end) - 1)});
    }
    return bands;
}

std::string bands_text(const std::vector<MissingBand>& bands) {
    constexpr std::size_t kMaxNamed = 5;
    const std::size_t named = std::min(bands.size(), kMaxNamed);
    std::string text;
    for (std::size_t b = 0; b < named; ++b) {
        if (b > 0) text += b + 1 == bands.size() ? " and " : ", ";
        text += band_text(bands[b]);
    }
    if (named < bands.size())
        text += " and " + std::to_string(bands.size() - named) + " other ranges of latitude";
    return text;
}

std::optional<TileRowRanges> rows_present(const Database& database) {
    const std::string& of_part = database.metadata("tile_rows");
    return parsed_tile_row_ranges(of_part.empty() ? database.metadata("subset_of_tile_rows")
                                                  : of_part);
}

std::string incomplete_words(const Database& database) {
    const auto present = rows_present(database);
    if (!present || database.lattices().empty()) return {};
    const auto bands = missing_bands(database.lattices().front(), *present);
    if (bands.empty()) return {};
    return "this database is incomplete: it lacks the points from " + bands_text(bands);
}

std::string incomplete_sentence(const Database& database) {
    std::string sentence = incomplete_words(database);
    if (sentence.empty()) return sentence;
    sentence.front() = 'T';
    return sentence + ".";
}

std::string shown_notice(const Database& database) {
    const std::string incomplete = incomplete_sentence(database);
    const std::string& notice = database.metadata("notice");
    return notice + (notice.empty() || incomplete.empty() ? "" : " ") + incomplete;
}

}  // namespace thirstline
