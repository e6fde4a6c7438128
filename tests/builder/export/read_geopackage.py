"""The GeoPackage as OGR reads it, against the answers of thirstline-lookup and the database's own tables."""

import sqlite3

from osgeo import ogr

from exported_databases import MONTHS, NOTICE_OF_THE_VALLEY, ExportsTestCase, months_of, read_csv, rounded_half_away


class Geopackage(ExportsTestCase):
    def test_values_equal_the_lookup_at_each_point(self):
        for database in self.each():
            package = ogr.Open(database.export("geopackage"))
            layer = package.GetLayerByName("points")
            self.assertEqual(layer.GetSpatialRef().GetAuthorityCode(None), "4326")
            fields = [field.GetName() for field in layer.schema]
            features = {(f"{f.geometry().GetY():.7f}", f"{f.geometry().GetX():.7f}"):
                        {name: f.GetField(place) for place, name in enumerate(fields)} for f in layer}
            self.assertEqual(len(features), len(read_csv(database.export("csv"))))
            answers = database.answers(list(features))
            for place, feature in features.items():
                self.assertEqual(feature["elevation_m"], float(answers[place]["elevation_m"]))
                for name in ["eto_mm", "rain_mm", "eto_se_mm", "rain_se_mm", "tmax_c", "tmin_c"]:
                    if name + "_01" not in feature:
                        continue
                    found = [feature[f"{name}_{m:02}"] for m in MONTHS]
                    told = months_of(answers[place], name)
                    self.assert_told([None if v is None else rounded_half_away(v, 1) for v in found], told, (name, place))
                self.assertTrue(feature["method"].startswith(answers[place]["method"]))

    def test_has_the_stations(self):
        layers = 0
        for database in self.each():
            package = ogr.Open(database.export("geopackage"))
            with sqlite3.connect(database.path) as file:
                stations = file.execute("SELECT name, elevation_m, variables, period, lat_e7, lon_e7 FROM station").fetchall()
            layer = package.GetLayerByName("stations")
            if layer is None:
                self.assertEqual(stations, [])
                continue
            layers += 1
            found = [(f["name"], f["elevation_m"], f["variables"], f["period"], round(f.geometry().GetY() * 1e7),
                      round(f.geometry().GetX() * 1e7)) for f in layer]
            self.assertEqual(sorted(found), sorted(stations))
        self.assertGreater(layers, 0)

    def test_has_postal_codes_sources_and_the_notice(self):
        for database in self.each():
            package = ogr.Open(database.export("geopackage"))
            with sqlite3.connect(database.path) as file:
                codes = set(file.execute("SELECT code, country, place, lat_e7, lon_e7 FROM postal"))
                sources = file.execute("SELECT count(*) FROM source").fetchone()[0]
            found = {(f["code"], f["country"], f["place"], round(f.geometry().GetY() * 1e7), round(f.geometry().GetX() * 1e7))
                     for f in package.GetLayerByName("postal_codes")}
            self.assertEqual(found, codes)
            self.assertEqual(package.GetLayerByName("sources").GetFeatureCount(), sources)
            self.assertIn(NOTICE_OF_THE_VALLEY, package.GetMetadataItem("NOTICE"))
            self.assertIn("CC0-1.0", package.GetMetadataItem("LICENCE"))
