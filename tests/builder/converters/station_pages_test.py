"""Pages of invented stations in the layouts of three publishers, through station-pages.py."""
import csv
import io
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

SCRIPT = Path(__file__).resolve().parents[3] / "builder" / "converters" / "station-pages.py"

ECCC = '''\ufeff"Climate Normals 1981-2010 Station Data"

"Metadata including Station Name"
"STATION_NAME","PROVINCE","LATITUDE","LONGITUDE","ELEVATION","CLIMATE_ID","WMO_ID","TC_ID"
"*MERROW QUAY","XM"," 44°06'36.000"" N"," 38°12'00.000"" W","409.4 m","99","",""

"Legend"
"A = WMO ""3 and 5 rule"""

"1981 to 2010 Canadian Climate Normals station data"
" ","Jan","Feb","Mar","Apr","May","Jun","Jul","Aug","Sep","Oct","Nov","Dec","Year","Code"
"Temperature"
"Daily Maximum (°C)","1","2","3","4","5","6","7","8","9","10","11","12","6.5","A"
"Precipitation"
"Precipitation (mm)","10","20","","40","50","60","70","80","90","100","110","120","","C"
"Wind"
"Speed (km/h)","15","15","15","15","15","15","15","15","15","15","15","16","15","D"
"Days with Something"
"Daily Maximum (°C)","9","9","9","9","9","9","9","9","9","9","9","9","9","A"
'''

SMN = """COMISIÓN
 ESTACIÓN  : 1001
 NOMBRE    : MERROW (OBS)
 LATITUD   : 44.10000000 °
 LONGITUD  : -38.2000000 °
 ALTITUD   : 1890.8 msnm


TEMPERATURA MÁXIMA
MESES\t\t\tENE\tFEB\tMAR\tABR\tMAY\tJUN\tJUL\tAGO\tSEP\tOCT\tNOV\tDIC\tANUAL
NORMAL\t\t\t23\t25.5\tNULO\t30\t32\t30\t28\t28\t27\t26\t25\t23\t27
AÑOS CON DATOS\t\t30\t30\t0\t30\t28\t30\t29\t29\t30\t30\t30\t30\t

EVAPORACIÓN
MESES\t\t\tENE\tFEB\tMAR\tABR\tMAY\tJUN\tJUL\tAGO\tSEP\tOCT\tNOV\tDIC\tANUAL
NORMAL\t\t\t98\t121\t184\t213\t221\t191\t156\t149\t117\t117\t92\t87\t1750
"""

POWER = """-BEGIN HEADER-
Location: Latitude  44.1   Longitude -38.2
Elevation from a model: Average for 0.5 x 0.625 degree lat/lon region = 85.03 meters
The value for missing source data that cannot be computed: -999
-END HEADER-
PARAMETER,JAN,FEB,MAR,APR,MAY,JUN,JUL,AUG,SEP,OCT,NOV,DEC,ANN
T2M,1,2,3,4,5,6,-999,8,9,10,11,12,6
"""


class StationPages(unittest.TestCase):
    def run_script(self, *arguments):
        return subprocess.run([sys.executable, "-B", SCRIPT, *arguments], capture_output=True, text=True,
                              encoding="utf-8", check=False)

    def rows_of(self, layout, text, encoding="utf-8"):
        with tempfile.TemporaryDirectory() as folder:
            page = Path(folder) / "page"
            page.write_bytes(text.encode(encoding))
            run = self.run_script(layout, page)
        self.assertEqual((run.returncode, run.stderr), (0, ""))
        rows = list(csv.DictReader(io.StringIO(run.stdout)))
        self.assertEqual([row["month"] for row in rows], [str(month) for month in range(1, 13)])
        return rows

    def error_of(self, layout, text):
        with tempfile.TemporaryDirectory() as folder:
            page = Path(folder) / "page"
            page.write_text(text, encoding="utf-8")
            run = self.run_script(layout, page)
        self.assertEqual((run.returncode, run.stdout), (3, ""))
        self.assertTrue(run.stderr.startswith(f"station-pages.py: {page} is not a page of {layout}: "))
        return run.stderr

    def test_canadas_pages_in_both_encodings(self):
        for encoding, text in (("utf-8", ECCC), ("latin-1", ECCC.lstrip("\ufeff"))):
            rows = self.rows_of("eccc", text, encoding)
            january, march = rows[0], rows[2]
            self.assertEqual(january["name"], "MERROW QUAY")
            self.assertEqual(january["lat"], "44°06'36.000\" N")
            self.assertEqual(january["elevation_m"], "409.4")
            self.assertEqual((january["tmax_c"], january["flag_tmax_c"]), ("1", "A"))
            self.assertEqual((january["wind_km_h"], january["flag_wind_km_h"]), ("15", "D"))
            self.assertEqual(march["rain_mm"], "")

    def test_mexicos_pages(self):
        rows = self.rows_of("smn", SMN)
        self.assertEqual((rows[0]["station"], rows[0]["name"]), ("1001", "MERROW (OBS)"))
        self.assertEqual((rows[0]["lat"], rows[0]["lon"], rows[0]["elevation_m"]),
                         ("44.10000000", "-38.2000000", "1890.8"))
        self.assertEqual((rows[1]["tmax_c"], rows[2]["tmax_c"]), ("25.5", ""))
        self.assertEqual(rows[4]["years_tmax_c"], "28")
        self.assertNotIn("rain_mm", rows[0])  # and pan evaporation is no column

    def test_power(self):
        rows = self.rows_of("power", POWER)
        self.assertEqual((rows[0]["lat"], rows[0]["lon"], rows[0]["elevation_m"]), ("44.1", "-38.2", "85.03"))
        self.assertEqual((rows[5]["T2M"], rows[6]["T2M"]), ("6", ""))

    def test_pages_that_are_not_recognized(self):
        self.assertIn("it has no line STATION_NAME", self.error_of("eccc", SMN))
        self.assertIn("it has no line ESTACIÓN", self.error_of("smn", POWER))
        self.assertIn("it has no header block with a location", self.error_of("power", ECCC))
        self.assertIn("it has none of the normals that are used",
                      self.error_of("smn", SMN.replace("TEMPERATURA MÁXIMA", "NUBOSIDAD")))
        self.assertIn("its months are not ENE to DIC", self.error_of("smn", SMN.replace("ENE\tFEB", "FEB\tENE")))
        self.assertIn("ELEVATION is not a number: \"high\"", self.error_of("eccc", ECCC.replace("409.4 m", "high")))

    def test_usage(self):
        run = self.run_script("noaa", "a.txt")
        self.assertEqual(run.returncode, 2)
        self.assertIn("station-pages.py FORMAT FILE", run.stderr)
        self.assertIn("FORMAT is eccc, smn, power", run.stderr)


unittest.main()
