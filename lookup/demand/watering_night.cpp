#include "lookup/demand/watering_night.hpp"

#include <cstddef>

namespace thirstline {
namespace {

struct Turn {
    Cycles cycles;
    int left = 0;
    double ready_at = 0.0;
};

/// The next zone that is ready at `now`, going round from `from`; else the first to be ready.
/// There must be one with cycles left.
std::size_t next_turn(const std::vector<Turn>& turns, std::size_t from, double now) {
    std::size_t soonest = turns.size();
    for (std::size_t step = 0; step < turns.size(); ++step) {
        const std::size_t i = (from + step) % turns.size();
        if (turns[i].left == 0) continue;
        if (turns[i].ready_at <= now) return i;
        if (soonest == turns.size() || turns[i].ready_at < turns[soonest].ready_at) soonest = i;
    }
    return soonest;
}

}  // namespace

double night_minutes(const std::vector<Cycles>& zones) {
    std::vector<Turn> turns;
    int left = 0;
    for (const Cycles& cycles : zones) {
        turns.push_back({cycles, cycles.count, 0.0});
        left += cycles.count;
    }
    double now = 0.0;
    std::size_t from = 0;
    for (; left > 0; --left) {
        const std::size_t i = next_turn(turns, from, now);
        Turn& turn = turns[i];
        if (turn.ready_at > now) now = turn.ready_at;
        now += turn.cycles.minutes_each;
        turn.ready_at = now + turn.cycles.soak_minutes;
        --turn.left;
        from = i + 1;
    }
    return now;
}

}  // namespace thirstline
