#include "lookup/demand/watering_night.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <limits>
#include <map>
#include <numeric>
#include <queue>
#include <set>
#include <tuple>
#include <utility>

namespace thirstline {
namespace {

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
    int left = 0;  ///< cycles
};

enum class Order { round, longest_rest };

/// Zones that run in the same nights: what keeps one of them from opening keeps all.
struct Group {
    /// In order of their turn: by index, or the longest time to the end first.
    using Place = std::pair<double, std::size_t>;

    std::vector<std::size_t> nights;
    std::set<Place> ready;  ///< zones with cycles left that need not soak
    int full_nights = 0;    ///< with as many open valves as the limits allow
};

/// Opens valves, one event after another.
class Turns {
  public:
    Turns(const std::vector<NightRun>& runs, const std::vector<Night>& nights,
          const ValveLimits& limits, Order order)
        : limits_(limits), order_(order), open_in_(nights.size()), groups_of_night_(nights.size()) {
        layout_.starts.resize(runs.size());
        for (const NightRun& run : runs) turns_.push_back({run, run.cycles.count});
        gather_groups(nights);
        for (std::size_t z = 0; z < turns_.size(); ++z) {
            cycles_left_ += turns_[z].left;
            if (turns_[z].left > 0) group(z).ready.insert(place_in_order(z));
        }
    }

    [[nodiscard]] NightLayout laid_out() {
        while (cycles_left_ > 0) {
            const std::optional<std::size_t> next = next_to_open();
            if (next) {
                open(*next);
            } else {
                wait_for_event();
            }
        }
        return std::move(layout_);
    }

  private:
    using Place = Group::Place;
    /// The time, and the zone that it happens to; the earliest first.
    using Event = std::pair<double, std::size_t>;
    using Events = std::priority_queue<Event, std::vector<Event>, std::greater<>>;

    void gather_groups(const std::vector<Night>& nights) {
        std::vector<std::vector<std::size_t>> nights_of(turns_.size());
        for (std::size_t night = 0; night < nights.size(); ++night)
            for (const std::size_t z : nights[night]) nights_of[z].push_back(night);
        std::map<std::vector<std::size_t>, std::size_t> known;
        for (std::vector<std::size_t>& of_zone : nights_of) {
            const auto [entry, is_new] = known.try_emplace(of_zone, groups_.size());
            group_of_.push_back(entry->second);
            if (!is_new) continue;
            for (const std::size_t night : of_zone)
                groups_of_night_[night].push_back(groups_.size());
            groups_.push_back({std::move(of_zone), {}, 0});
        }
    }

    [[nodiscard]] Group& group(std::size_t z) { return groups_[group_of_[z]]; }

    [[nodiscard]] bool is_full(std::size_t night) const {
        return static_cast<int>(open_in_[night].size()) >= std::max(1, limits_.valves_at_once);
    }

    /// Whether the flow suffices for the zone and the valves that are open in that night.
    [[nodiscard]] bool has_flow_for(std::size_t z, std::size_t night) const {
        const std::vector<std::size_t>& open = open_in_[night];
        if (open.empty() || !limits_.flow_l_per_min) return true;
        double flow = turns_[z].run.flow_l_per_min;
        for (const std::size_t other : open) flow += turns_[other].run.flow_l_per_min;
        return flow <= *limits_.flow_l_per_min * (1.0 + kFlowTolerance);
    }

    /// Minutes from the start of the next cycle to the end of the last one.
    [[nodiscard]] double minutes_to_end(std::size_t z) const {
        const Turn& turn = turns_[z];
        const Cycles& cycles = turn.run.cycles;
        return turn.left * (cycles.minutes_each + cycles.soak_minutes) - cycles.soak_minutes;
    }

    [[nodiscard]] Place place_in_order(std::size_t z) const {
        return {order_ == Order::round ? 0.0 : -minutes_to_end(z), z};
    }

