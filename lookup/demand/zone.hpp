// A zone as described by its owner: plants, soil and sprinklers. In SI; what is not given stays
// empty, and the plan names the default that it uses instead.
//
// Each number's range (zone_ranges.hpp) is checked by `demand_plan`, which names the zone and the
// field.
#pragma once

#include <compare>
#include <optional>
#include <string>
#include <variant>

#include "schema/base/calendar.hpp"

namespace thirstline {

// --- Plants ----------------------------------------------------------------------------------

enum class TurfSeason { cool, warm };

enum class TurfCoefficients {
    flat,        ///< 0.8 cool, 0.6 warm, in every month
    california,  ///< by month, Meyer et al. 1985: for California only
};

struct Turf {
    TurfSeason season = TurfSeason::cool;
    TurfCoefficients coefficients = TurfCoefficients::flat;
    /// Multiplies the coefficients, 0.5 to 1.4; by the exposure if empty
    std::optional<double> microclimate = std::nullopt;
};

/// Used as it is: never multiplied by density, microclimate or exposure.
struct PlantFactor {
    double value = 0.0;  ///< above 0, to 1.5
};

/// KL = ks · kd · kmc, of the plants with the highest need in a mixed zone.
struct LandscapeCoefficient {
    double species = 0.0;                          ///< ks, above 0, to 1
    std::optional<double> density = std::nullopt;  ///< kd, 0.5 to 1.3; 1 if empty
    /// kmc, 0.5 to 1.4; by the exposure if empty
    std::optional<double> microclimate = std::nullopt;
};

/// The owner's values: flat (twelve equal numbers) or by month.
struct CropCoefficient {
    Monthly<double> by_month{};  ///< 0 to 1.5
};

using Planting = std::variant<Turf, PlantFactor, LandscapeCoefficient, CropCoefficient>;

/// Of the zone's location. It sets the microclimate factor of turf and of a landscape coefficient
/// without its own; plant factors and crop coefficients do not change (stated in `assumed`).
enum class Exposure {
    average,
    shaded,  ///< by trees or walls for much of the day, or out of the wind
    hot,     ///< next to pavement or walls that reflect heat, or in strong wind
};

/// A day of the calendar: month 1 to 12, day 1 to 31.
struct CalendarDay {
    int year = 0;
    int month = 1;
    int day = 1;
    friend auto operator<=>(const CalendarDay&, const CalendarDay&) = default;
};

/// Separate runs for seed, sod or young plants until `until` (that day included). They are not
/// scaled by any monthly share; from the next day, the zone follows its monthly plan.
struct NewPlanting {
    double minutes_per_run = 0.0;  ///< above 0
    int runs_per_day = 1;          ///< 1 to 12
    std::optional<CalendarDay> from = std::nullopt;
    CalendarDay until;
};

// --- Water supply ----------------------------------------------------------------------------

/// Mean depth per hour over the zone's area, 0.1 to 500 mm/h.
struct ApplicationRate {
    double mm_per_h = 0.0;
};

/// Flow of the zone while it runs, spread over its area.
struct ZoneFlow {
    double l_per_min = 0.0;
};

/// The plants' need is computed over the planted area; the wetted area determines storage, interval
/// and cycle (NRCS National Engineering Handbook part 623, chapter 7, from memory).
struct Drip {
    int emitters = 0;           ///< in the whole zone
    double l_per_h_each = 0.0;  ///< above 0
    std::optional<double> wetted_m2 =
        std::nullopt;                          ///< at most the zone's area; equal to it if empty
    std::optional<int> plants = std::nullopt;  ///< for litres per plant and day
};

using Application = std::variant<ApplicationRate, ZoneFlow, Drip>;

/// Lower-quarter DU: a share from 0.2 to 1.
struct DistributionUniformity {
    double lowest_quarter = 0.0;
};

/// Application efficiency: a share from 0.2 to 1.
struct ApplicationEfficiency {
    double share = 0.0;
};

/// One or the other, never both.
using Uniformity = std::variant<DistributionUniformity, ApplicationEfficiency>;

// --- Soil ------------------------------------------------------------------------------------

/// The twelve classes of the USDA triangle.
enum class SoilTexture {
    clay,
    silty_clay,
    sandy_clay,
    silty_clay_loam,
    clay_loam,
    sandy_clay_loam,
    silt,
    silt_loam,
    loam,
    sandy_loam,
    loamy_sand,
    sand
};

/// Empty values are taken from the texture (and the slope) by the handbook's tables.
struct Soil {
    std::optional<SoilTexture> texture;
    std::optional<double> available_water_mm_per_m;  ///< 20 to 300
    std::optional<double> intake_mm_per_h;           ///< 0.5 to 200
    std::optional<double> surface_storage_mm;        ///< 0.5 to 30
};

/// Recycled or salty water. Only if drainage and the rules allow leaching.
struct Salinity {
    double water_ec_ds_per_m = 0.0;  ///< ECw, 0 or more
    /// ECe of the soil extract; turf has defaults.
    std::optional<double> tolerated_ec_ds_per_m = std::nullopt;
};

// --- Rain ------------------------------------------------------------------------------------

enum class RainRule {
    half,        ///< USDA-SCS, at most half the month's rain, less in months with nearly the peak's
                 ///< need, none in the peak month: the default
    none,        ///< no credit in any month
    scs,         ///< USDA-SCS in every month
    dependable,  ///< FAO's dependable-rain rule in every month
    share,       ///< a fixed share of every month's rain
};

struct RainCredit {
    RainRule rule = RainRule::half;
    double share = 0.0;  ///< 0 to 1, for RainRule::share
};

// --- The zone --------------------------------------------------------------------------------

struct Zone {
    std::string name;  ///< not empty; unique
    Planting planting;
    std::optional<NewPlanting> new_planting;
    std::optional<double> area_m2;  ///< planted; drip: the wetted area if empty
    Application application;
    std::optional<Uniformity> uniformity;
    Soil soil;
    std::optional<double> root_depth_mm;      ///< 25 to 3000
    std::optional<double> allowed_depletion;  ///< a share from 0.05 to 0.95
    std::optional<double> slope_percent;      ///< 0 to 100
    std::optional<Exposure> exposure;
    std::optional<Salinity> salinity;
    std::optional<RainCredit> rain_credit;
    bool is_exempt = false;      ///< from the local rules on days, depth, minutes and cycles
    std::optional<int> program;  ///< of the controller, 1 or more; by kind of need if empty
    std::optional<Monthly<bool>> dormant_months;  ///< instead of dormancy by mean temperature
};

}  // namespace thirstline
