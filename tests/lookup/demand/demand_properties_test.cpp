// What must hold for every plan, over random climates, zones, rules and prices.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/exact_units.hpp"
#include "tests/support/merrow_site.hpp"

namespace thirstline {
namespace {

constexpr unsigned kSeed = 20'250'703;
constexpr int kSites = 500;
constexpr double kTiny = 1e-9;

class RandomSites {
  public:
    double between(double least, double greatest) {
        return std::uniform_real_distribution<double>(least, greatest)(random_);
    }
    int whole(int least, int greatest) {
        return std::uniform_int_distribution<int>(least, greatest)(random_);
    }
    bool chance(double share) { return std::bernoulli_distribution(share)(random_); }

    SiteClimate climate() {
        SiteClimate climate;
        const double mean_mm = between(0.5, 5.0);
        const double swing = between(0.0, 1.0);
        const double rain_mm = between(0.0, 150.0);
        const double mean_c = between(-5.0, 28.0);
        for (std::size_t m = 0; m < kMonths; ++m) {
            MonthClimate& month = climate.months[m];
            const double wave = -std::cos((static_cast<double>(m) + 0.5) * M_PI / 6.0);
            month.eto_mm_per_day = mean_mm * (1.0 + swing * wave) * between(0.9, 1.1);
            month.eto_mm = month.eto_mm_per_day * kDaysInMonth[m];
            month.eto_se_mm = 0.05 * month.eto_mm;
            month.rain_mm = rain_mm * between(0.0, 2.0);
            month.rain_se_mm = 0.1 * *month.rain_mm;
            if (chance(0.3)) month.rain_days = between(0.0, 20.0);
            month.tmean_c = mean_c + 10.0 * swing * wave;
        }
        return climate;
    }

    Zone zone(int number) {
        Zone zone;
        zone.name = "zone " + std::to_string(number);
        zone.planting = planting();
        zone.area_m2 = between(5.0, 500.0);
        zone.application = application();
        if (chance(0.4)) zone.uniformity = DistributionUniformity{between(0.4, 0.95)};
        if (chance(0.4)) zone.uniformity = ApplicationEfficiency{between(0.5, 1.0)};
        if (auto* drip = std::get_if<Drip>(&zone.application)) {
            drip->wetted_m2 = std::min(*drip->wetted_m2, *zone.area_m2);
        }
        zone.soil.texture = static_cast<SoilTexture>(whole(0, 11));
        if (chance(0.5)) zone.root_depth_mm = between(60.0, 900.0);
        if (chance(0.5)) zone.allowed_depletion = between(0.2, 0.8);
        if (chance(0.5)) zone.slope_percent = between(0.0, 30.0);
        if (chance(0.2)) zone.salinity = Salinity{between(0.0, 1.0), 3.0};
        if (chance(0.6)) zone.rain_credit = RainCredit{static_cast<RainRule>(whole(0, 4)), 0.25};
        return zone;
    }

    LocalRules rules() {
        LocalRules rules;
        rules.allowed_days.rule = static_cast<DayRule>(whole(0, 3));
        for (bool& allowed : rules.allowed_days.weekdays) allowed = chance(0.5);
        rules.allowed_days.weekdays[static_cast<std::size_t>(whole(0, 6))] = true;
        if (chance(0.5)) rules.window_hours = between(0.5, 12.0);
        if (chance(0.2)) rules.flow_l_per_min = between(10.0, 100.0);
        if (chance(0.2)) rules.yearly_allowance_l = between(0.0, 1e6);
        if (chance(0.2)) rules.monthly_allowance_l = between(0.0, 1e5);
        if (chance(0.2)) rules.weekly_depth_cap_mm = between(5.0, 60.0);
        if (chance(0.2)) rules.days_per_week_cap = whole(1, 5);
        if (chance(0.2)) rules.runs_per_week_cap = whole(1, 12);
        return rules;
    }

    WaterPrice price() {
        WaterPrice price;
        constexpr std::array<int, 6> kBilling{1, 2, 3, 4, 6, 12};
        price.billing_months = kBilling[static_cast<std::size_t>(whole(0, 5))];
        price.fixed_per_bill = between(0.0, 30.0);
        price.indoor_units_per_bill = between(0.0, 30.0);
        price.sewer_share = chance(0.5) ? between(0.0, 1.0) : 0.0;
        double up_to = 0.0;
        for (int tier = whole(0, 3); tier > 0; --tier) {
            up_to += between(1.0, 30.0);
            price.tiers.push_back({up_to, between(0.5, 4.0)});
        }
        price.tiers.push_back({std::nullopt, between(0.5, 6.0)});
        return price;
    }

