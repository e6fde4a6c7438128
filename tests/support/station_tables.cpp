#include "tests/support/station_tables.hpp"

#include <fstream>
#include <stdexcept>

#include "tests/support/small_worlds.hpp"

namespace thirstline::test {

namespace {

constexpr const char* kHead =
    "[baseline]\ntitle = \"Merrow\"\nperiod = \"1991-2020\"\n"
    "[lattice]\nspacing_arcsec = 900\nbbox = [-39, 44, -37, 46]\n"
    "[elevation]\npath = \"elevation.tif\"\nunit = \"m\"\n";
// Makes a recipe complete with any set of stations.
constexpr const char* kEtoGrid =
    "[[grid]]\nname = \"ET\"\nvariable = \"eto\"\npath = \"eto.tif\"\nunit = \"mm/day\"\n"
    "period = \"1991-2020\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office\"\n"
    "reference = \"short\"\nequation = \"ASCE-EWRI 2005\"\n";

std::string lines_of(const SourceLines& source) {
    return "name = \"" + source.name + "\"\nperiod = \"" + source.period +
           "\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow Weather Office\"\n" + source.lines +
           "\n";
}

}  // namespace

std::string StationTables::add_file(const std::string& name, const std::string& content) {
    write_bytes(folder_ / name, content);
    return folder_ / name;
}

void StationTables::add_source(const SourceLines& source) {
    sources_ += "[[stations]]\n" + lines_of(source);
}

void StationTables::add_record(const SourceLines& source) {
    sources_ += "[[records]]\n" + lines_of(source);
}

void StationTables::add_long_table(const std::string& name, const std::string& columns,
                                   const std::string& units, const std::string& rows,
                                   const std::string& more) {
    std::string header = "station,country,lat,lon,elevation,month";
    std::string keys;
    for (std::size_t begin = 0; begin < columns.size();) {
        const std::size_t end = std::min(columns.find(' ', begin), columns.size());
        const std::string variable = columns.substr(begin, end - begin);
        header += "," + variable;
        keys += ", " + variable + " = \"" + variable + "\"";
        begin = end + 1;
    }
    add_file(name + ".csv", header + "\n" + rows);
    add_source(
        {name, "path = \"" + name + ".csv\"\nlayout = \"long\"\nmissing = [-99.9]\n" +
                   "columns = { name = \"station\", country = \"country\", lat = \"lat\", lon = "
                   "\"lon\", elevation = \"elevation\", month = \"month\"" +
                   keys + " }\nunits = { " + units + " }\n" + more});
}

Result<Recipe> StationTables::recipe(const std::string& more) const {
    write_bytes(folder_ / "merrow.toml", kHead + (more.empty() ? kEtoGrid : more) + sources_);
    auto read = read_recipe(folder_ / "merrow.toml");
    if (read) read->station_margin_km = station_margin_km;
    return read;
}

StationSet StationTables::stations() const {
    const auto read = recipe();
    if (!read) {
        ADD_FAILURE() << read.error().message << "\n" << read.error().hint;
        throw std::runtime_error("no recipe");
    }
    auto set = read_station_sources(*read);
    if (!set) {
        ADD_FAILURE() << set.error().message << "\n" << set.error().hint;
        throw std::runtime_error("no stations");
    }
    return std::move(*set);
}

Error StationTables::error() const {
    const auto read = recipe();
    if (!read) return read.error();
    const auto set = read_station_sources(*read);
    if (!set) return set.error();
    ADD_FAILURE() << "accepted";
    return {};
}

Recipe recipe_of_postal_codes(std::vector<PostalRecipe> postal) {
    Recipe recipe;
    recipe.postal = std::move(postal);
    recipe.lattice = *lattice_over_box(-180 * kArcsecPerDegree, -90 * kArcsecPerDegree,
                                       180 * kArcsecPerDegree, 90 * kArcsecPerDegree, 36'000);
    return recipe;
}

std::int64_t rejected(const StationSet& set, const std::string& rule) {
    std::int64_t count = 0;
    for (const SourceTally& tally : set.tallies) {
        const auto found = tally.rejected.find(rule);
        if (found != tally.rejected.end()) count += found->second;
    }
    return count;
}

std::int64_t rejected(const StationSet& set) {
    std::int64_t count = 0;
    for (const SourceTally& tally : set.tallies)
        for (const auto& [rule, of_rule] : tally.rejected) count += of_rule;
    return count;
}

Suspect example(const StationSet& set, const std::string& rule) {
    for (const SourceTally& tally : set.tallies)
        for (const Suspect& suspect : tally.examples)
            if (suspect.rule == rule) return suspect;
    ADD_FAILURE() << "nothing under the rule: " << rule;
    throw std::runtime_error("no example");
}

std::int64_t used(const StationSet& set) {
    std::int64_t count = 0;
    for (const SourceTally& tally : set.tallies) count += tally.used;
    return count;
}

std::size_t station_index(const StationSet& set, const std::string& name) {
    for (std::size_t s = 0; s < set.stations.size(); ++s)
        if (set.stations[s].name == name) return s;
    ADD_FAILURE() << "no station " << name;
    throw std::runtime_error("no station");
}

const Station& station(const StationSet& set, const std::string& name) {
    return set.stations[station_index(set, name)];
}

std::string twelve_rows(const std::string& beginning, const std::string& fields) {
    std::string rows;
    for (int month = 1; month <= kMonths; ++month) {
        std::string row = beginning + "," + std::to_string(month) + "," + fields + "\n";
        for (auto at = row.find("{m}"); at != std::string::npos; at = row.find("{m}"))
            row.replace(at, 3, std::to_string(month));
        rows += row;
    }
    return rows;
}

}  // namespace thirstline::test
