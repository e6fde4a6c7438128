#!/usr/bin/env python3
"""Recomputes from the settings that `thirstline-lookup demand` prints what they bring, for random
sites, zones and rules, and checks the JSON against it: an independent calculation, written from the
README and the JSON schema alone.

  check_keyed_settings.py --lookup PROGRAM --db FILE --at LAT,LON... [--cases 500] [--seed 1]
  check_keyed_settings.py --lookup PROGRAM --builder PROGRAM --recipe FILE --postal CODE...

Fails if a setting multiplied out is not what JSON says is applied, if a month is below 95 % of its
need without a conflict or a reason for being off, if run times or percentages are not multiples of
the controller's steps, or if a rule is not kept. Prints the year's excess over the need.
"""

import argparse
import concurrent.futures
import json
import os
import random
import re
import subprocess
import sys
import tempfile

from random_zone_files import DAYS, WEEK, random_case

WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
LEAST_SHARE = 0.95


def is_within(day, first, last):
    return first <= day <= last if first <= last else day >= first or day <= last


def rules_of_month(site, month):
    """Every set of rules that is in force on some day of the month."""
    sets = []
    for day in range(1, int(DAYS[month - 1]) + 1):
        rules = dict(site)
        for restriction in site["restrictions"]:
            if is_within((month, day), restriction["from"], restriction["to"]):
                rules.update(restriction)
        if rules not in sets:
            sets.append(rules)
    return sets


def slots_of(names):
    """The days that the names mean: ("weekday", slots of four weeks) or ("date", dates)."""
    if names == "every day":
        return "weekday", set(range(28))
    if names in ("every odd date", "every even date"):
        first = 1 if names == "every odd date" else 2
        return "date", set(range(first, 32, 2))
    if names.startswith("on the "):
        return "date", {int(date) for date in re.findall(r"\d+", names)}
    words = names.split()
    if words[0] == "every" and words[2] == "days":
        # The interval starts again in each month.
        return "date", set(range(int(words[5][:-2]), 32, int(words[1])))
    if words[0] == "every":
        week = int(words[-1]) - 1 if "from" in words else 0
        stride = 2 if words[1] == "other" else 4
        day = WEEKDAYS.index(words[2])
        return "weekday", {day + 7 * w for w in range(week, 4, stride)}
    days = [WEEK.index(day) for day in names.split(", ")]
    return "weekday", {day + 7 * week for week in range(4) for day in days}


def may_meet(a, b, days_of_month):
    """Dates begin again with each month."""
    both = a[1] & b[1]
    if a[0] == b[0] == "date":
        both = {date for date in both if date <= days_of_month + 0.75}
    return a[0] != b[0] or bool(both)


def span_on_the_clock(runs):
    """From the first start to the last end on a clock of 24 hours: all of it but the longest pause. A start
    after midnight is in the early hours of its date."""
    around = sorted((start % 1440, start % 1440 + end - start) for start, end in runs)
    pause, latest = around[0][0] + 1440 - max(end for _, end in around), 0
    for start, end in around:
        if latest:
            pause = max(pause, start - latest)
        latest = max(latest, end)
    return 1440 - pause


def on_clock(texts):
    """Minutes after midnight of the watering day: a time earlier than the last is the next day."""
    out = []
    for text in texts:
        minutes = int(text[:2]) * 60 + int(text[3:])
        while out and minutes < out[-1]:
            minutes += 1440
        out.append(minutes)
    return out


