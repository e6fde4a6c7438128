#include "lookup/demand/watering_night.hpp"

#include <algorithm>
#include <cstddef>

namespace thirstline {
namespace {

struct Turn {
    Cycles cycles;
    int left = 0;
    double ready_at = 0.0;
};

/// Minutes from the start of the next cycle to the end of the last one.
double minutes_to_end(const Turn& turn) {
    return turn.left * (turn.cycles.minutes_each + turn.cycles.soak_minutes) -
           turn.cycles.soak_minutes;
}

/// Going round from `from`: the next zone that is ready at `now`, else the first to be ready. There
/// must be one with cycles left.
std::size_t next_in_round(const std::vector<Turn>& turns, std::size_t from, double now) {
    std::size_t soonest = turns.size();
    for (std::size_t step = 0; step < turns.size(); ++step) {
        const std::size_t i = (from + step) % turns.size();
        if (turns[i].left == 0) continue;
        if (turns[i].ready_at <= now) return i;
        if (soonest == turns.size() || turns[i].ready_at < turns[soonest].ready_at) soonest = i;
    }
    return soonest;
}

/// Of the zones that are ready the one that takes longest to its end, soaking included: the others
/// fit into its soaking.
std::size_t next_by_longest_rest(const std::vector<Turn>& turns, double now) {
    std::size_t next = turns.size();
    for (std::size_t i = 0; i < turns.size(); ++i) {
        if (turns[i].left == 0) continue;
        if (next == turns.size()) {
            next = i;
            continue;
        }
        const double ready = std::max(turns[i].ready_at, now);
        const double best_ready = std::max(turns[next].ready_at, now);
        if (ready < best_ready ||
            (ready == best_ready && minutes_to_end(turns[i]) > minutes_to_end(turns[next]))) {
            next = i;
        }
    }
    return next;
}

enum class Order { round, longest_rest };

double minutes_in_order(const std::vector<Cycles>& zones, Order order) {
    std::vector<Turn> turns;
    int left = 0;
    for (const Cycles& cycles : zones) {
        turns.push_back({cycles, cycles.count, 0.0});
        left += cycles.count;
    }
    double now = 0.0;
    std::size_t from = 0;
    for (; left > 0; --left) {
        const std::size_t i = order == Order::round ? next_in_round(turns, from, now)
                                                    : next_by_longest_rest(turns, now);
        Turn& turn = turns[i];
        if (turn.ready_at > now) now = turn.ready_at;
        now += turn.cycles.minutes_each;
        turn.ready_at = now + turn.cycles.soak_minutes;
        --turn.left;
        from = i + 1;
    }
    return now;
}

}  // namespace

double night_minutes(const std::vector<Cycles>& zones) {
    return std::min(minutes_in_order(zones, Order::round),
                    minutes_in_order(zones, Order::longest_rest));
}

}  // namespace thirstline
