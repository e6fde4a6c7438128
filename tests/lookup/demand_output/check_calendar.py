#!/usr/bin/env python3
"""Reads the calendar file of `thirstline-lookup demand --format ics` by RFC 5545 alone and compares
its events, day by day, with the month-by-month settings of `--format json`.

  check_calendar.py --lookup PROGRAM (--db FILE | --builder PROGRAM --recipe FILE) --postal CODE
                    --zones FILE.toml... [--year 2027]
"""

import argparse
import datetime
import json
import os
import re
import subprocess
import sys
import tempfile
import tomllib

WEEKDAYS = ["MO", "TU", "WE", "TH", "FR", "SA", "SU"]
LONG = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
SHORT = [day[:3] for day in LONG]
REQUIRED = ["UID", "DTSTAMP", "DTSTART", "SUMMARY"]


class Fault(Exception):
    pass


def unfolded_lines(data):
    """Content lines (section 3.1): CRLF, at most 75 octets, folded by CRLF and a blank."""
    if not data.endswith(b"\r\n"):
        raise Fault("the file does not end with CRLF")
    lines = []
    for line in data[:-2].split(b"\r\n"):
        if b"\n" in line or b"\r" in line:
            raise Fault(f"a bare line break in {line!r}")
        if len(line) > 75:
            raise Fault(f"{len(line)} octets in {line!r}")
        line.decode()  # a fold within a character is not UTF-8
        if line[:1] in (b" ", b"\t"):
            lines[-1] += line[1:]
        else:
            lines.append(line)
    return [line.decode() for line in lines]


def text_of(value):
    """Section 3.3.11."""
    out, at = "", 0
    while at < len(value):
        if value[at] == "\\":
            if at + 1 >= len(value) or value[at + 1] not in "\\;,nN":
                raise Fault(f"a wrong escape in {value!r}")
            out += "\n" if value[at + 1] in "nN" else value[at + 1]
            at += 2
            continue
        if value[at] in ";,":
            raise Fault(f"{value[at]!r} is not escaped in {value!r}")
        out += value[at]
        at += 1
    return out


def components(lines):
    if lines[0] != "BEGIN:VCALENDAR" or lines[-1] != "END:VCALENDAR":
        raise Fault("not a calendar")
    calendar, events, event = {}, [], None
    for line in lines[1:-1]:
        name, _, value = line.partition(":")
        name, *parameters = name.split(";")
        if not re.fullmatch(r"[A-Z-]+", name):
            raise Fault(f"a wrong name in {line!r}")
        if line == "BEGIN:VEVENT":
            event = {}
        elif line == "END:VEVENT":
            events.append(event)
            event = None
        else:
            target = calendar if event is None else event
            if name in target:
                raise Fault(f"{name} is there twice")
            target[name] = (parameters, value)
    if calendar.get("VERSION") != ([], "2.0") or "PRODID" not in calendar:
        raise Fault("VERSION or PRODID is missing")
    for event in events:
        missing = [name for name in REQUIRED if name not in event]
        if missing:
            raise Fault(f"an event lacks {missing}")
        if not re.fullmatch(r"\d{8}T\d{6}Z", event["DTSTAMP"][1]):
            raise Fault("DTSTAMP is not in UTC")
    uids = [event["UID"][1] for event in events]
    if len(set(uids)) != len(uids):
        raise Fault("a UID is there twice")
    return events


def moment(text):
    return datetime.datetime.strptime(text, "%Y%m%dT%H%M%S")


def occurrences(event):
    """Section 3.3.10, of the parts that are used."""
    start = moment(event["DTSTART"][1])
    if "RRULE" not in event:
        return [start]
    rule = dict(part.split("=") for part in event["RRULE"][1].split(";"))
    until = moment(rule.pop("UNTIL"))
    interval = int(rule.pop("INTERVAL", "1"))
    frequency = rule.pop("FREQ")
    out, day = [], start
    monday = start - datetime.timedelta(days=start.weekday())
    days = rule.pop("BYDAY", "").split(",")
    dates = rule.pop("BYMONTHDAY", "").split(",")
    if rule:
        raise Fault(f"unknown parts {rule}")
    while day <= until:
        if frequency == "WEEKLY":
            is_on = (day - monday).days // 7 % interval == 0 and WEEKDAYS[day.weekday()] in days
        elif frequency == "MONTHLY" and interval == 1:
            is_on = str(day.day) in dates
        else:
            raise Fault(f"unknown frequency {frequency}")
        if is_on:
            out.append(day)
        day += datetime.timedelta(days=1)
    if start not in out:
        raise Fault("DTSTART is not an occurrence of its rule")
    return out