    /// The first of the group that may open now, from the zone whose turn it is.
    [[nodiscard]] std::set<Place>::const_iterator first_to_open(const Group& group) const {
        const auto may_open = [&](const Place& place) {
            return std::all_of(group.nights.begin(), group.nights.end(), [&](std::size_t night) {
                return has_flow_for(place.second, night);
            });
        };
        const auto from =
            order_ == Order::round ? group.ready.lower_bound({0.0, from_}) : group.ready.begin();
        const auto found = std::find_if(from, group.ready.end(), may_open);
        if (found != group.ready.end()) return found;
        const auto wrapped = std::find_if(group.ready.begin(), from, may_open);
        return wrapped == from ? group.ready.end() : wrapped;
    }

    /// Zones before the one whose turn it is come last.
    [[nodiscard]] std::tuple<bool, Place> turn_of(const Place& place) const {
        return {place.second < from_, place};
    }

    [[nodiscard]] std::optional<std::size_t> next_to_open() const {
        std::optional<Place> next;
        for (const Group& group : groups_) {
            if (group.full_nights > 0 || group.ready.empty()) continue;
            const auto first = first_to_open(group);
            if (first == group.ready.end()) continue;
            if (!next || turn_of(*first) < turn_of(*next)) next = *first;
        }
        if (!next) return std::nullopt;
        return next->second;
    }

    void open(std::size_t z) {
        Turn& turn = turns_[z];
        group(z).ready.erase(place_in_order(z));
        layout_.starts[z].push_back(now_);
        const double closes_at = now_ + turn.run.cycles.minutes_each;
        --turn.left;
        --cycles_left_;
        layout_.minutes = std::max(layout_.minutes, closes_at);
        for (const std::size_t night : group(z).nights) {
            open_in_[night].push_back(z);
            if (is_full(night)) count_full_nights(night, 1);
        }
        closings_.emplace(closes_at, z);
        if (turn.left > 0) soaked_.emplace(closes_at + turn.run.cycles.soak_minutes, z);
        if (order_ == Order::round) from_ = (z + 1) % turns_.size();
    }

    void close(std::size_t z) {
        for (const std::size_t night : group(z).nights) {
            if (is_full(night)) count_full_nights(night, -1);
            std::erase(open_in_[night], z);
        }
    }

    void count_full_nights(std::size_t night, int change) {
        for (const std::size_t g : groups_of_night_[night]) groups_[g].full_nights += change;
    }

    /// Goes on to the next time at which a valve closes or a zone has soaked.
    void wait_for_event() {
        now_ = kNever;
        if (!closings_.empty()) now_ = std::min(now_, closings_.top().first);
        if (!soaked_.empty()) now_ = std::min(now_, soaked_.top().first);
        for (; !closings_.empty() && closings_.top().first <= now_; closings_.pop())
            close(closings_.top().second);
        for (; !soaked_.empty() && soaked_.top().first <= now_; soaked_.pop()) {
            const std::size_t z = soaked_.top().second;
            group(z).ready.insert(place_in_order(z));
        }
    }

    const ValveLimits& limits_;
    Order order_;
    std::vector<std::vector<std::size_t>> open_in_;          // night: zones in order of opening
    std::vector<std::vector<std::size_t>> groups_of_night_;  // night: groups that run in it
    std::vector<Group> groups_;
    std::vector<std::size_t> group_of_;  // zone
    std::vector<Turn> turns_;
    Events closings_;
    Events soaked_;
    int cycles_left_ = 0;
    NightLayout layout_;
    double now_ = 0.0;
    std::size_t from_ = 0;  // the zone whose turn it is, if they run in turn
};

double longest_open_minutes(const std::vector<NightRun>& runs, const std::vector<Night>& nights) {
    double longest = 0.0;
    for (const Night& night : nights) {
        double minutes = 0.0;
        for (const std::size_t z : night)
            minutes += runs[z].cycles.count * runs[z].cycles.minutes_each;
        longest = std::max(longest, minutes);
    }
    return longest;
}

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
    // No order is shorter than the open valves of a night, one after another.
    if (limits.valves_at_once <= 1 && round.minutes <= longest_open_minutes(runs, nights))
        return round;
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
