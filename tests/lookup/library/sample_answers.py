"""Files of the sample, and what `thirstline-lookup batch` answers from them: what the other ways to read a file
are compared with."""

import csv
import io
import shutil
from decimal import Decimal

from installed_examples import SAMPLE, run

DAYS = [Decimal(days) for days in "31 28.25 31 30 31 30 31 31 30 31 30 31".split()]
MONTHLY = ["eto_mm", "rain_mm", "eto_se_mm", "rain_se_mm", "tmax_c", "tmin_c"]


def built(builder, folder, code):
    """The sample's file in that tile code, "plain" or "compact"."""
    recipe = folder / "inputs" / f"{code}.toml"
    if not recipe.parent.exists():
        shutil.copytree(SAMPLE, recipe.parent)
    text = (SAMPLE / "merrow.toml").read_text(encoding="utf-8")
    assert text.count("[output]\n") == 1
    recipe.write_text(text.replace("[output]\n", f'[output]\ncode = "{code}"\n'), encoding="utf-8")
    database = folder / f"{code}.sqlite"
    run(builder, "build", recipe, "-o", database)
    return database


def batch_rows(lookup, database, header, rows):
    """A record of `batch` for each row, as texts by column."""
    table = io.StringIO()
    csv.writer(table, lineterminator="\n").writerows([header, *rows])
    text = run(lookup, "batch", "--db", database, "--input", "-", "--allow-missing",
               input=table.getvalue())
    return list(csv.DictReader(io.StringIO(text)))


def month_of_batch(row, month):
    """The values of MONTHLY as `batch` writes them; None where it writes none."""
    return [Decimal(text) if (text := row[f"{name}_{month:02}"]) else None for name in MONTHLY]
