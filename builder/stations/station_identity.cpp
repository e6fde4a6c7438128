#include "builder/stations/station_identity.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <utility>

#include "schema/base/words.hpp"
#include "schema/geo/sphere.hpp"

namespace thirstline {

namespace {

constexpr double kSameNameKm = 5.0;
constexpr double kAnyNameKm = 1.0;
// Rows of one station give its elevation to the metre or to ten metres; a larger difference is a
// contradiction.
constexpr double kSameElevationM = 60.0;
// Tables of the same service round differently.
constexpr double kEqualValues = 0.15;
constexpr double kContradictionC = 1.5;
constexpr double kContradictionRainFactor = 1.5;
constexpr double kContradictionRainMm = 100.0;

// No network has so many stations within a kilometre; a table that has must not take quadratic
// time.
constexpr std::ptrdiff_t kMaxCompared = 1000;

/// Numbers by a name and their place, for finding the nearest with a name.
class NearbyIndex {
  public:
    explicit NearbyIndex(double reach_km) : reach_km_(reach_km) {}

    void add(const std::string& name, LatLon position, std::size_t number) {
        cubes_[{name, cube_of(position)}].push_back(number);
    }

    /// The nearest number of the name within reach, the last of equally near ones. `km_of(number)`
    /// is its distance, or infinity for a number that must not be used.
    template <class KmOf>
    [[nodiscard]] std::optional<std::size_t> nearest(const std::string& name, LatLon position,
                                                     const KmOf& km_of) const {
        std::optional<std::size_t> nearest;
        double least_km = reach_km_;
        const Cube centre = cube_of(position);
        // Backwards: many rows may have the same place, and then the first one found is the
        // nearest.
        for (int neighbour = 26; neighbour >= 0; --neighbour) {
            const Cube cube{centre[0] + neighbour % 3 - 1, centre[1] + neighbour / 3 % 3 - 1,
                            centre[2] + neighbour / 9 - 1};
            const auto found = cubes_.find({name, cube});
            if (found == cubes_.end()) continue;
            const std::vector<std::size_t>& there = found->second;
            const auto last =
                std::ssize(there) > kMaxCompared ? there.rbegin() + kMaxCompared : there.rend();
            for (auto number = there.rbegin(); number != last; ++number) {
                const double km = km_of(*number);
                if (nearest ? km >= least_km : km > least_km) continue;
                nearest = *number;
                least_km = km;
                if (km == 0.0) return nearest;
            }
        }
        return nearest;
    }

  private:
    /// With edges as long as the reach; poles and antimeridian need no special treatment.
    using Cube = std::array<int, 3>;
    [[nodiscard]] Cube cube_of(LatLon position) const {
        const Vector3 place = point_on_sphere(position, kEarthRadiusKm / reach_km_);
        const auto cell = [](double along) { return static_cast<int>(std::floor(along)); };
        return {cell(place[0]), cell(place[1]), cell(place[2])};
    }
    double reach_km_;
    std::map<std::pair<std::string, Cube>, std::vector<std::size_t>> cubes_;
};

/// Better first.
std::pair<int, int> order_of(const StationNormals& normals) {
    return {static_cast<int>(normals.length), kMonths - known_months(normals.values)};
}

/// The month (from 0) with the largest difference of two known values, if they differ.
std::optional<std::size_t> month_of_disagreement(const StationNormals& a, const StationNormals& b) {
    std::optional<std::size_t> most;
    double greatest = kEqualValues;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double difference = std::abs(a.values[month] - b.values[month]);
        if (!(difference > greatest)) continue;
        greatest = difference;
        most = month;
    }
    return most;
}

std::string two_values(Variable variable, double first, double second) {
    return value_text(variable, first) + " and " + value_text(variable, second);
}

class Merging {
  public:
    explicit Merging(StationSet& set) : set_(set) {}

    void merge() {
        join_namesakes();
        join_places();
        reject_contradictions();
    }

  private:
    struct Identity {
        std::string name;
        std::string country;
    };

    void join_namesakes() {
        NearbyIndex index(kSameNameKm);
        for (Station& row : std::exchange(set_.stations, {})) {
            // A value unknown all year was never given, or has been reported already.
            std::erase_if(row.normals,
                          [](const StationNormals& n) { return known_months(n.values) == 0; });
            if (row.normals.empty()) continue;
            const Identity identity{folded_name(row.name), folded_name(row.country)};
            const auto namesake =
                index.nearest(identity.name, row.position, [&](std::size_t candidate) {
                    return are_namesakes(identity, identities_[candidate])
                               ? great_circle_km(row.position, set_.stations[candidate].position)
                               : std::numeric_limits<double>::infinity();
                });
            if (namesake) {
                join(set_.stations[*namesake], row);
                continue;
            }
            if (!identity.name.empty())
                index.add(identity.name, row.position, set_.stations.size());
            set_.stations.push_back(std::move(row));
            identities_.push_back(identity);
        }
    }

    static bool are_namesakes(const Identity& a, const Identity& b) {
        return !a.name.empty() && a.name == b.name &&
               (a.country.empty() || b.country.empty() || a.country == b.country);
    }

