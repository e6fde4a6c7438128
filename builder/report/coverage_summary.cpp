#include "builder/report/coverage_summary.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <map>

#include "schema/base/words.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

constexpr int kMapColumns = 60;
constexpr int kMapRows = 20;
constexpr double kEverywhere = 0.9;
constexpr double kMaxSoundShareOfPart = 0.5;

constexpr std::array<Need, kNeeds> kAllNeeds{Need::temperature, Need::rain, Need::humidity,
                                             Need::wind, Need::radiation};

/// How well a place is covered, in the order of what it costs the answer.
enum class Cover {
    no_data,
    all,
    lacks_rain,
    lacks_radiation,
    lacks_humidity,
    lacks_wind,
    lacks_two,
    temperature_only,
    left_out
};

struct MapSign {
    Cover cover;
    char sign;
    const char* meaning;
};
constexpr std::array<MapSign, 9> kSigns{{
    {Cover::no_data, ' ', "no data"},
    {Cover::all, '#', "all drivers from data at the point"},
    {Cover::lacks_rain, 'r', "no rain"},
    {Cover::lacks_radiation, 's', "no radiation, sunshine or cloud"},
    {Cover::lacks_humidity, 'h', "no humidity"},
    {Cover::lacks_wind, 'w', "no wind"},
    {Cover::lacks_two, '2', "two of humidity, wind and radiation missing"},
    {Cover::temperature_only, 't', "temperature only"},
    {Cover::left_out, 'x', "left out: no temperature"},
}};

Cover cover_of(const CoveredPlace& place) {
    if (!place.has_data) return Cover::no_data;
    if (!place.has_year(Need::temperature)) return Cover::left_out;
    const bool humidity = place.has_year(Need::humidity);
    const bool wind = place.has_year(Need::wind);
    const bool radiation = place.has_year(Need::radiation);
    const int missing = (humidity ? 0 : 1) + (wind ? 0 : 1) + (radiation ? 0 : 1);
    if (missing == 3) return Cover::temperature_only;
    if (missing == 2) return Cover::lacks_two;
    if (!wind) return Cover::lacks_wind;
    if (!humidity) return Cover::lacks_humidity;
    if (!radiation) return Cover::lacks_radiation;
    return place.has_year(Need::rain) ? Cover::all : Cover::lacks_rain;
}

/// Rows of text are about twice as high as characters are wide.
int map_rows(int survey_rows, int survey_columns, int columns) {
    const int in_proportion =
        static_cast<int>(std::lround(0.5 * columns * survey_rows / survey_columns));
    return std::clamp(in_proportion, 1, std::min(kMapRows, survey_rows));
}

struct Part {
    const char* name;
    int row;
    int column;
};
constexpr std::array<Part, 9> kParts{{{"the north-west", 2, 0},
                                      {"the north", 2, 1},
                                      {"the north-east", 2, 2},
                                      {"the west", 1, 0},
                                      {"the middle", 1, 1},
                                      {"the east", 1, 2},
                                      {"the south-west", 0, 0},
                                      {"the south", 0, 1},
                                      {"the south-east", 0, 2}}};

/// In which of nine parts of the area with data most places are without it.
std::string where_missing(const LatticeCoverage& coverage, Need need) {
    int first_row = coverage.rows;
    int last_row = 0;
    int first_column = coverage.columns;
    int last_column = 0;
    for (const CoveredPlace& place : coverage.places) {
        if (!place.has_data) continue;
        first_row = std::min(first_row, place.row);
        last_row = std::max(last_row, place.row);
        first_column = std::min(first_column, place.column);
        last_column = std::max(last_column, place.column);
    }
    const auto third = [](int value, int first, int last) {
        return std::min(2, 3 * (value - first) / std::max(1, last - first + 1));
    };
    std::array<std::array<int, 3>, 3> all{};
    std::array<std::array<int, 3>, 3> lacking{};
    int places = 0;
    for (const CoveredPlace& place : coverage.places) {
        if (!place.has_data) continue;
        const auto row = static_cast<std::size_t>(third(place.row, first_row, last_row));
        const auto column =
            static_cast<std::size_t>(third(place.column, first_column, last_column));
        ++all[row][column];
        if (place.has_year(need)) continue;
        ++lacking[row][column];
        ++places;
    }
    if (places >= kEverywhere * coverage.places_with_data) return "everywhere";
    std::vector<std::string> parts;
    for (const Part& part : kParts) {
        const auto row = static_cast<std::size_t>(part.row);
        const auto column = static_cast<std::size_t>(part.column);
        if (lacking[row][column] > kMaxSoundShareOfPart * all[row][column])
            parts.emplace_back(part.name);
    }
    return parts.empty() ? "at scattered places" : "mostly in " + joined_with_and(parts);
}

