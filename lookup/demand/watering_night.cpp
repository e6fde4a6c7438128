#include "lookup/demand/watering_night.hpp"

#include <algorithm>
#include <iterator>
#include <limits>
#include <numeric>

namespace thirstline {
namespace {

constexpr int kNightSlots = 31;
constexpr double kFlowTolerance = 1e-9;
constexpr double kNever = std::numeric_limits<double>::infinity();

// --- Nights --------------------------------------------------------------------------------------

/// The nights of the zones whose days are counted the same way: by weekday, or by date.
std::vector<Night> nights_of(const std::vector<DayPattern>& days, bool by_date) {
    std::vector<Night> nights;
    for (int slot = 0; slot < kNightSlots; ++slot) {
        Night night;
        for (std::size_t z = 0; z < days.size(); ++z) {
            if (goes_by_date(days[z].rule) == by_date && (days[z].slots >> slot & 1U) != 0)
                night.push_back(z);
        }
        if (night.empty() || std::find(nights.begin(), nights.end(), night) != nights.end())
            continue;
        nights.push_back(std::move(night));
    }
    return nights;
}

// --- Cycles in turn ------------------------------------------------------------------------------

struct Turn {
    NightRun run;
    int left = 0;
    double ready_at = 0.0;
    double closes_at = -1.0;
};

enum class Order { round, longest_rest };

/// Opens valves, one event after another.
class Turns {
  public:
    Turns(const std::vector<NightRun>& runs, const std::vector<Night>& nights,
          const ValveLimits& limits, Order order)
        : limits_(limits), order_(order), nights_of_(runs.size()) {
        for (const NightRun& run : runs) turns_.push_back({run, run.cycles.count, 0.0, -1.0});
        layout_.starts.resize(runs.size());
        for (const Night& night : nights) {
            std::vector<char> is_in(runs.size(), 0);
            for (const std::size_t z : night) is_in[z] = 1;
            for (const std::size_t z : night) nights_of_[z].push_back(in_night_.size());
            in_night_.push_back(std::move(is_in));
        }
    }

    [[nodiscard]] NightLayout laid_out() {
        while (has_cycles_left()) {
            const std::optional<std::size_t> next = next_to_open();
            if (next) {
                open(*next);
            } else {
                now_ = next_event();
                std::erase_if(open_, [&](std::size_t z) { return turns_[z].closes_at <= now_; });
            }
        }
        return std::move(layout_);
    }

  private:
    [[nodiscard]] bool has_cycles_left() const {
        return std::any_of(turns_.begin(), turns_.end(),
                           [](const Turn& turn) { return turn.left > 0; });
    }

    /// Whether the limits allow the zone in addition to the valves that are open in that night.
    [[nodiscard]] bool fits_the_night(std::size_t z, const std::vector<char>& is_in) const {
        int open = 1;
        double flow = turns_[z].run.flow_l_per_min;
        for (const std::size_t other : open_) {
            if (is_in[other] == 0) continue;
            ++open;
            flow += turns_[other].run.flow_l_per_min;
        }
        if (open == 1) return true;
        if (open > limits_.valves_at_once) return false;
        return !limits_.flow_l_per_min || flow <= *limits_.flow_l_per_min * (1.0 + kFlowTolerance);
    }

    [[nodiscard]] bool can_open(std::size_t z) const {
        const Turn& turn = turns_[z];
        if (turn.left == 0 || turn.ready_at > now_) return false;
        return open_.empty() ||
               std::all_of(nights_of_[z].begin(), nights_of_[z].end(),
                           [&](std::size_t night) { return fits_the_night(z, in_night_[night]); });
    }

    /// Minutes from the start of the next cycle to the end of the last one.
    [[nodiscard]] double minutes_to_end(std::size_t z) const {
        const Turn& turn = turns_[z];
        const Cycles& cycles = turn.run.cycles;
        return turn.left * (cycles.minutes_each + cycles.soak_minutes) - cycles.soak_minutes;
    }

    [[nodiscard]] std::optional<std::size_t> next_to_open() const {
        std::optional<std::size_t> next;
        for (std::size_t step = 0; step < turns_.size(); ++step) {
            const std::size_t z = (from_ + step) % turns_.size();
            if (!can_open(z)) continue;
            if (order_ == Order::round) return z;
            if (!next || minutes_to_end(z) > minutes_to_end(*next)) next = z;
        }
        return next;
    }

    void open(std::size_t z) {
        Turn& turn = turns_[z];
        layout_.starts[z].push_back(now_);
        turn.closes_at = now_ + turn.run.cycles.minutes_each;
        turn.ready_at = turn.closes_at + turn.run.cycles.soak_minutes;
        --turn.left;
        layout_.minutes = std::max(layout_.minutes, turn.closes_at);
        open_.push_back(z);
        if (order_ == Order::round) from_ = (z + 1) % turns_.size();
    }

    [[nodiscard]] double next_event() const {
        double next = kNever;
        for (const Turn& turn : turns_) {
            if (turn.closes_at > now_) next = std::min(next, turn.closes_at);
            if (turn.left > 0 && turn.ready_at > now_) next = std::min(next, turn.ready_at);
        }
        return next;
    }

    const ValveLimits& limits_;
    Order order_;
    std::vector<std::vector<char>> in_night_;          // night, zone
    std::vector<std::vector<std::size_t>> nights_of_;  // zone
    std::vector<std::size_t> open_;
    std::vector<Turn> turns_;
    NightLayout layout_;
    double now_ = 0.0;
    std::size_t from_ = 0;
};

}  // namespace

std::vector<Night> different_nights(const std::vector<DayPattern>& days) {
    std::vector<Night> by_weekday = nights_of(days, false);
    std::vector<Night> by_date = nights_of(days, true);
    if (by_weekday.empty()) return by_date;
    if (by_date.empty()) return by_weekday;
    std::vector<Night> nights;
    for (const Night& weekday : by_weekday) {
        for (const Night& date : by_date) {
            Night both;
            std::merge(weekday.begin(), weekday.end(), date.begin(), date.end(),
                       std::back_inserter(both));
            nights.push_back(std::move(both));
        }
    }
    return nights;
}

NightLayout night_layout(const std::vector<NightRun>& runs, const std::vector<Night>& nights,
                         const ValveLimits& limits) {
    NightLayout round = Turns(runs, nights, limits, Order::round).laid_out();
    NightLayout by_rest = Turns(runs, nights, limits, Order::longest_rest).laid_out();
    return by_rest.minutes < round.minutes ? by_rest : round;
}

double night_minutes(const std::vector<Cycles>& zones) {
    std::vector<NightRun> runs;
    for (const Cycles& cycles : zones) runs.push_back({cycles, 0.0});
    Night all(zones.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    return night_layout(runs, {all}, {}).minutes;
}

}  // namespace thirstline
