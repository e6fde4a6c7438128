#include "lookup/site/near_stations.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace thirstline {

namespace {

double metadata_number(const Database& database, std::string_view key, double otherwise) {
    const std::string& text = database.metadata(key);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    const bool is_number = error == std::errc{} && end == text.data() + text.size();
    return is_number && std::isfinite(value) && value > 0.0 ? value : otherwise;
}

}  // namespace

StationKernel station_kernel(const Database& database) {
    const StationKernel usual;
    return {metadata_number(database, "station_range_km", usual.range_km),
            metadata_number(database, "station_vertical_km", usual.vertical_km)};
}

Result<std::optional<double>> site_elevation_m(Database& database, LatLonE7 site,
                                               std::optional<std::int32_t> given_elevation_m) {
    if (given_elevation_m) return std::optional<double>(*given_elevation_m);
    const auto answer = TRY(database.answer(site));
    const Layer* layer = database.layout().find(LayerId::elevation);
    const std::int32_t value = answer.of(LayerId::elevation)[0];
    if (!answer.found || layer == nullptr || value == kMissingValue) return std::optional<double>{};
    return std::optional<double>(static_cast<double>(value) / (layer->divisor * kAnswerScale));
}

std::vector<NearStation> near_stations(const std::vector<StationRecord>& stations, LatLonE7 site,
                                       std::optional<double> site_elevation_m,
                                       const StationKernel& kernel, std::size_t most) {
    std::vector<NearStation> near;
    near.reserve(stations.size());
    for (const StationRecord& record : stations) {
        NearStation station{record, great_circle_km(to_degrees(site), to_degrees(record.position)),
                            std::nullopt};
        double away = station.distance_km / kernel.range_km;
        if (site_elevation_m) {
            station.elevation_difference_m = record.elevation_m - *site_elevation_m;
            away += std::abs(*station.elevation_difference_m) / 1000.0 / kernel.vertical_km;
        }
        station.similarity = station.weight = std::exp(-away);
        near.push_back(std::move(station));
    }
    const std::size_t count = std::min(most, near.size());
    std::partial_sort(
        near.begin(), near.begin() + static_cast<std::ptrdiff_t>(count), near.end(),
        [](const NearStation& a, const NearStation& b) { return a.weight > b.weight; });
    near.resize(count);
    double sum = 0.0;
    for (const NearStation& station : near) sum += station.weight;
    // On the opposite side of the Earth every similarity is 0: all weights are then equal.
    for (NearStation& station : near)
        station.weight = sum > 0.0 ? station.weight / sum : 1.0 / static_cast<double>(count);
    return near;
}

}  // namespace thirstline
