#!/usr/bin/env python3
"""Makes the folder of a static site from a database and the page's assets, for the page's tests:

    make_site.py --builder PROGRAM --assets FOLDER --database DB --out FOLDER

Areas are images of squares, exported by the builder; postal codes, sources and texts come from the database, the map
from the builder's CSV. Every file but the pages bears its hash.
"""
import argparse
import collections
import csv
import hashlib
import html
import json
import math
import pathlib
import re
import sqlite3
import subprocess
import tempfile

E7 = 10_000_000
PREFIX = 2
EDGE_ARCSEC = 1800


def arguments():
    parser = argparse.ArgumentParser()
    for name in ("builder", "assets", "database", "out"):
        parser.add_argument("--" + name, required=True, type=pathlib.Path)
    return parser.parse_args()


class Site:
    def __init__(self, out):
        self.out = out
        (out / "data").mkdir(parents=True, exist_ok=True)
        (out / "downloads").mkdir(exist_ok=True)

    def add(self, stem, suffix, content):
        name = f"{stem}-{hashlib.sha256(content).hexdigest()[:16]}{suffix}"
        (self.out / name).write_bytes(content)
        return name

    def add_json(self, stem, value):
        content = json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode()
        return {"name": self.add(stem, ".json", content), "bytes": len(content)}


def points_of(builder, database, folder):
    """Of each point with data: (lat, lon) in 1e-7 degree → its row of sums over the year."""
    table = folder / "points.csv"
    subprocess.run([builder, "export", database, "--as", "csv", "-o", table], check=True, stdout=subprocess.DEVNULL)
    points = collections.defaultdict(lambda: {"eto": [], "rain": [], "eto_se": []})
    with table.open() as rows:
        for row in csv.DictReader(rows):
            point = points[round(float(row["lat"]) * E7), round(float(row["lon"]) * E7)]
            for name in point:
                point[name].append(float(row[name + "_mm"]) if row[name + "_mm"] else None)
    return points


def square_of(lat_e7, lon_e7, edge):
    return (lat_e7 + 90 * E7) * 3600 // (edge * E7), (lon_e7 + 180 * E7) * 3600 // (edge * E7)


def area_files(site, options, points, reach_m, folder):
    """Squares within reach of any point, and the images of those that answer."""
    edge = EDGE_ARCSEC
    squares = set()
    for lat, lon in points:
        north = math.ceil(reach_m / 111_000 * E7) + edge * E7 // 3600
        east = math.ceil(north / math.cos(math.radians(lat / E7)))
        low, high = square_of(lat - north, lon - east, edge), square_of(lat + north, lon + east, edge)
        squares.update((r, c) for r in range(low[0], high[0] + 1) for c in range(low[1], high[1] + 1))
    files = {}
    for row, column in sorted(squares):
        west, south = column * edge / 3600 - 180, row * edge / 3600 - 90
        box = ",".join(f"{degrees:.9f}" for degrees in (west, south, west + edge / 3600, south + edge / 3600))
        image = folder / "area.img"
        variables = "eto,rain,eto_se,rain_se,tmax,tmin,elevation"
        done = subprocess.run(
            [options.builder, "export", options.database, "--as", "image", "-o", image, "--overwrite", "--bbox=" + box,
             "--variables", variables], capture_output=True, text=True)
        if done.returncode == 1:
            continue
        if done.returncode != 0:
            raise SystemExit(done.stderr)
        content = image.read_bytes()
        files[f"{row},{column}"] = {"name": site.add("data/area", ".img", content), "bytes": len(content)}
    return files


def postal_files(site, database):
    shards = collections.defaultdict(list)
    countries = set()
    for code, country, place, lat, lon in database.execute(
            "SELECT code, country, place, lat_e7, lon_e7 FROM postal ORDER BY code, country"):
        shards[code[:PREFIX]].append([code, country, place, lat, lon])
        countries.add(country)
    return {"countries": sorted(countries), "codes": sum(map(len, shards.values())), "prefix": PREFIX,
            "files": {prefix: site.add_json("data/postal", {"codes": codes}) for prefix, codes in shards.items()}}


def outline_of(cells, grid):
    """Rings around the cells with data, as lists of [lon, lat]."""
    edges = {}
    for row, column in cells:
        corners = [(row, column), (row, column + 1), (row + 1, column + 1), (row + 1, column)]
        sides = [(row - 1, column), (row, column + 1), (row + 1, column), (row, column - 1)]
        for at, neighbour in enumerate(sides):
            if neighbour not in cells:
                edges.setdefault(corners[at], []).append(corners[(at + 1) % 4])
    rings = []
    while edges:
        ring = [next(iter(edges))]
        while ring[-1] in edges:
            ends = edges[ring[-1]]
            ring.append(ends.pop())
            if not ends:
                del edges[ring[-2]]
        rings.append([[round((grid["west_arcsec"] + c * grid["spacing_arcsec"]) / 3600, 5),
                       round((grid["south_arcsec"] + r * grid["spacing_arcsec"]) / 3600, 5)] for r, c in ring[:-1]])
    return rings


