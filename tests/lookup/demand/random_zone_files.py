"""Random zone files, with the rules and the controller that each states."""

import json

DAYS = [31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
WEEK = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
SOILS = [
    "clay", "silty clay", "sandy clay", "silty clay loam", "clay loam", "sandy clay loam", "silt",
    "silt loam", "loam", "sandy loam", "loamy sand", "sand",
]  # fmt: skip


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


CAPS = [
    ("weekly_depth_cap_in", 0.4, 2.0, False),
    ("minutes_per_day_cap", 10, 90, False),
    ("cycles_per_day_cap", 1, 3, True),
    ("days_per_week_cap", 1, 5, True),
    ("runs_per_week_cap", 2, 12, True),
]


def random_days(rng, rules, lines, number):
    """Days as a list of weekdays, "odd", "even" or "any", and how they are written."""
    kind = rng.choice(["any", "odd", "even", "list", "list", "by address", "address_days"])
    if kind == "list":
        rules["days"] = sorted(rng.sample(WEEK, rng.randint(1, 5)), key=WEEK.index)
        lines.append(f"allowed_days = {json.dumps(rules['days'])}")
    elif kind == "by address":
        rules["days"] = "odd" if number % 2 else "even"
        lines.append('allowed_days = "by address"')
    elif kind == "address_days":
        digits = {d: sorted(rng.sample(WEEK, 2), key=WEEK.index) for d in ("odd", "even")}
        rules["days"] = digits["odd" if number % 2 else "even"]
        text = "; ".join(f"{digit}: {', '.join(days)}" for digit, days in digits.items())
        lines.append(f'address_days = "{text}"')
    else:
        rules["days"] = kind
        lines.append(f'allowed_days = "{kind}"')


def random_hours(rng, rules, lines):
    start, length = rng.randint(6, 12), rng.randint(4, 10)
    rules["barred"] = [(WEEK, start * 60, (start + length) * 60)]
    text = f"{start:02}:00-{start + length:02}:00"
    if rng.random() < 0.5:
        days = sorted(rng.sample(WEEK, 2), key=WEEK.index)
        rules["barred"].append((days, 0, 300))
        text += f"; {', '.join(days)} 00:00-05:00"
    lines.append(f'barred_hours = "{text}"')


def random_caps(rng, rules, lines, share):
    for name, low, high, is_whole in CAPS:
        if rng.random() < share:
            rules[name] = rng.randint(low, high) if is_whole else round(rng.uniform(low, high), 1)
            lines.append(f"{name} = {rules[name]}")


def random_restriction(rng, number):
    """Of whole months, or with days that any other rule leaves, so that one schedule can keep it."""
    first = rng.randint(1, 12)
    last = (first + rng.randint(0, 6) - 1) % 12 + 1
    rules = {"from": (first, 1), "to": (last, int(DAYS[last - 1]))}
    lines = ["[[restriction]]"]
    if rng.random() < 0.3:
        rules["from"] = (first, 10) if first != last else rules["from"]
    else:
        random_days(rng, rules, lines, number)
    for key in ("from", "to"):
        lines.append(f'{key} = "{rules[key][0]:02}-{rules[key][1]:02}"')
    without_rule = len(lines)
    random_caps(rng, rules, lines, 0.2)
    if rng.random() < 0.3:
        random_hours(rng, rules, lines)
    if len(lines) == without_rule and len(rules) == 2:
        # A restriction that names no rule is rejected.
        random_caps(rng, rules, lines, 1.0)
    return rules, lines


def random_case(rng, with_rules):
    """Zone file, and the rules and controller that it states."""
    site, controller = {"exempt": [], "restrictions": []}, {"minute_step": 1, "percent_step": 5}
    lines = ["[site]"]
    tables = []
    if with_rules:
        number = rng.randint(1, 9999)
        lines.append(f"house_number = {number}")
        random_days(rng, site, lines, number)
        for name, low, high in [
            ("window_hours", 1, 10),
            ("monthly_allowance_gal", 500, 30000),
            ("yearly_allowance_gal", 3000, 200000),
        ]:
            if rng.random() < (0.6 if name == "window_hours" else 0.2):
                site[name] = round(rng.uniform(low, high), 1)
                lines.append(f"{name} = {site[name]}")
        if "window_hours" in site and rng.random() < 0.4:
            site["window_start"] = rng.choice([0, 120, 1200, 1320])
            lines.append('window_start = "%02d:%02d"' % divmod(site["window_start"], 60))
        if rng.random() < 0.3:
            random_hours(rng, site, lines)
        random_caps(rng, site, lines, 0.15)
        if rng.random() < 0.3:
            site["exempt"] = ["drip"]
            lines.append('exempt = ["drip", "new plantings"]')
        if rng.random() < 0.3:
            controller = {
                "minute_step": rng.choice([1, 2, 5]),
                "percent_step": rng.choice([1, 5, 10]),
            }
            if rng.random() < 0.5:
                site["flow_gpm"] = rng.randint(20, 80)
                lines.append(f"flow_gpm = {site['flow_gpm']}")
                controller["valves_at_once"] = rng.randint(2, 3)
            tables += ["[controller]"] + [f"{key} = {value}" for key, value in controller.items()]
        if rng.random() < 0.4:
            rules, more = random_restriction(rng, number)
            site["restrictions"].append(rules)
            tables += more
    zones = []
    for number in range(1, rng.randint(1, 4) + 1):
        zone = zone_text(rng, number)
        if with_rules and rng.random() < 0.1:
            zone.append("exempt_zone = true")
        zones += zone
    return "\n".join(lines + tables + zones) + "\n", site, controller
