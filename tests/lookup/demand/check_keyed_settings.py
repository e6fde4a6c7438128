#!/usr/bin/env python3
"""Recomputes from the settings that `thirstline-lookup demand` prints what they bring, for random
sites, zones and rules, and checks the JSON against it: an independent calculation, written from the
README and the JSON schema alone.

  check_keyed_settings.py --lookup PROGRAM --db FILE --postal CODE... [--cases 500] [--seed 1]
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
import subprocess
import sys
import tempfile

DAYS = [31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
WEEK = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
SOILS = [
    "clay", "silty clay", "sandy clay", "silty clay loam", "clay loam", "sandy clay loam", "silt",
    "silt loam", "loam", "sandy loam", "loamy sand", "sand",
]  # fmt: skip
LEAST_SHARE = 0.95


def zone_text(rng, number):
    lines = ["[[zone]]", f'name = "zone {number}"']
    kind = rng.choice(["cool turf", "warm turf", "factor", "species"])
    if kind.endswith("turf"):
        lines.append(f'planting = "{kind}"')
    elif kind == "factor":
        lines.append(f"plant_factor = {rng.choice([0.3, 0.5, 0.6, 0.8])}")
    else:
        lines.append(f"species = {rng.choice([0.3, 0.5, 0.7])}")
    if kind != "factor" and rng.random() < 0.3:
        lines.append(f'exposure = "{rng.choice(["shaded", "hot", "average"])}"')
    area = rng.randint(200, 4000)
    lines.append(f"area_ft2 = {area}")
    if rng.random() < 0.25:
        lines += [f"emitters = {max(4, area // rng.randint(6, 12))}", "gph_each = 0.9"]
        lines.append(f"wetted_ft2 = {int(area * rng.uniform(0.3, 1.0))}")
    else:
        lines.append(f"rate_in_per_h = {round(rng.uniform(0.35, 2.0), 2)}")
    lines.append(f'soil = "{rng.choice(SOILS)}"')
    lines.append(f"slope_percent = {rng.choice([0, 2, 5, 10])}")
    return lines


def random_case(rng, with_rules):
    """Zone file, and the rules and controller that it states."""
    site, controller = {}, {"minute_step": 1, "percent_step": 5}
    lines = ["[site]"]
    if with_rules:
        days = rng.choice(["any", "odd", "even", "list"])
        if days == "list":
            site["days"] = sorted(rng.sample(WEEK, rng.randint(1, 5)), key=WEEK.index)
            lines.append(f"allowed_days = {json.dumps(site['days'])}")
        else:
            site["days"] = days
            lines.append(f'allowed_days = "{days}"')
        for name, low, high in [
            ("window_hours", 1, 10),
            ("weekly_depth_cap_in", 0.4, 2.0),
            ("monthly_allowance_gal", 500, 30000),
            ("yearly_allowance_gal", 3000, 200000),
        ]:
            if rng.random() < (0.6 if name == "window_hours" else 0.2):
                site[name] = round(rng.uniform(low, high), 1)
                lines.append(f"{name} = {site[name]}")
        for name, low, high in [("days_per_week_cap", 1, 5), ("runs_per_week_cap", 2, 12)]:
            if rng.random() < 0.2:
                site[name] = rng.randint(low, high)
                lines.append(f"{name} = {site[name]}")
        if rng.random() < 0.3:
            controller = {
                "minute_step": rng.choice([1, 2, 5]),
                "percent_step": rng.choice([1, 5, 10]),
            }
            lines += ["[controller]"] + [f"{key} = {value}" for key, value in controller.items()]
    for number in range(1, rng.randint(1, 4) + 1):
        lines += zone_text(rng, number)
    return "\n".join(lines) + "\n", site, controller


class Checker:
    def __init__(self, plan, site, controller):
        self.plan, self.site, self.controller = plan, site, controller
        self.faults = []

    def fault(self, text):
        self.faults.append(text)

    def near(self, what, told, expected, tolerance):
        if abs(told - expected) > tolerance + 1e-9:
            self.fault(f"{what}: told {told}, by the settings {expected:.3f}")

    def is_step(self, what, value, step):
        if abs(value / step - round(value / step)) > 1e-6:
            self.fault(f"{what} {value} is not a multiple of {step}")

    def check_days(self, what, names):
        allowed = self.site.get("days", "any")
        if allowed == "any" or not names:
            return
        for part in names.split(", "):
            if allowed in ("odd", "even"):
                is_every = part.startswith("every")
                odd = part == "every odd date" if is_every else int(part) % 2 == 1
                if odd != (allowed == "odd"):
                    self.fault(f"{what}: {part} is not an {allowed} date")
                continue
            word = part.split()[-1]
            day = WEEK[WEEKDAYS.index(word)] if word in WEEKDAYS else word
            if part == "every day":
                if len(allowed) < 7:
                    self.fault(f"{what}: every day")
            elif day not in allowed:
                self.fault(f"{what}: {part} is not allowed")

    def check_month(self, zone, month):
        name = f"{zone['name']}, month {month['month']}"
        days = DAYS[month["month"] - 1]
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
        self.check_days(name, month["day_names"])
        weeks = days / 7
        site = self.site
        if "weekly_depth_cap_in" in site:
            for depth in (month["applied_mm"], by["applied_mm"]):
                if depth / weeks > site["weekly_depth_cap_in"] * 25.4 + 0.01:
                    self.fault(f"{name}: {depth / weeks:.2f} mm a week beyond the cap")
        if month["days_per_week"] > site.get("days_per_week_cap", 7) + 1e-3:
            self.fault(name + ": days a week beyond the cap")
        for run in (month, base):
            runs = run["days_per_week"] * run["cycles_per_day"]
            if runs > site.get("runs_per_week_cap", 1000) + 1e-2:
                self.fault(name + ": runs a week beyond the cap")
        if "window_hours" in site:
            for run in (month, base):
                soaks = max(0, run["cycles_per_day"] - 1) * run["soak_minutes"]
                alone = run["cycles_per_day"] * run["minutes_per_cycle"] + soaks
                if alone > site["window_hours"] * 60 + 0.01:
                    self.fault(f"{name}: {alone} min beyond the window")

    def check(self):
        plan = self.plan
        need = sum(m["gross_mm"] * z["area_m2"] for z in plan["zones"] for m in z["months"])
        totals = {"by month": [0.0] * 12, "by percentage": [0.0] * 12}
        for zone in plan["zones"]:
            for month in zone["months"]:
                self.check_month(zone, month)
                totals["by month"][month["month"] - 1] += month["volume_l"]
                totals["by percentage"][month["month"] - 1] += month["by_percentage"]["volume_l"]
        self.near("year, by month", plan["site"]["volume_l"], sum(totals["by month"]), 5)
        told = plan["site"]["by_percentage"]["volume_l"]
        self.near("year, by percentage", told, sum(totals["by percentage"]), 5)
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
    postal = rng.choice(arguments.postal)
    with tempfile.NamedTemporaryFile("w", suffix=".toml", delete=False) as file:
        file.write(text)
    command = [arguments.lookup, "demand", file.name, "--db", arguments.db]
    command += ["--postal", postal, "--format", "json"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    os.unlink(file.name)
    if done.returncode != 0:
        return number, [f"{postal}: {done.stderr.strip()}"], [], text
    checker = Checker(json.loads(done.stdout), site, controller)
    checker.check()
    excesses = [] if with_rules else checker.program_excesses()
    return number, [f"{postal}: {fault}" for fault in checker.faults], excesses, text


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
    parser.add_argument("--postal", nargs="+", required=True)
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