def is_on(names, date):
    """None where the names do not say which of the weeks."""
    if names == "every day":
        return True
    if names in ("every odd date", "every even date"):
        return date.day % 2 == (names == "every odd date")
    if names.startswith("on the "):
        return str(date.day) in re.findall(r"\d+", names)
    words = names.split()
    if " days from the " in names:
        # The interval starts again in each month.
        first = int(words[5][:-2])
        return date.day >= first and (date.day - first) % int(words[1]) == 0
    if words[0] == "every":
        return None if date.weekday() == LONG.index(words[2]) else False
    return SHORT[date.weekday()] in names.split(", ")


def in_season(season, date):
    if not season:
        return True
    start, stop = season["start"], season["stop"]
    day = f"{date.month:02}-{date.day:02}"
    return start <= day <= stop if start <= stop else day >= start or day <= stop


def check(ics, plan, year, season):
    events = components(unfolded_lines(ics))
    watering = {}
    reminders = set()
    for event in events:
        summary = text_of(event["SUMMARY"][1])
        if "VALUE=DATE" in event["DTSTART"][0]:
            reminders.add(summary)
            continue
        minutes = int(re.fullmatch(r"PT(\d+)M", event["DURATION"][1]).group(1))
        lines = text_of(event["DESCRIPTION"][1]).split("\n")
        for start in occurrences(event):
            clock = start
            for line in lines:
                time, zone, length = re.fullmatch(r"(\d\d:\d\d) (.*) (\d+) min", line).groups()
                hour, minute = map(int, time.split(":"))
                run = clock.replace(hour=hour, minute=minute)
                if run < clock:
                    run += datetime.timedelta(days=1)
                clock = run
                end = run + datetime.timedelta(minutes=int(length))
                if end > start + datetime.timedelta(minutes=minutes):
                    raise Fault(f"{line} ends after its event")
                watering.setdefault(zone, set()).add((run, int(length)))
    day = datetime.datetime(year, 1, 1)
    counted = 0
    for zone in plan["zones"]:
        runs = watering.pop(zone["name"], set())
        irregular = {}
        while day.year == year:
            month = zone["months"][day.month - 1]
            on = in_season(season, day) and month["day_names"] and is_on(month["day_names"], day)
            for time in month["start_times"]:
                # A night before midnight that goes on after it is not in this check's plans.
                run = day.replace(hour=int(time[:2]), minute=int(time[3:]))
                key = (run, int(month["minutes_per_cycle"]))
                if on is None and key in runs:
                    irregular.setdefault(day.month, set()).add(day)
                if (on is True) != (key in runs) and on is not None:
                    raise Fault(f"{zone['name']}, {run}: {on} in JSON, {key in runs} in ics")
                counted += key in runs
                runs.discard(key)
            day += datetime.timedelta(days=1)
        day = datetime.datetime(year, 1, 1)
        if runs:
            raise Fault(f"{zone['name']} is watered on {sorted(runs)[0]}, which JSON does not say")
        for number, days in irregular.items():
            wanted = zone["months"][number - 1]["watering_days"]
            if abs(len(days) - wanted) > 1.5:
                raise Fault(f"{zone['name']}, {number}: {len(days)} days, JSON says {wanted}")
    if watering:
        raise Fault(f"unknown zones {list(watering)}")
    if "Controller settings for January" not in reminders:
        raise Fault("no reminder of January's settings")
    return counted


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--lookup", required=True)
    parser.add_argument("--db")
    parser.add_argument("--builder")
    parser.add_argument("--recipe")
    parser.add_argument("--postal", required=True)
    parser.add_argument("--zones", nargs="+", required=True)
    parser.add_argument("--year", type=int, default=2027)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        if arguments.db is None:
            arguments.db = os.path.join(folder, "sites.sqlite")
            build = [arguments.builder, "build", arguments.recipe, "-o", arguments.db]
            subprocess.run(build, check=True)
        for zones in arguments.zones:
            command = [arguments.lookup, "demand", zones, "--db", arguments.db]
            command += ["--postal", arguments.postal, "--format"]
            year = ["ics", "--calendar-year", str(arguments.year)]
            ics = subprocess.run(command + year, capture_output=True, check=True).stdout
            text = subprocess.run(command + ["json"], capture_output=True, check=True).stdout
            with open(zones, "rb") as file:
                season = tomllib.load(file).get("season")
            try:
                counted = check(ics, json.loads(text), arguments.year, season)
            except Fault as fault:
                print(f"{zones}: {fault}", file=sys.stderr)
                return 1
            print(f"{zones}: {counted} cycles agree")
            if counted == 0:
                return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
