"""Draws a site's year of ETo and rain, with their standard errors, into a PNG file.

    python3 plot_year.py merrow.sqlite 04107 year.png
    python3 plot_year.py merrow.sqlite 44.603,-37.532 year.png
"""

from __future__ import annotations

import sys

import matplotlib  # type: ignore[import]

matplotlib.use("Agg")
from matplotlib import pyplot  # noqa: E402

import thirstline  # noqa: E402

NAMES = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()


def site_named(baseline: thirstline.Baseline, place: str) -> thirstline.Site:
    lat, comma, lon = place.partition(",")
    return baseline.site(float(lat), float(lon)) if comma else baseline.postal(place)


def drawn(site: thirstline.Site, title: str, path: str) -> None:
    figure, axes = pyplot.subplots(figsize=(8, 4.5), layout="constrained")
    for values, errors, label, color in (
            ([month.eto_mm for month in site.months], [month.eto_se_mm for month in site.months], "ETo", "tab:red"),
            ([month.rain_mm for month in site.months], [month.rain_se_mm for month in site.months], "rain",
             "tab:blue")):
        axes.errorbar(NAMES, [value if value is not None else float("nan") for value in values],
                      yerr=[error or 0.0 for error in errors], label=label, color=color, marker="o", capsize=3)
    axes.set_ylabel("mm/month")
    axes.set_ylim(bottom=0)
    axes.set_title(f"{title}: normals of {site.period} with standard errors")
    axes.legend()
    figure.supxlabel(site.notice, fontsize=6, wrap=True)
    figure.savefig(path, dpi=120)


def main() -> int:
    if len(sys.argv) != 4:
        print(__doc__, file=sys.stderr)
        return 2
    file, place, path = sys.argv[1:]
    try:
        with thirstline.Baseline(file) as baseline:
            site = site_named(baseline, place)
    except (thirstline.ThirstlineError, ValueError) as error:
        print(f"plot_year.py: {error}", file=sys.stderr)
        return 1
    drawn(site, site.place or place, path)
    return 0


if __name__ == "__main__":
    sys.exit(main())
