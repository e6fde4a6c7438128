#include "builder/compare/compared_points.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <optional>
#include <tuple>

#include "schema/database/whole_tables.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

constexpr double kMovedPostalKm = 0.1;
constexpr double kManyErrors = 2.0;

/// Values by month in mm a month; NaN where unknown.
struct Year {
    Monthly<double> mm{};
    Monthly<double> se_mm{};
};

Monthly<double> monthly_mm(const Answer& answer, const TileLayout& layout, LayerId id,
                           bool is_per_day) {
    Monthly<double> mm;
    mm.fill(std::nan(""));
    const Layer* layer = layout.find(id);
    if (layer == nullptr) return mm;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const std::int32_t value = answer.of(id)[m];
        if (value == kMissingValue) continue;
        mm[m] = static_cast<double>(value) / (layer->divisor * kAnswerScale) *
                (is_per_day ? kDaysInMonth[m] : 1.0);
    }
    return mm;
}

struct PointYears {
    Year eto;
    Year rain;
};

PointYears years_of(const Answer& answer, const TileLayout& layout) {
    return {{monthly_mm(answer, layout, LayerId::eto, true),
             monthly_mm(answer, layout, LayerId::eto_se, true)},
            {monthly_mm(answer, layout, LayerId::rain, false),
             monthly_mm(answer, layout, LayerId::rain_se, false)}};
}

/// As if the errors of both files were independent; of the one known if the other is not.
double se_of_change(double before, double after) {
    if (std::isnan(before)) return after;
    return std::isnan(after) ? before : std::hypot(before, after);
}

/// Changes of a month over the points, counted in steps of 0.01 mm.
class Distribution {
  public:
    /// Returns the change in standard errors of the new value, or of the old one if only that is
    /// known; 0 without any.
    double add(double before, double after, double se_before, double se_after) {
        if (std::isnan(before) || std::isnan(after)) return 0.0;
        const double change = after - before;
        ++points_;
        sum_ += change;
        ++count_[std::llround(change * kSteps)];
        const double se = std::isnan(se_after) ? se_before : se_after;
        if (std::isnan(se)) return 0.0;
        ++with_se_;
        sum_se_ += se_of_change(se_before, se_after);
        const double in_se = se > 0.0 ? std::abs(change) / se : 0.0;
        if (in_se > kManyErrors) ++beyond_;
        return in_se;
    }

    [[nodiscard]] ChangeOfMonth finished() const {
        ChangeOfMonth month;
        month.points = points_;
        if (points_ == 0) return month;
        month.mean = sum_ / static_cast<double>(points_);
        if (with_se_ > 0) month.mean_se = sum_se_ / static_cast<double>(with_se_);
        month.least = static_cast<double>(count_.begin()->first) / kSteps;
        month.greatest = static_cast<double>(count_.rbegin()->first) / kSteps;
        month.percent_5 = quantile(0.05);
        month.median = quantile(0.5);
        month.percent_95 = quantile(0.95);
        month.beyond_two_se = beyond_;
        return month;
    }

  private:
    static constexpr double kSteps = 100.0;

    /// The least change that at least this share of the points does not exceed.
    [[nodiscard]] double quantile(double share) const {
        const auto wanted =
            static_cast<std::int64_t>(std::ceil(share * static_cast<double>(points_)));
        std::int64_t seen = 0;
        for (const auto& [step, count] : count_) {
            seen += count;
            if (seen >= std::max<std::int64_t>(wanted, 1))
                return static_cast<double>(step) / kSteps;
        }
        return 0.0;
    }

    std::map<std::int64_t, std::int64_t> count_;
    std::int64_t points_ = 0;
    std::int64_t with_se_ = 0;
    std::int64_t beyond_ = 0;
    double sum_ = 0.0;
    double sum_se_ = 0.0;
};

/// A point of a file with data.
struct FilePoint {
    const Lattice* lattice = nullptr;
    LatticePoint point;
    [[nodiscard]] LatLonE7 at() const { return position_e7_of(*lattice, point); }
};

/// Calls `take` with every point with data. Errors: those of reading and `take`.
Result<void> for_each_point(const Database& database,
                            const std::function<Result<void>(const FilePoint&)>& take) {
    auto scan = TRY(TileScan::over(database));
    while (true) {
        const auto row = TRY(scan.next());
        if (!row) return {};
        const auto lattice =
            std::ranges::find(database.lattices(), lattice_id_of_key(row->key), &Lattice::id);
        if (lattice == database.lattices().end()) continue;
        const auto tile = TRY(decode_tile(row->codec, database.layout(), row->data));
        for (int slot = 0; slot < database.layout().slots(); ++slot) {
            if (tile.present[static_cast<std::size_t>(slot)] == 0) continue;
            TRY(take({&*lattice, point_in_tile(*lattice, tile_of_key(row->key), slot)}));
        }
    }
}

/// The same place in another lattice; nothing if that has other points.
std::optional<LatticePoint> same_point(const FilePoint& own, const Lattice& other) {
    const Lattice& lattice = *own.lattice;
    const int south = lattice.south_arcsec - other.south_arcsec;
    const int west = lattice.west_arcsec - other.west_arcsec;
    const int spacing = lattice.spacing_arcsec;
    if (spacing != other.spacing_arcsec || south % spacing != 0 || west % spacing != 0)
        return std::nullopt;
    return LatticePoint{own.point.row + south / spacing, own.point.column + west / spacing};
}