  private:
    Planting planting() {
        switch (whole(0, 3)) {
            case 0:
                return Turf{chance(0.5) ? TurfSeason::cool : TurfSeason::warm,
                            chance(0.5) ? TurfCoefficients::flat : TurfCoefficients::california};
            case 1:
                return PlantFactor{between(0.1, 1.0)};
            case 2:
                return LandscapeCoefficient{between(0.1, 0.9), between(0.5, 1.3), {}};
            default: {
                CropCoefficient crop;
                for (double& coefficient : crop.by_month) coefficient = between(0.0, 1.2);
                return crop;
            }
        }
    }
    Application application() {
        switch (whole(0, 2)) {
            case 0:
                return ApplicationRate{between(3.0, 60.0)};
            case 1:
                return ZoneFlow{between(5.0, 80.0)};
            default:
                return Drip{whole(20, 300), between(1.0, 8.0), between(5.0, 60.0), whole(1, 50)};
        }
    }

    std::mt19937 random_{kSeed};
};

struct RandomCase {
    SiteClimate climate;
    std::vector<Zone> zones;
    LocalRules rules;
    WaterPrice price;
    DemandPlan plan;
};

/// Calls `check` for each of many random sites that can be planned at all.
template <class Check>
void for_random_sites(Check check) {
    RandomSites random;
    int planned = 0;
    for (int i = 0; i < kSites; ++i) {
        SCOPED_TRACE("site " + std::to_string(i) + " of seed " + std::to_string(kSeed));
        RandomCase site;
        site.climate = random.climate();
        for (int z = random.whole(1, 4); z > 0; --z) site.zones.push_back(random.zone(z));
        site.rules = random.rules();
        site.price = random.price();
        auto plan = demand_plan(site.climate, site.zones, site.rules, site.price);
        if (!plan) {
            // Only what no generator can know beforehand may be refused.
            EXPECT_NE(plan.error().message.find("flow over area"), std::string::npos)
                << plan.error().message;
            continue;
        }
        site.plan = std::move(*plan);
        ++planned;
        check(site);
        if (testing::Test::HasFailure()) return;
    }
    EXPECT_GT(planned, kSites / 2);
}

TEST(DemandProperties, DepthsMinutesAndVolumesAgree) {
    for_random_sites([](const RandomCase& site) {
        for (const ZonePlan& zone : site.plan.zones) {
            double year_l = 0.0;
            for (std::size_t m = 0; m < kMonths; ++m) {
                const ZoneMonth& month = zone.months[m];
                const double weeks = kDaysInMonth[m] / kDaysPerWeek;
                const auto near = [](double a, double b) {
                    EXPECT_NEAR(a, b, kTiny * std::max(1.0, std::fabs(b)));
                };
                near(month.net_mm, std::max(0.0, month.need_mm - month.effective_rain_mm));
                near(month.gross_mm, month.net_mm * zone.gross_per_net);
                near(month.minutes_per_week * weeks * zone.rate_mm_per_h / 60.0, month.applied_mm);
                near(month.days_per_week * month.cycles_per_day * month.minutes_per_cycle,
                     month.minutes_per_week);
                near(month.applied_mm + month.short_mm - month.excess_mm, month.gross_mm);
                near(month.by_percentage.applied_mm * zone.counted_area_m2,
                     month.by_percentage.volume_l);
                near(zone.base_run.minutes_per_day * month.by_percentage.percent / 100.0 *
                         month.by_percentage.days_in_month * zone.rate_mm_per_h / 60.0,
                     month.by_percentage.applied_mm);
                near(month.volume_l, month.applied_mm * zone.counted_area_m2);
                near(zone.flow_l_per_min * month.minutes_per_week * weeks, month.volume_l);
                EXPECT_GE(month.short_mm, 0.0);
                EXPECT_LE(month.percent_of_peak_need, 100.0 + kTiny);
                EXPECT_TRUE(!month.dormant || month.net_mm == 0.0);
                year_l += month.volume_l;
            }
            EXPECT_NEAR(zone.volume_l, year_l, kTiny * std::max(1.0, year_l));
        }
    });
}

TEST(DemandProperties, EveryShortfallIsReported) {
    for_random_sites([](const RandomCase& site) {
        for (const ZonePlan& zone : site.plan.zones) {
            Monthly<double> told_mm{};
            for (const Conflict& conflict : zone.conflicts) {
                if (conflict.rule == "percentage") continue;  // of the other way to key the year
                told_mm[static_cast<std::size_t>(conflict.month - 1)] += conflict.short_mm;
                EXPECT_FALSE(conflict.rule.empty());
                EXPECT_FALSE(conflict.short_by.empty());
                EXPECT_FALSE(conflict.remedy.empty());
                EXPECT_GE(conflict.short_mm, 0.0);
            }
            for (std::size_t m = 0; m < kMonths; ++m) {
                // What rounding explains, and months left off for a trace, are no conflicts.
                const ZoneMonth& month = zone.months[m];
                const bool is_short = month.applied_mm < kMinShareOfNeed * month.gross_mm &&
                                      month.short_mm > kTiny && month.off != Off::small_need;
                EXPECT_NEAR(told_mm[m], is_short ? month.short_mm : 0.0, 1e-6)
                    << zone.name << ' ' << m;
            }
        }
    });
}

TEST(DemandProperties, NoCycleExceedsItsRunOffLimit) {
    for_random_sites([](const RandomCase& site) {
        for (const ZonePlan& zone : site.plan.zones) {
            if (!zone.longest_cycle_minutes) continue;
            for (const ZoneMonth& month : zone.months) {
                // One minute is the least that can be keyed.
                EXPECT_LE(month.minutes_per_cycle,
                          std::max(1.0, *zone.longest_cycle_minutes) * (1.0 + kTiny));
                EXPECT_EQ(month.soak_minutes > 0.0, month.cycles_per_day > 1);
            }
        }
    });
}

/// Weekdays of "Mon, Wed".
std::vector<std::string> parts_of(const std::string& names) {
    std::vector<std::string> parts{""};
    for (const char c : names) {
        if (c == ',') {
            parts.emplace_back();
        } else if (c != ' ' || !parts.back().empty()) {
            parts.back() += c;
        }
    }
    return parts;
}

bool names_only_allowed_days(const std::string& names, const AllowedDays& allowed) {
    if (names == "every odd date") return allowed.rule == DayRule::odd_dates;
    if (names == "every even date") return allowed.rule == DayRule::even_dates;
    // "every 6 days from the 2nd": an even interval keeps the parity of its first date.
    if (goes_by_date(allowed.rule)) {
        const std::size_t from = names.find(" days from the ");
        if (!names.starts_with("every ") || from == std::string::npos) return false;
        const bool is_odd = std::stoi(names.substr(from + 15)) % 2 == 1;
        return std::stoi(names.substr(6)) % 2 == 0 &&
               is_odd == (allowed.rule == DayRule::odd_dates);
    }
    for (const std::string& part : parts_of(names)) {
        for (std::size_t day = 0; day < kWeekdays; ++day) {
            const bool is_named =
                part == "every day" || part.find(kWeekdayAbbreviations[day]) != std::string::npos;
            if (is_named && allowed.rule == DayRule::weekdays && !allowed.weekdays[day]) {
                return false;
            }
        }
    }
    return true;
}

TEST(DemandProperties, NoRunFallsOnAForbiddenDay) {
    for_random_sites([](const RandomCase& site) {
        for (const ZonePlan& zone : site.plan.zones) {
            for (const ZoneMonth& month : zone.months) {
                EXPECT_EQ(month.day_names.empty(), month.minutes_per_week == 0.0);
                if (month.day_names.empty()) continue;
                EXPECT_TRUE(
                    names_only_allowed_days(english(month.day_names), site.rules.allowed_days))
                    << english(month.day_names);
            }
        }
    });
}

TEST(DemandProperties, EveryRuleIsKept) {
    for_random_sites([](const RandomCase& site) {
        const LocalRules& rules = site.rules;
        Monthly<double> month_l{};
        for (const ZonePlan& zone : site.plan.zones) {
            for (std::size_t m = 0; m < kMonths; ++m) {
                const ZoneMonth& month = zone.months[m];
                month_l[m] += month.volume_l;
                const double weeks = kDaysInMonth[m] / kDaysPerWeek;
                if (rules.weekly_depth_cap_mm) {
                    EXPECT_LE(month.applied_mm / weeks, *rules.weekly_depth_cap_mm + kTiny);
                    EXPECT_LE(month.by_percentage.applied_mm / weeks,
                              *rules.weekly_depth_cap_mm * (1.0 + kTiny) + kTiny);
                }
                if (rules.days_per_week_cap) {
                    EXPECT_LE(month.days_per_week, *rules.days_per_week_cap + kTiny);
                }
                if (rules.runs_per_week_cap) {
                    EXPECT_LE(month.days_per_week * month.cycles_per_day,
                              *rules.runs_per_week_cap + kTiny);
                }
                if (rules.flow_l_per_min && month.minutes_per_week > 0.0) {
                    EXPECT_LE(zone.flow_l_per_min, *rules.flow_l_per_min * (1.0 + kTiny));
                }
                if (rules.window_hours) {
                    const double alone = month.cycles_per_day * month.minutes_per_cycle +
                                         std::max(0, month.cycles_per_day - 1) * month.soak_minutes;
                    EXPECT_LE(alone, *rules.window_hours * 60.0 + 1e-5);
                }
            }
        }
        double year_l = 0.0;
        for (const double litres : month_l) {
            year_l += litres;
            if (rules.monthly_allowance_l) {
                EXPECT_LE(litres, *rules.monthly_allowance_l * (1.0 + kTiny) + kTiny);
            }
        }
        if (rules.yearly_allowance_l) {
            EXPECT_LE(year_l, *rules.yearly_allowance_l * (1.0 + kTiny) + kTiny);
        }
        if (rules.window_hours && site.plan.site.longest_night_minutes) {
            EXPECT_LE(*site.plan.site.longest_night_minutes, *rules.window_hours * 60.0 + 1e-5);
        }
    });
}

/// What lies between two amounts on one bill, tier by tier.
double by_hand(const WaterPrice& price, double from_units, double to_units) {
    double charge = 0.0;
    double low = 0.0;
    for (const PriceTier& tier : price.tiers) {
        const double high = tier.up_to.value_or(1e12);
        const double within = std::min(high, to_units) - std::max(low, from_units);
        if (within > 0.0) charge += within * tier.price;
        low = high;
    }
    return charge * (1.0 + price.sewer_share);
}

TEST(DemandProperties, CostIsTheTiersByHand) {
    for_random_sites([](const RandomCase& site) {
        double watering = 0.0;
        const WaterPrice& price = site.price;
        for (std::size_t first = 0; first < kMonths; first += price.billing_months) {
            double units = 0.0;
            for (std::size_t m = first; m < first + price.billing_months; ++m) {
                for (const ZonePlan& zone : site.plan.zones) {
                    units += zone.months[m].volume_l / 1000.0;
                }
            }
            watering +=
                by_hand(price, price.indoor_units_per_bill, price.indoor_units_per_bill + units);
        }
        EXPECT_NEAR(site.plan.site.year.cost.value_or(-1.0), watering,
                    1e-7 * std::max(1.0, watering));
        double by_zones = 0.0;
        for (const ZonePlan& zone : site.plan.zones) by_zones += zone.cost.value_or(0.0);
        EXPECT_NEAR(by_zones, watering, 1e-7 * std::max(1.0, watering));
    });
}

// --- More of one thing ---------------------------------------------------------------------------

Monthly<ZoneMonth> months_of(const SiteClimate& climate, const Zone& zone) {
    return plan_or_fail(climate, {zone}).zones[0].months;
}

TEST(DemandProperties, NeedRisesWithPlantFactorAndEtoAndFallsWithRain) {
    RandomSites random;
    for (int i = 0; i < kSites; ++i) {
        SCOPED_TRACE("site " + std::to_string(i) + " of seed " + std::to_string(kSeed));
        const SiteClimate climate = random.climate();
        Zone zone = random.zone(1);
        zone.application = ApplicationRate{20.0};
        const double factor = random.between(0.1, 1.0);
        zone.planting = PlantFactor{factor};
        const bool is_default = zone.rain_credit.value_or(RainCredit{}).rule == RainRule::half;
        const auto before = months_of(climate, zone);

        Zone thirstier = zone;
        thirstier.planting = PlantFactor{factor * 1.2};
        const auto with_factor = months_of(climate, thirstier);

        const auto m = static_cast<std::size_t>(random.whole(0, 11));
        SiteClimate hotter = climate;
        hotter.months[m].eto_mm *= 1.2;
        hotter.months[m].eto_mm_per_day *= 1.2;
        const auto with_eto = months_of(hotter, zone);

        SiteClimate wetter = climate;
        wetter.months[m].rain_mm = *climate.months[m].rain_mm * 1.3 + 5.0;
        const auto with_rain = months_of(wetter, zone);

        EXPECT_GE(with_eto[m].need_mm, before[m].need_mm);
        EXPECT_GE(with_eto[m].net_mm, before[m].net_mm - kTiny);
        EXPECT_LE(with_rain[m].net_mm, before[m].net_mm + kTiny);
        for (std::size_t other = 0; other < kMonths; ++other) {
            EXPECT_GE(with_factor[other].need_mm, before[other].need_mm);
            // By the default another month may become the peak, which has no rain credit.
            if (is_default) continue;
            EXPECT_GE(with_factor[other].net_mm, before[other].net_mm - kTiny);
        }
        if (testing::Test::HasFailure()) return;
    }
}

}  // namespace
}  // namespace thirstline