const char* consequence_of(Need need) {
    switch (need) {
        case Need::temperature:
            return "such points are left out";
        case Need::rain:
            return "such points have no rain, and no site correction";
        case Need::humidity:
            return "it is estimated from the minimum temperature, with data nearby if there are "
                   "any";
        case Need::wind:
            return "wind of nearby data is used, or 2 m/s";
        case Need::radiation:
            return "it is estimated from the daily range of temperature";
    }
    return "";
}

const char* helpful_source_of(Need need) {
    switch (need) {
        case Need::temperature:
            return "a grid of tmax and of tmin, or of tmean and of temperature_range";
        case Need::rain:
            return "a grid of rain, or stations with rain";
        case Need::humidity:
            return "a grid of vapour_pressure, dew_point or specific_humidity, or stations with "
                   "dew point or relative humidity";
        case Need::wind:
            return "a grid of wind speed, such as from a reanalysis, or stations with wind";
        case Need::radiation:
            return "a grid of radiation, such as from satellites or a reanalysis, or stations with "
                   "radiation or sunshine";
    }
    return "";
}

std::string degrees_text(double degrees, char positive, char negative) {
    char text[32];
    std::snprintf(text, sizeof text, "%.1f %c", std::abs(degrees),
                  degrees < 0.0 ? negative : positive);
    return text;
}

std::string share_table(const LatticeCoverage& coverage) {
    std::string out = "  %             ";
    for (const std::string_view month : kMonthAbbreviations) out += " " + std::string(month);
    out += "\n";
    for (const Need need : kAllNeeds) {
        char cell[16];
        std::string line = "  " + std::string(need_name(need));
        line.resize(16, ' ');
        for (const int percent : covered_percent(coverage, need)) {
            std::snprintf(cell, sizeof cell, " %3d", percent);
            line += cell;
        }
        out += line + "\n";
    }
    return out;
}

std::string map_text(const CoverageMap& map) {
    const std::string north = degrees_text(map.north_deg, 'N', 'S');
    const std::string south = degrees_text(map.south_deg, 'N', 'S');
    const std::size_t margin = std::max(north.size(), south.size());
    std::string out;
    for (std::size_t row = 0; row < map.rows.size(); ++row) {
        std::string label;
        if (row == 0) label = north;
        if (row > 0 && row + 1 == map.rows.size()) label = south;
        out +=
            "  " + std::string(margin - label.size(), ' ') + label + " |" + map.rows[row] + "|\n";
    }
    const std::string west = degrees_text(map.west_deg, 'E', 'W');
    const std::string east = degrees_text(map.east_deg, 'E', 'W');
    const std::size_t width = map.rows.front().size() + 2;
    out += "  " + std::string(margin + 1, ' ') + west;
    if (map.west_deg != map.east_deg)
        out += std::string(
                   width > west.size() + east.size() ? width - west.size() - east.size() : 2, ' ') +
               east;
    out += "\n";
    for (const auto& [sign, meaning] : map.legend)
        out += "  " + std::string(1, sign) + "  " + meaning + "\n";
    return out;
}

std::string lack_text(const Gap& lack) {
    char share[64];
    std::snprintf(share, sizeof share, "%s (%.0f%%)", counted(lack.places, "point").c_str(),
                  std::max(1.0, lack.percent));
    std::string out =
        "  " + std::string(need_name(lack.need)) + ": missing at " + share + ", " + lack.where;
    if (lack.months.size() < kMonths) {
        std::vector<std::string> names;
        for (const int month : lack.months)
            names.emplace_back(kMonthAbbreviations[static_cast<std::size_t>(month) - 1]);
        out += ", in " + joined_with_and(names);
    }
    return out + "; " + lack.consequence + ".\n    To add: " + lack.helpful_source + ".\n";
}

}  // namespace