    void join_places() {
        NearbyIndex index(kAnyNameKm);
        for (Station& station : std::exchange(set_.stations, {})) {
            const auto same_place = index.nearest("", station.position, [&](std::size_t candidate) {
                const Station& known = set_.stations[candidate];
                return std::abs(station.elevation_m - known.elevation_m) > kSameElevationM
                           ? std::numeric_limits<double>::infinity()
                           : great_circle_km(station.position, known.position);
            });
            const bool is_new =
                !same_place || contradict_in_a_source(set_.stations[*same_place], station);
            if (same_place && is_new)
                contradictions_.emplace_back(*same_place, set_.stations.size());
            if (!is_new) {
                join(set_.stations[*same_place], station);
                continue;
            }
            index.add("", station.position, set_.stations.size());
            set_.stations.push_back(std::move(station));
        }
    }

    static bool contradict_in_a_source(const Station& a, const Station& b) {
        return std::any_of(a.normals.begin(), a.normals.end(), [&b](const StationNormals& of_a) {
            const StationNormals* of_b = normals_of(b, of_a.variable);
            return of_b != nullptr && of_b->source == of_a.source && contradict(of_a, *of_b);
        });
    }

    void reject_contradictions() {
        for (const auto& [first, second] : contradictions_) {
            reject_all(first, set_.stations[second].name);
            reject_all(second, set_.stations[first].name);
        }
    }

    void reject_all(std::size_t station, const std::string& other) {
        for (const Variable variable : all_variables()) {
            reject_station_value(
                set_, station, variable, std::nullopt,
                {"in the place of " + other, "two stations in one place contradict each other",
                 "neither is used"});
        }
    }

    void join(Station& into, Station& row) {
        note_elevation(into, row);
        if (row.years && (!into.years || row.years->years > into.years->years))
            into.years = row.years;
        for (StationNormals& normals : row.normals) {
            StationNormals* known = normals_of(into, normals.variable);
            if (known == nullptr) {
                into.normals.push_back(std::move(normals));
            } else if (known->source == normals.source) {
                join_rows_of_one_source(into, row, *known, normals);
            } else {
                keep_better(row, *known, normals,
                            {"", "another source has a better record",
                             "the better record was kept, else the first"});
            }
        }
    }

    void note_elevation(Station& into, const Station& row) {
        if (std::isnan(into.elevation_m)) into.elevation_m = row.elevation_m;
        if (!(std::abs(into.elevation_m - row.elevation_m) > kSameElevationM)) return;
        StationNormals itself = row.normals.front();
        itself.variable = Variable::elevation;
        report_normals(set_, row, itself, std::nullopt,
                       {two_values(Variable::elevation, into.elevation_m, row.elevation_m),
                        "two elevations of one station", "the first was taken"});
    }

    void join_rows_of_one_source(const Station& into, const Station& row, StationNormals& known,
                                 StationNormals& normals) {
        const bool same_name = folded_name(into.name) == folded_name(row.name);
        const std::string with = same_name ? "" : "with " + into.name;
        if (const auto month = month_of_disagreement(known, normals)) {
            const std::string values =
                two_values(known.variable, known.values[*month], normals.values[*month]) + " in " +
                std::string(kMonthNames[*month]);
            if (contradict(known, normals)) {
                const StationFinding finding{
                    values, "two rows of one station contradict each other", "neither is used"};
                for (StationNormals* each : {&known, &normals}) {
                    report_normals(set_, row, *each, std::nullopt, finding);
                    forget(*each);
                    each->values = kUnknownYear;
                }
                return;
            }
            return keep_better(
                row, known, normals,
                {values + (same_name ? "" : ", " + with),
                 same_name ? "two rows of one station differ" : "two stations in one place differ",
                 "the more complete record was kept, else the first"});
        }
        report_normals(
            set_, row, normals, std::nullopt,
            {with, same_name ? "duplicate station" : "two stations in one place that agree",
             "counted once"});
        forget(known);
        forget(normals);
        if (order_of(normals) < order_of(known)) std::swap(known, normals);
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (!std::isnan(known.values[m])) continue;
            known.values[m] = normals.values[m];
            known.lines[m] = normals.lines[m];
        }
        tally_of(known).used += known_months(known.values);
    }

    void keep_better(const Station& row, StationNormals& known, StationNormals& normals,
                     const StationFinding& finding) {
        if (order_of(normals) < order_of(known)) std::swap(known, normals);
        report_normals(set_, row, normals, std::nullopt, finding);
        forget(normals);
    }

    SourceTally& tally_of(const StationNormals& normals) {
        return set_.tallies[static_cast<std::size_t>(normals.source)];
    }
    void forget(const StationNormals& normals) {
        tally_of(normals).used -= known_months(normals.values);
    }

    StationSet& set_;
    std::vector<Identity> identities_;  ///< while names are compared
    std::vector<std::pair<std::size_t, std::size_t>> contradictions_;
};

}  // namespace

void merge_stations(StationSet& set) {
    Merging(set).merge();
}

bool contradict(const StationNormals& a, const StationNormals& b) {
    double sum_a = 0.0;
    double sum_b = 0.0;
    double sum_of_differences = 0.0;
    int months = 0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double difference = std::abs(a.values[month] - b.values[month]);
        if (std::isnan(difference)) continue;
        sum_a += a.values[month];
        sum_b += b.values[month];
        sum_of_differences += difference;
        ++months;
    }
    if (months == 0) return false;
    switch (a.variable) {
        case Variable::tmax:
        case Variable::tmin:
        case Variable::tmean:
            return sum_of_differences / months > kContradictionC;
        case Variable::rain: {
            const double more = std::max(sum_a, sum_b);
            const double less = std::min(sum_a, sum_b);
            return more > less * kContradictionRainFactor &&
                   (more - less) * kMonths / months > kContradictionRainMm;
        }
        default:
            return false;
    }
}

}  // namespace thirstline
