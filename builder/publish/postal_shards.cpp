#include "builder/publish/postal_shards.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <limits>
#include <nlohmann/json.hpp>

#include "schema/database/whole_tables.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

constexpr int kMaxLetters = 8;
constexpr std::int64_t kMaxRunBytes = 30'000;

std::string row_of(const PostalPlace& place) {
    return nlohmann::json::array({place.code, plain_text(place.country), plain_text(place.place),
                                  place.position.lat_e7, place.position.lon_e7})
        .dump();
}

/// Only codes that can be typed: one that is not plain text is omitted.
Result<void> for_each_place(Database& database, const std::atomic<bool>& interrupted,
                            const std::function<Result<void>(const PostalPlace&)>& take) {
    auto scan = TRY(PostalScan::over(database));
    while (true) {
        const auto place = TRY(scan.next());
        if (!place) return {};
        if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        if (plain_text(place->code) != place->code || place->code.empty()) continue;
        TRY(take(*place));
    }
}

/// Sizes of the files for prefixes of one length. Codes are sorted, so codes with the same prefix
/// are consecutive.
struct RunSizes {
    std::string prefix;
    std::int64_t bytes = 0;
    std::int64_t bytes_in_large_runs = 0;  ///< of runs over kMaxRunBytes

    void add(const std::string& prefix_now, std::int64_t row_bytes) {
        if (prefix_now != prefix) end_run();
        prefix = prefix_now;
        bytes += row_bytes;
    }
    void end_run() {
        if (bytes > kMaxRunBytes) bytes_in_large_runs += bytes;
        bytes = 0;
    }
};

/// The smallest length for which half of all rows are in files that are not large.
Result<int> prefix_letters(Database& database, const std::atomic<bool>& interrupted) {
    std::array<RunSizes, kMaxLetters> sizes;
    std::int64_t all_bytes = 0;
    TRY(for_each_place(database, interrupted, [&](const PostalPlace& place) {
        const auto bytes = static_cast<std::int64_t>(row_of(place).size() + 1);
        all_bytes += bytes;
        for (int letters = 1; letters <= kMaxLetters; ++letters)
            sizes[static_cast<std::size_t>(letters - 1)].add(prefix_of_code(place.code, letters),
                                                             bytes);
        return Result<void>();
    }));
    for (int letters = 1; letters < kMaxLetters; ++letters) {
        RunSizes& size = sizes[static_cast<std::size_t>(letters - 1)];
        size.end_run();
        if (2 * size.bytes_in_large_runs <= all_bytes) return letters;
    }
    return kMaxLetters;
}

}  // namespace

std::string prefix_of_code(std::string_view code, int letters) {
    std::size_t end = 0;
    while (end < code.size() && letters > 0) {
        ++end;
        while (end < code.size() && (static_cast<unsigned char>(code[end]) & 0xC0U) == 0x80U) ++end;
        --letters;
    }
    return std::string(code.substr(0, end));
}

Result<PostalShards> write_postal_shards(SiteFolder& folder, Database& database,
                                         const std::optional<LatLonE7>& middle,
                                         const std::atomic<bool>& interrupted) {
    PostalShards shards;
    auto countries = TRY(database.postal_countries());
    for (const std::string& country : countries) shards.countries.push_back(plain_text(country));
    const auto letters = TRY(prefix_letters(database, interrupted));
    shards.prefix_letters = letters;

    std::string prefix;
    std::string rows;
    double nearest = std::numeric_limits<double>::infinity();
    const auto write_rows = [&]() -> Result<void> {
        if (rows.empty()) return {};
        auto file =
            TRY(folder.add_by_hash("data/postal", ".json", "{\"codes\":[\n" + rows + "\n]}\n"));
        shards.files.emplace(prefix, std::move(file));
        rows.clear();
        return {};
    };
    TRY(for_each_place(database, interrupted, [&](const PostalPlace& place) -> Result<void> {
        std::string of_place = prefix_of_code(place.code, letters);
        if (of_place != prefix) {
            TRY(write_rows());
            prefix = std::move(of_place);
        }
        rows += (rows.empty() ? "" : ",\n") + row_of(place);
        ++shards.codes;
        const double km =
            middle ? great_circle_km(to_degrees(*middle), to_degrees(place.position)) : nearest;
        if (km < nearest) {
            nearest = km;
            shards.example = place.code;
        }
        return {};
    }));
    TRY(write_rows());
    return shards;
}

}  // namespace thirstline
