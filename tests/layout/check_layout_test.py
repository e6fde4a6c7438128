"""The layout check detects and names each kind of fault planted in a copy of the tree."""
import re
import shutil
import tempfile
import unittest
from pathlib import Path

import check_layout

PROJECT = Path(__file__).resolve().parents[2]
LEFT_OUT = shutil.ignore_patterns("build", "build-*", ".git", "node_modules", "__pycache__", "corpus")


class PlantedFaults(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(cls.scratch.cleanup)
        cls.root = Path(cls.scratch.name) / "tree"
        shutil.copytree(PROJECT, cls.root, ignore=LEFT_OUT)

    def write(self, path, text):
        """Until the end of the test."""
        file = self.root / path
        first_new = next((folder for folder in reversed(file.parents) if not folder.exists()), file)
        if file.exists():
            self.addCleanup(file.write_bytes, file.read_bytes())
        elif first_new == file:
            self.addCleanup(file.unlink)
        else:
            self.addCleanup(shutil.rmtree, first_new)
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")

    def append(self, path, text):
        self.write(path, (self.root / path).read_text(encoding="utf-8") + text)

    def assert_only_fault(self, pattern):
        found = list(check_layout.faults(self.root))
        self.assertTrue(found, f"nothing found where /{pattern}/ was planted")
        for fault in found:
            self.assertRegex(fault, pattern)

    def test_the_tree_has_none(self):
        self.assertEqual(list(check_layout.faults(self.root)), [])

    def test_an_entry_at_the_top_level(self):
        self.write("notes.txt", "")
        self.assert_only_fault("^notes.txt does not belong at the top level$")

    def test_a_loose_file(self):
        self.write("schema/odd.hpp", "#pragma once\n")
        self.assert_only_fault("^schema/odd.hpp is loose")

    def test_an_include_of_a_folder_below(self):
        self.append("schema/geo/lat_lon.cpp", '#include "schema/database/database.hpp"\n')
        self.assert_only_fault("^schema/geo/lat_lon.cpp includes schema/database/database.hpp: .* below"
                               "|^folders include each other: .*schema/geo")

    def test_folders_that_include_each_other(self):
        self.append("lookup/site/site_answer.cpp", '#include "lookup/commands/common_options.hpp"\n')
        found = [fault for fault in check_layout.faults(self.root) if fault.startswith("folders")]
        self.assertTrue(found)
        self.assertTrue(any({"lookup/site", "lookup/commands"} <= set(re.split("[ >-]+", fault))
                            for fault in found), found)

    def test_the_lookup_using_the_builder(self):
        self.append("lookup/site/site_answer.cpp", '#include "builder/recipe/recipe.hpp"\n')
        self.assert_only_fault("^lookup/site/site_answer.cpp includes builder/recipe/recipe.hpp: lookup/ must not use")

    def test_gdal_outside_the_builder(self):
        self.append("lookup/site/site_answer.cpp", "#include <gdal_priv.h>\n")
        self.assert_only_fault("^lookup/site/site_answer.cpp includes GDAL or PROJ")

    def test_a_type_of_two_headers(self):
        self.append("lookup/site/site_answer.hpp", "enum class Lattice : int { none };\n")
        self.assert_only_fault("^the type Lattice is defined in (lookup/site/site_answer.hpp|schema/geo/lattice.hpp) and ")

    def test_a_name_of_two_files(self):
        self.write("builder/grids/lat_lon.hpp", "#pragma once\n")
        self.assert_only_fault("^lat_lon.hpp is the name of ")

    def test_a_folder_without_a_place_in_the_map(self):
        self.write("lookup/extras/extra.hpp", "#pragma once\n")
        self.assert_only_fault("^lookup/extras/ is not in the map of DEVELOPERS.md$")

    def test_a_place_in_the_map_without_a_folder(self):
        text = (self.root / "DEVELOPERS.md").read_text(encoding="utf-8")
        self.write("DEVELOPERS.md", text.replace("lookup/site/ ", "lookup/gone/  nothing\nlookup/site/ ", 1))
        self.assert_only_fault("^lookup/gone/ is in the map of DEVELOPERS.md and not in the tree$")

    def test_a_long_file(self):
        self.write("schema/geo/long.mjs", "//\n" * 501)
        self.assert_only_fault("^schema/geo/long.mjs has 501 lines, over 500$")

    def test_a_crowded_folder(self):
        for number in range(31):
            self.write(f"schema/geo/crowd_{number}.cpp", "")
        self.assert_only_fault("^schema/geo/ has 35 sources, over 30$")


if __name__ == "__main__":
    unittest.main()