class Checker:
    def __init__(self, plan, site, controller, text):
        self.plan, self.site, self.controller = plan, site, controller
        tables = [table.splitlines() for table in text.split("[[zone]]\n")[1:]]
        self.zone_texts = {lines[0].split('"')[1]: lines for lines in tables}
        self.faults = []

    def fault(self, text):
        self.faults.append(text)

    def near(self, what, shown, expected, tolerance):
        if abs(shown - expected) > tolerance + 1e-9:
            self.fault(f"{what}: shown {shown}, by the settings {expected:.3f}")

    def is_step(self, what, value, step):
        if abs(value / step - round(value / step)) > 1e-6:
            self.fault(f"{what} {value} is not a multiple of {step}")

    def is_exempt(self, zone):
        text = self.zone_texts[zone["name"]]
        return "exempt_zone = true" in text or (
            "drip" in self.site["exempt"] and any(line.startswith("emitters") for line in text)
        )

    def check_days(self, what, names, rules):
        allowed = rules.get("days", "any")
        if not names:
            return
        kind, slots = slots_of(names)
        if allowed in ("odd", "even"):
            if kind != "date" or any(date % 2 != (allowed == "odd") for date in slots):
                self.fault(f"{what}: {names} under {allowed} dates")
        elif allowed != "any":
            if kind != "weekday" or any(WEEK[slot % 7] not in allowed for slot in slots):
                self.fault(f"{what}: {names} under {allowed}")

    def check_caps(self, name, zone, month, rules):
        """Both ways to key the month against the rules on days, depth, minutes and cycles."""
        by, base = month["by_percentage"], zone["base_run"]
        weeks = DAYS[month["month"] - 1] / 7
        ways = [
            (month, month["applied_mm"], month["cycles_per_day"] * month["minutes_per_cycle"],
             month["cycles_per_day"]),
        ]
        if by["percent"] > 0:
            ways.append((by, by["applied_mm"], base["minutes_per_day"] * by["percent"] / 100,
                         base["cycles_per_day"]))
        for way, depth, minutes, cycles in ways:
            self.check_days(name, way["day_names"], rules)
            a_week = way["watering_days"] / weeks
            share = self.plan["site"]["season_share"][month["month"] - 1]
            a_week = a_week / share if share else 0
            if depth / weeks > rules.get("weekly_depth_cap_in", 1e9) * 25.4 + 0.01:
                self.fault(f"{name}: {depth / weeks:.2f} mm a week beyond the cap")
            if a_week > rules.get("days_per_week_cap", 7) + 1e-3:
                self.fault(f"{name}: {a_week:.2f} days a week beyond the cap")
            if a_week * cycles > rules.get("runs_per_week_cap", 1000) + 1e-2:
                self.fault(f"{name}: {a_week * cycles:.2f} runs a week beyond the cap")
            if minutes > rules.get("minutes_per_day_cap", 1440) + 1e-6:
                self.fault(f"{name}: {minutes} min a day beyond the cap")
            if a_week and cycles > rules.get("cycles_per_day_cap", 99):
                self.fault(f"{name}: {cycles} cycles a day beyond the cap")

    def ways_of(self, month):
        """Of each way to key the month: zone, days, cycles as (start, end), and tolerance."""
        for what in ("by month", "by percentage"):
            zones = []
            for zone in self.plan["zones"]:
                keyed, base = zone["months"][month - 1], zone["base_run"]
                by = keyed["by_percentage"]
                if what == "by month":
                    way, minutes = keyed, keyed["minutes_per_cycle"]
                    cycles = keyed["cycles_per_day"]
                else:
                    way, minutes = by, base["minutes_per_cycle"] * by["percent"] / 100
                    cycles = base["cycles_per_day"] if by["percent"] else 0
                starts = on_clock(way["start_times"])
                if len(starts) != cycles:
                    self.fault(f"{zone['name']}, {month}, {what}: {len(starts)} of {cycles} starts")
                if cycles:
                    runs = [(start, start + minutes) for start in starts]
                    zones.append((zone, slots_of(way["day_names"]), runs))
                soak = keyed["soak_minutes"] if what == "by month" else base["soak_minutes"]
                for first, second in zip(starts, starts[1:]):
                    if second - first < minutes + soak - 1:
                        self.fault(f"{zone['name']}, {month}, {what}: soak is cut")
            yield what, zones

    def check_hours(self, name, days, runs, rules, limited):
        kind, slots = days
        weekdays = {slot % 7 for slot in slots} if kind == "weekday" else set(range(7))
        allowed = rules.get("days", "any")
        if isinstance(allowed, list):
            weekdays = {day for day in weekdays if WEEK[day] in allowed}
        for start, end in runs:
            if limited and end > 1441:
                self.fault(f"{name}: {start} to {end} passes midnight")
            for barred_days, barred_from, barred_to in rules.get("barred", []):
                for day in weekdays:
                    for offset in (0, 1440):
                        if WEEK[(day + offset // 1440) % 7] not in barred_days:
                            continue
                        late = max(start, barred_from + offset)
                        if late < min(end, barred_to + offset) - 1:
                            self.fault(f"{name}: {start} to {end} is within barred hours")
            if "window_start" in rules:
                opens, length = rules["window_start"], rules["window_hours"] * 60
                if not any(
                    opens + shift - 1 <= start and end <= opens + shift + length + 1
                    for shift in (-1440, 0, 1440)
                ):
                    self.fault(f"{name}: {start} to {end} is outside the window from {opens}")

    def check_nights(self, month):
        valves = self.controller.get("valves_at_once", 1)
        flow = self.site.get("flow_gpm", 1e9) * 3.785411784
        for what, zones in self.ways_of(month):
            name = f"month {month}, {what}"
            for rules in rules_of_month(self.site, month):
                limited = rules.get("days", "any") != "any" or "days_per_week_cap" in rules
                for zone, days, runs in zones:
                    where = f"{zone['name']}, {name}"
                    self.check_hours(where, days, runs, rules, limited)
            if zones and "window_hours" in self.site:
                span = span_on_the_clock([run for _, _, runs in zones for run in runs])
                if span > self.site["window_hours"] * 60 + 1.5:
                    self.fault(f"{name}: {span} min from the first start to the last end")
            for zone, days, runs in zones:
                for start, _ in runs:
                    # Valves that are open with this one as it opens, but for a minute of rounding.
                    open_with = [
                        other
                        for other, other_days, other_runs in zones
                        if other is not zone
                        and may_meet(days, other_days, DAYS[month - 1])
                        and any(
                            a <= start + day and start + day + 1 < b
                            for a, b in other_runs
                            for day in (-1440, 0, 1440)
                        )
                    ]
                    # Those that meet this zone need not meet each other: pairs are certain.
                    if open_with and valves == 1:
                        self.fault(f"{name}: {zone['name']} opens beside {open_with[0]['name']}")
                    for other in open_with:
                        both = zone["flow_l_per_min"] + other["flow_l_per_min"]
                        if valves > 1 and both > flow * 1.0001 + 0.02:
                            self.fault(f"{name}: {both:.1f} l/min of {flow:.1f}")

    def check_month(self, zone, month):
        name = f"{zone['name']}, month {month['month']}"
        minutes = month["cycles_per_day"] * month["minutes_per_cycle"]
        step = self.controller["minute_step"]
        self.is_step(name + ": minutes", month["minutes_per_cycle"], step)
        a_week = minutes * month["days_per_week"]
        self.near(name + ": a week", month["minutes_per_week"], a_week, 0.05 + minutes * 1e-4)
        # Two decimals of depth, four of days and rate.
        applied = minutes * month["watering_days"] * zone["rate_mm_per_h"] / 60
        self.near(name + ": applied", month["applied_mm"], applied, 0.006 + applied * 1e-4)
        litres = applied * zone["area_m2"]
        self.near(name + ": volume", month["volume_l"], litres, 0.06 + litres * 1e-4)
        balance = month["excess_mm"] - month["short_mm"]
        self.near(name + ": balance", month["applied_mm"] - month["gross_mm"], balance, 0.021)
        by = month["by_percentage"]
        base = zone["base_run"]
        self.is_step(name + ": percent", by["percent"], self.controller["percent_step"])
        scaled = base["minutes_per_day"] * by["percent"] / 100
        applied_by = scaled * by["watering_days"] * zone["rate_mm_per_h"] / 60
        tolerance = 0.006 + applied_by * 1e-4
        self.near(name + ": applied by percentage", by["applied_mm"], applied_by, tolerance)
        if base["program"]:
            program = self.plan["site"]["programs"][base["program"] - 1]
            if month["off"] == "no" and program["percent"][month["month"] - 1] != by["percent"]:
                self.fault(name + ": another percentage than its program's")
        named = month["off"] not in ("no", "rules") or any(
            c["month"] == month["month"] and c["short_mm"] > 0 for c in zone["conflicts"]
        )
        for what, depth in (("by month", month["applied_mm"]), ("by percentage", by["applied_mm"])):
            if depth < LEAST_SHARE * month["gross_mm"] - 0.02 and not named:
                self.fault(f"{name}: {what} {depth} of {month['gross_mm']} without a conflict")
        limit = zone["longest_cycle_minutes"]
        for what, run in (("cycle", month), ("base cycle", base)):
            each = run["minutes_per_cycle"]
            if limit is not None and each > max(limit, step) + 0.006:
                self.fault(f"{name}: {what} of {each} beyond the run-off limit {limit}")
        if not self.is_exempt(zone):
            for rules in rules_of_month(self.site, month["month"]):
                self.check_caps(name, zone, month, rules)

    def check(self):
        plan = self.plan
        for month in range(1, 13):
            self.check_nights(month)
        need = sum(m["gross_mm"] * z["area_m2"] for z in plan["zones"] for m in z["months"])
        totals = {"by month": [0.0] * 12, "by percentage": [0.0] * 12}
        for zone in plan["zones"]:
            for month in zone["months"]:
                self.check_month(zone, month)
                totals["by month"][month["month"] - 1] += month["volume_l"]
                totals["by percentage"][month["month"] - 1] += month["by_percentage"]["volume_l"]
        self.near("year, by month", plan["site"]["volume_l"], sum(totals["by month"]), 5)
        shown = plan["site"]["by_percentage"]["volume_l"]
        self.near("year, by percentage", shown, sum(totals["by percentage"]), 5)
        for what, months in totals.items():
            allowed = self.site.get("monthly_allowance_gal")
            if allowed is not None and max(months) > allowed * 3.785411784 + 1:
                self.fault(f"{what}: {max(months):.0f} l in a month beyond the allowance")
            allowed = self.site.get("yearly_allowance_gal")
            if allowed is not None and sum(months) > allowed * 3.785411784 + 5:
                self.fault(f"{what}: {sum(months):.0f} l beyond the year's allowance")
        return need, sum(totals["by month"]), sum(totals["by percentage"])

    def program_excesses(self):
        """Of each program with water, the year's share beyond the need of its zones."""
        out = []
        for program in self.plan["site"]["programs"]:
            number = program["program"]
            zones = [z for z in self.plan["zones"] if z["base_run"]["program"] == number]
            on = [(z, m) for z in zones for m in z["months"] if m["off"] == "no"]
            need = sum(m["gross_mm"] * z["area_m2"] for z, m in on)
            by = sum(m["by_percentage"]["applied_mm"] * z["area_m2"] for z, m in on)
            by_month = sum(m["applied_mm"] * z["area_m2"] for z, m in on)
            over = sum(m["by_percentage"]["excess_mm"] * z["area_m2"] for z, m in on)
            if need > 0:
                out.append((by / need - 1, by_month / need - 1, over / need))
        return out


def run_case(arguments, number):
    rng = random.Random(f"{arguments.seed} {number}")
    with_rules = number % 2 == 1
    text, site, controller = random_case(rng, with_rules)
    place = rng.choice([("--postal", code) for code in arguments.postal or []]
                       + [("--at", at) for at in arguments.at or []])
    with tempfile.NamedTemporaryFile("w", suffix=".toml", delete=False) as file:
        file.write(text)
    command = [arguments.lookup, "demand", file.name, "--db", arguments.db]
    command += [f"{place[0]}={place[1]}", "--format", "json"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    os.unlink(file.name)
    # Hours that leave nothing of a day are refused.
    if done.returncode == 3 and "no hour of a watering day is left" in done.stderr:
        return number, [], [], text
    if done.returncode != 0:
        return number, [f"{place[1]}: {done.stderr.strip()}"], [], text
    checker = Checker(json.loads(done.stdout), site, controller, text)
    try:
        checker.check()
    except (LookupError, ValueError) as error:
        checker.fault(f"unreadable: {error!r}")
    excesses = [] if with_rules else checker.program_excesses()
    return number, [f"{place[1]}: {fault}" for fault in checker.faults], excesses, text


def quantile(values, share):
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--lookup", required=True)
    source = parser.add_mutually_exclusive_group(required=True)
    source.add_argument("--db")
    source.add_argument("--builder", help="makes the database from --recipe")
    parser.add_argument("--recipe")
    parser.add_argument("--postal", nargs="+", help="postal codes of sites")
    parser.add_argument("--at", nargs="+", help="LAT,LON of sites")
    parser.add_argument("--cases", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    if arguments.db is not None:
        return check_cases(arguments)
    with tempfile.TemporaryDirectory() as folder:
        arguments.db = os.path.join(folder, "sites.sqlite")
        build = [arguments.builder, "build", arguments.recipe, "-o", arguments.db]
        subprocess.run(build, check=True)
        return check_cases(arguments)


def check_cases(arguments):
    faulty, shown = 0, 0
    excesses = []
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        results = pool.map(lambda n: run_case(arguments, n), range(arguments.cases))
        for number, faults, of_case, text in results:
            excesses += of_case
            faulty += bool(faults)
            if faults and shown < 5:
                shown += 1
                print(f"case {number}:\n{text}" + "\n".join(faults[:6]), file=sys.stderr)
    print(f"{arguments.cases} cases, {faulty} with faults")
    names = ("by percentage", "by month", "by percentage, months above need only")
    for at, name in enumerate(names):
        values = [one[at] for one in excesses]
        if values:
            print(
                f"year's excess {name}, {len(values)} programs: "
                f"median {quantile(values, 0.5):+.2%}, "
                f"95th percentile {quantile(values, 0.95):+.2%}, "
                f"least {min(values):+.2%}, most {max(values):+.2%}"
            )
    median, high = (quantile([one[0] for one in excesses], q) for q in (0.5, 0.95))
    return 1 if faulty or median > 0.03 or high > 0.08 else 0


if __name__ == "__main__":
    sys.exit(main())
