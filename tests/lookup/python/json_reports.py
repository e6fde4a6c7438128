"""Holds `site_report` and `demand` of the Python package against the JSON of thirstline-lookup."""

import json

from installed_examples import COUNTRY, PROJECT, random_sites, run, sample_codes

PLACE = (44.603, -37.532)
OWN_RECORD = "month,eto_mm,rain_mm\n6,150.5,\n7,165,12.5\n8,,9\n"
ZONES_FILE = PROJECT / "sample-inputs/merrow-zones.toml"
ZONES = ZONES_FILE.read_text(encoding="utf-8")


class JsonReports:
    """Tests for a TestCase with `baseline`, an open Baseline of plain.sqlite in its `folder`."""

    @property
    def thirstline(self):
        import thirstline
        return thirstline

    def printed(self, *words, file="plain.sqlite"):
        """What the command prints as JSON, run in the folder of the files."""
        return json.loads(run(self.options.lookup.resolve(), *words, "--db", file, "--format", "json", cwd=self.folder))

    def test_reports_as_the_command(self):
        (self.folder / "own_record").write_text(OWN_RECORD, encoding="utf-8")
        found = 0
        for lat, lon, elevation in random_sites(60):
            try:
                report = self.baseline.site_report(float(lat), float(lon), elevation_m=elevation or None)
            except (self.thirstline.NoDataError, self.thirstline.QuestionError):
                continue  # compared by the numbers elsewhere
            self.assertEqual(report, self.printed("site", f"--at={lat},{lon}",
                                                  *(["--elevation", f"{elevation}m"] if elevation else [])))
            found += 1
        self.assertGreater(found, 20)
        for step in ("week", "day"):
            self.assertEqual(self.baseline.site_report(*PLACE, step=step, own_record=OWN_RECORD),
                             self.printed("site", "--at", f"{PLACE[0]},{PLACE[1]}", "--step", step, "--own",
                                          "own_record"))
        self.assertEqual(self.baseline.site_report(postal="04107", country=COUNTRY),
                         self.printed("site", "--postal", "04107", "--country", COUNTRY))

    def test_dry_years_as_the_command(self):
        run(self.options.builder, "build", PROJECT / "sample-inputs/merrow-record.toml", "-o",
            self.folder / "record.sqlite", "--overwrite")
        with self.thirstline.Baseline(self.folder / "record.sqlite") as baseline:
            mean = baseline.site_report(postal="04107")
            for year, words in (("dry", "dry"), ("wet", "wet"), (90, "90"), ("95", "95")):
                report = baseline.site_report(postal="04107", year=year)
                self.assertEqual(report, self.printed("site", "--postal", "04107", "--year", words,
                                                      file="record.sqlite"))
                self.assertNotEqual(report["annual"], mean["annual"])
                self.assertEqual(baseline.demand(ZONES, postal="04107", year=year),
                                 self.printed("demand", "--postal", "04107", "--year", words, "--zones", ZONES_FILE,
                                              file="record.sqlite"))
        with self.assertRaises(self.thirstline.NoDataError) as caught:
            self.baseline.site_report(postal="04107", year="dry")
        self.assertIn("wet and dry years", str(caught.exception))

    def test_demand_as_the_command(self):
        for code in sample_codes()[:4]:
            self.assertEqual(self.baseline.demand(ZONES, postal=code),
                             self.printed("demand", "--postal", code, "--zones", ZONES_FILE))
        plan = self.baseline.demand(ZONES, *PLACE, elevation_m=450)
        self.assertEqual(plan, self.printed("demand", "--at", f"{PLACE[0]},{PLACE[1]}", "--elevation", "450m", "--zones",
                                            ZONES_FILE))
        self.assertGreater(len(plan["cautions"]), 2)