def map_of(points, database):
    west, south, spacing, columns, rows = database.execute(
        "SELECT west_arcsec, south_arcsec, spacing_arcsec, columns, rows FROM lattice ORDER BY rank DESC").fetchone()
    # Points stand in the middle of cells, and the grid is told by its south-west corner.
    grid = {"rows": rows, "columns": columns, "west_arcsec": west - spacing // 2,
            "south_arcsec": south - spacing // 2, "spacing_arcsec": spacing}
    values = {name: [None] * (rows * columns) for name in ("eto_year", "rain_year", "eto_se_year_percent")}
    cells = set()
    for (lat, lon), year in points.items():
        row = round((lat * 3600 / E7 - south) / spacing)
        column = round((lon * 3600 / E7 - west) / spacing)
        cells.add((row, column))
        at = row * columns + column
        if None not in year["eto"]:
            values["eto_year"][at] = round(sum(year["eto"]))
            values["eto_se_year_percent"][at] = round(100 * sum(year["eto_se"]) / sum(year["eto"]), 1)
        if None not in year["rain"]:
            values["rain_year"][at] = round(sum(year["rain"]))
    layers = [{"id": "eto_year", "unit": "mm", "name": "reference evapotranspiration in a year", "values": values["eto_year"]},
              {"id": "rain_year", "unit": "mm", "name": "rain in a year", "values": values["rain_year"]},
              {"id": "eto_se_year_percent", "unit": "%", "name": "standard error of a year's reference evapotranspiration",
               "values": values["eto_se_year_percent"]}]
    return {**grid, "layers": layers, "outline": outline_of(cells, grid)}


def baseline_of(site, options, folder):
    database = sqlite3.connect(f"file:{options.database}?mode=ro", uri=True)
    metadata = dict(database.execute("SELECT key, value FROM metadata"))
    reach_m, = database.execute("SELECT max(reach_m) FROM lattice").fetchone()
    points = points_of(options.builder, options.database, folder)
    lats, lons = zip(*points)
    columns = ("name", "variable", "period", "licence", "attribution", "url")
    sources = [dict(zip(columns, row)) for row in database.execute(f"SELECT {', '.join(columns)} FROM source ORDER BY source_id")]
    content = options.database.read_bytes()
    (site.out / "downloads" / "baseline.sqlite").write_bytes(content)
    texts = {name: metadata[name] for name in
             ("title", "region", "publisher", "notice", "period", "reference", "site_correction")}
    return {"format": 1, **texts, "content_sha256": metadata["content_sha256"],
            "program": "thirstline-builder " + metadata["builder_version"],
            "box": [min(lons) / E7, min(lats) / E7, max(lons) / E7, max(lats) / E7],
            "areas": {"edge_arcsec": EDGE_ARCSEC,
                      "files": area_files(site, options, points, reach_m, folder)},
            "postal": postal_files(site, database),
            "map": site.add_json("data/map", map_of(points, database)),
            "sources": sources,
            "downloads": [{"name": "downloads/baseline.sqlite", "form": "sqlite", "bytes": len(content),
                           "sha256": hashlib.sha256(content).hexdigest()}],
            "report": "report.html"}


def main():
    options = arguments()
    site = Site(options.out)
    asset = lambda name: (options.assets / name).read_bytes()
    with tempfile.TemporaryDirectory() as folder:
        baseline = baseline_of(site, options, pathlib.Path(folder))
    values = {"title": html.escape(baseline["title"]), "baseline": site.add_json("baseline", baseline)["name"],
              "page_script": site.add("page", ".js", asset("page.js")),
              "reader": site.add("reader", ".wasm", asset("reader.wasm")),
              "demand": site.add("demand", ".wasm", asset("demand.wasm"))}
    kept = ["./", values["page_script"], values["baseline"], values["reader"], values["demand"]]
    filled = lambda name, values: re.sub(r"\{\{(\w+)\}\}", lambda found: values[found[1]], asset(name).decode())
    index = filled("index.template.html", values)
    (site.out / "index.html").write_text(index)
    (site.out / "report.html").write_text("<!doctype html><title>Report</title>")
    version = hashlib.sha256((index + "".join(kept)).encode()).hexdigest()[:16]
    worker = filled("service-worker.template.js", {"files": json.dumps(kept), "version": version})
    (site.out / "service-worker.js").write_text(worker)


main()