Monthly<int> covered_percent(const LatticeCoverage& coverage, Need need) {
    Monthly<int> percent{};
    if (coverage.places_with_data == 0) return percent;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const auto count = std::count_if(
            coverage.places.begin(), coverage.places.end(),
            [need, month](const CoveredPlace& place) { return place.has(need, month); });
        percent[month] = static_cast<int>(100 * count / coverage.places_with_data);
    }
    return percent;
}

std::vector<Gap> gaps_of(const LatticeCoverage& coverage) {
    std::vector<Gap> lacks;
    for (const Need need : kAllNeeds) {
        Gap lack{need, 0, 0.0, {}, {}, consequence_of(need), helpful_source_of(need)};
        unsigned months = 0;
        for (const CoveredPlace& place : coverage.places) {
            if (!place.has_data || place.has_year(need)) continue;
            ++lack.places;
            months |= ~static_cast<unsigned>(place.months[static_cast<std::size_t>(need)]);
        }
        if (lack.places == 0) continue;
        lack.percent = 100.0 * lack.places / coverage.places_with_data;
        lack.where = where_missing(coverage, need);
        for (int month = 0; month < kMonths; ++month)
            if ((months >> month & 1U) != 0) lack.months.push_back(month + 1);
        lacks.push_back(std::move(lack));
    }
    return lacks;
}

CoverageMap coverage_map(const LatticeCoverage& coverage) {
    const int columns = std::min(kMapColumns, coverage.columns);
    const int rows = map_rows(coverage.rows, coverage.columns, columns);
    std::vector<std::map<Cover, int>> counts(static_cast<std::size_t>(rows) *
                                             static_cast<std::size_t>(columns));
    for (const CoveredPlace& place : coverage.places) {
        const int row = rows - 1 - place.row * rows / coverage.rows;
        const int column = place.column * columns / coverage.columns;
        ++counts[static_cast<std::size_t>(row * columns + column)][cover_of(place)];
    }
    CoverageMap map;
    std::map<Cover, bool> occurs;
    for (int row = 0; row < rows; ++row) {
        std::string& line = map.rows.emplace_back();
        for (int column = 0; column < columns; ++column) {
            std::map<Cover, int>& count = counts[static_cast<std::size_t>(row * columns + column)];
            if (count.size() > 1) count.erase(Cover::no_data);
            // The most frequent; of equally frequent ones, the one that lacks more.
            const auto most =
                std::max_element(count.begin(), count.end(), [](const auto& a, const auto& b) {
                    return std::pair(a.second, a.first) < std::pair(b.second, b.first);
                });
            const Cover cover = most == count.end() ? Cover::no_data : most->first;
            occurs[cover] = true;
            line += kSigns[static_cast<std::size_t>(cover)].sign;
        }
    }
    for (const MapSign& sign : kSigns)
        if (sign.cover != Cover::no_data && occurs[sign.cover])
            map.legend.emplace_back(sign.sign, sign.meaning);
    map.south_deg = coverage.places.front().position.lat_deg;
    map.north_deg = coverage.places.back().position.lat_deg;
    map.west_deg = coverage.places.front().position.lon_deg;
    map.east_deg = coverage.places.back().position.lon_deg;
    return map;
}

std::string coverage_text(const LatticeCoverage& coverage) {
    std::string out = "COVERAGE at " + counted(coverage.places_with_data, "point") +
                      " with data, of " + std::to_string(coverage.places.size()) +
                      " surveyed: percent of points with their own data, by month\n" +
                      share_table(coverage) + map_text(coverage_map(coverage));
    const std::vector<Gap> lacks = gaps_of(coverage);
    if (lacks.empty()) return out + "nothing is missing\n";
    out += "MISSING\n";
    for (const Gap& lack : lacks) out += lack_text(lack);
    return out;
}

}  // namespace thirstline
