"""check_plan_texts.py finds each kind of fault where one is planted, and none in the tree."""

import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

TREE = pathlib.Path(__file__).resolve().parents[2]
CHECK = pathlib.Path(__file__).with_name("check_plan_texts.py")
FOLDERS = ["demand", "demand_output", "site", "site_output", "texts", "page_core"]


def faults_with(path=None, old=None, new=None):
    """The check's lines after one replacement in a copy of the sources."""
    with tempfile.TemporaryDirectory() as folder:
        for name in FOLDERS:
            shutil.copytree(TREE / "lookup" / name, pathlib.Path(folder) / "lookup" / name)
        if path:
            file = pathlib.Path(folder) / path
            text = file.read_text(encoding="utf-8")
            assert text.count(old) >= 1, old
            file.write_text(text.replace(old, new, 1), encoding="utf-8")
        command = [sys.executable, "-B", CHECK, folder]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
    lines = done.stdout.splitlines()[:-1]
    assert done.returncode == (1 if lines else 0), done.stdout + done.stderr
    return lines


class CheckPlanTexts(unittest.TestCase):
    def test_the_tree_passes(self):
        self.assertEqual(faults_with(), [])

    def test_an_unused_key(self):
        row = '{"words.and", " and ", " y "},'
        spare = row + '\n    {"words.spare", "spare part", "de repuesto"},'
        [fault] = faults_with("lookup/texts/word_rows.hpp", row, spare)
        self.assertIn("words.spare", fault)

    def test_a_sentence_that_is_not_in_the_table(self):
        code = 'cautions.emplace_back("caution.slope"_text);'
        bare = 'cautions.emplace_back(std::string("Mind the slope."));'
        faults = faults_with("lookup/demand/demand_cautions.cpp", code, bare)
        self.assertTrue(any("Mind the slope." in fault for fault in faults), faults)
        self.assertTrue(any("caution.slope" in fault for fault in faults), faults)

    def test_a_wrong_argument(self):
        [fault] = faults_with(
            "lookup/demand/rule_conflicts.cpp",
            '{{"volume", volume_phrase(more_l)}}', '{{"amount", volume_phrase(more_l)}}',
        )  # fmt: skip
        self.assertIn("remedy.allowance", fault)


if __name__ == "__main__":
    unittest.main()