/// Whether the file has data at the point, or, if its lattices have other points, answers there by
/// interpolation. (A position is rounded to 1e-7 degree, so the answer at a point without data may
/// come from those beside it.)
Result<bool> has_point(Database& database, const FilePoint& point, const Answer& answer) {
    bool is_on_lattice = false;
    for (const Lattice& lattice : database.lattices()) {
        const auto same = same_point(point, lattice);
        if (!same) continue;
        is_on_lattice = true;
        if (!contains(lattice, *same)) continue;
        const auto tile = TRY(database.tile(lattice, tile_of(lattice, *same)));
        const auto slot = static_cast<std::size_t>(slot_in_tile(lattice, *same));
        if (tile != nullptr && tile->present[slot] != 0) return true;
    }
    return !is_on_lattice && answer.interpolated;
}

class PointComparison {
  public:
    PointComparison(Database& before, Database& after, const std::atomic<bool>& interrupted)
        : before_(before), after_(after), interrupted_(interrupted) {}

    Result<PointChanges> changes() {
        TRY(for_each_point(after_, [this](const FilePoint& point) { return compare_at(point); }));
        TRY(for_each_point(before_, [this](const FilePoint& point) -> Result<void> {
            const auto answer = TRY(answer_in(after_, point.at()));
            const auto is_in_both = TRY(has_point(after_, point, answer));
            if (!is_in_both) ++changes_.only_before;
            return {};
        }));
        for (std::size_t m = 0; m < kMonths; ++m) {
            changes_.eto[m] = eto_[m].finished();
            changes_.rain[m] = rain_[m].finished();
        }
        return std::move(changes_);
    }

  private:
    Result<Answer> answer_in(Database& database, LatLonE7 at) {
        if (interrupted_.load()) return fail(ErrorCode::interrupted, "interrupted");
        return database.answer(at);
    }

    Result<void> compare_at(const FilePoint& point) {
        const LatLonE7 at = point.at();
        const auto old_answer = TRY(answer_in(before_, at));
        const auto is_in_both = TRY(has_point(before_, point, old_answer));
        if (!is_in_both || !old_answer.found) {
            ++changes_.only_after;
            return {};
        }
        ++changes_.in_both;
        const auto new_answer = TRY(answer_in(after_, at));
        const PointYears before = years_of(old_answer, before_.layout());
        const PointYears after = years_of(new_answer, after_.layout());
        ChangedPlace greatest;
        greatest.at = at;
        note(greatest, "eto", before.eto, after.eto, eto_);
        note(greatest, "rain", before.rain, after.rain, rain_);
        if (greatest.in_se <= kManyErrors) return {};
        ++changes_.places_beyond_two_se;
        keep(std::move(greatest));
        return {};
    }

    static void note(ChangedPlace& greatest, const char* variable, const Year& before,
                     const Year& after, Monthly<Distribution>& distributions) {
        for (std::size_t m = 0; m < kMonths; ++m) {
            const double in_se =
                distributions[m].add(before.mm[m], after.mm[m], before.se_mm[m], after.se_mm[m]);
            if (in_se <= greatest.in_se) continue;
            greatest.variable = variable;
            greatest.month = static_cast<int>(m) + 1;
            greatest.before_mm = before.mm[m];
            greatest.after_mm = after.mm[m];
            greatest.in_se = in_se;
        }
    }

    /// The greatest first; of equals, the one that was found first.
    void keep(ChangedPlace place) {
        std::vector<ChangedPlace>& kept = changes_.greatest;
        const auto where = std::ranges::find_if(
            kept, [&](const ChangedPlace& other) { return other.in_se < place.in_se; });
        if (where == kept.end() && kept.size() == kGreatestPlaces) return;
        kept.insert(where, std::move(place));
        if (kept.size() > kGreatestPlaces) kept.pop_back();
    }

    Database& before_;
    Database& after_;
    const std::atomic<bool>& interrupted_;
    PointChanges changes_;
    Monthly<Distribution> eto_;
    Monthly<Distribution> rain_;
};

}  // namespace

Result<PointChanges> compared_points(Database& before, Database& after,
                                     const std::atomic<bool>& interrupted) {
    return PointComparison(before, after, interrupted).changes();
}

Result<PostalChanges> compared_postal_codes(const Database& before, const Database& after) {
    auto old_scan = TRY(PostalScan::over(before));
    auto new_scan = TRY(PostalScan::over(after));
    auto old_place = TRY(old_scan.next());
    auto new_place = TRY(new_scan.next());
    const auto key = [](const PostalPlace& place) { return std::tie(place.code, place.country); };
    PostalChanges changes;
    while (old_place || new_place) {
        const bool is_old = old_place && (!new_place || key(*old_place) <= key(*new_place));
        const bool is_new = new_place && (!old_place || key(*new_place) <= key(*old_place));
        if (is_old && is_new) {
            if (great_circle_km(to_degrees(old_place->position), to_degrees(new_place->position)) >
                kMovedPostalKm)
                changes.moved.push_back(*new_place);
        } else if (is_old) {
            changes.lost.push_back(*old_place);
        } else {
            changes.gained.push_back(*new_place);
        }
        if (is_old) old_place = TRY(old_scan.next());
        if (is_new) new_place = TRY(new_scan.next());
    }
    return changes;
}

}  // namespace thirstline
