#include "lookup/demand/cycle_and_soak.hpp"

#include <algorithm>

namespace thirstline {
namespace {

constexpr double kCostOfCycle = 0.05;
constexpr double kCostOfTooLittle = 10.0;
constexpr int kCyclesTried = 4;
constexpr double kKeyTolerance = 1e-9;

}  // namespace

Cycles keyed_cycles(double minutes_a_day, const RunLimits& limits, double least_share) {
    if (minutes_a_day <= 0.0) return {};
    const double step = limits.minute_step;
    const double longest =
        limits.longest_cycle_minutes
            ? std::max(step,
                       std::floor(*limits.longest_cycle_minutes / step + kKeyTolerance) * step)
            : std::max(step, std::ceil(minutes_a_day / step) * step);
    int fewest = std::max(1, static_cast<int>(std::ceil(minutes_a_day / longest - kKeyTolerance)));
    const int most_cycles = limits.max_cycles.value_or(fewest + kCyclesTried);
    fewest = std::min(fewest, most_cycles);
    // One cycle less may be closer if the last cycle would be short.
    const int first = std::max(1, fewest - 1);
    Cycles best;
    double best_cost = 0.0;
    for (int count = first; count <= std::min(most_cycles, fewest + kCyclesTried); ++count) {
        const double exact_steps = minutes_a_day / count / step;
        for (const double steps :
             {std::floor(exact_steps + kKeyTolerance), std::ceil(exact_steps)}) {
            const double each = std::min(std::max(1.0, steps) * step, longest);
            double total = each * count;
            double fitting = each;
            while (total > limits.most_minutes + kKeyTolerance && fitting > step + kKeyTolerance) {
                fitting -= step;
                total = fitting * count;
            }
            if (total > limits.most_minutes + kKeyTolerance) continue;
            const double departure = std::fabs(total - minutes_a_day) / minutes_a_day;
            const bool is_too_little = total < least_share * minutes_a_day - kKeyTolerance;
            const double cost = departure + kCostOfCycle * (count - first) +
                                (is_too_little ? kCostOfTooLittle : 0.0);
            if (best.count > 0 && cost >= best_cost) continue;
            best = {count, fitting,
                    count > 1 ? std::ceil(limits.soak_minutes - kKeyTolerance) : 0.0};
            best_cost = cost;
        }
    }
    return best;
}

}  // namespace thirstline
