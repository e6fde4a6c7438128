"""check_wording.py finds each kind of fault where one is planted, and nothing in plain text."""
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

CHECK = Path(__file__).with_name("check_wording.py")


def faults_in(name, content):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_text(content, encoding="utf-8")
        done = subprocess.run([sys.executable, "-B", CHECK, path], capture_output=True, text=True, check=False)
    lines = done.stdout.splitlines()
    assert done.returncode == (1 if lines else 0), done.stderr
    return lines


class CheckWording(unittest.TestCase):
    def test_adjacent_literals_are_read_as_one(self):
        self.assertEqual(len(faults_in("a.cpp", 'f("the value is no "\n  "number");\n')), 1)

    def test_a_line_is_named(self):
        [fault] = faults_in("a.cpp", '\n\nf("values left aside");\n')
        self.assertIn("a.cpp:3:", fault)
        self.assertIn("rejected", fault)

    def test_documents_and_pages_and_scripts(self):
        self.assertEqual(len(faults_in("a.md", "Whoever mends it.\n")), 1)
        self.assertEqual(len(faults_in("b.md", "```\nmend\n```\nand `mend`\n")), 0)
        self.assertEqual(len(faults_in("a.html", "<p title='x'>It speaks for\n the site</p>")), 1)
        self.assertEqual(len(faults_in("a.mjs", "const text = `it brings 3`;\n")), 1)
        self.assertEqual(len(faults_in("a.py", "# mend\nprint('x', \"5 % more\")\n")), 1)

    def test_comments_are_ignored(self):
        self.assertEqual(faults_in("a.cpp", '// mend "it"\n/* speaks */ f("fine", \'"\', "a // mend");\n')[1:], [])
        self.assertEqual(faults_in("b.cpp", "// mend\n/* it is no number */\n"), [])

    def test_names_in_code(self):
        self.assertEqual(len(faults_in("a.hpp", "constexpr int kMostZones = 3;\n")), 1)
        self.assertEqual(len(faults_in("a.c", "int kin_count; /* kin */\n")), 1)
        self.assertEqual(faults_in("b.c", "int king, skin, almost; int kMaxZones;\n"), [])

    def test_every_pattern_finds_its_word(self):
        for text in ("it speaks for a site", "the file tells it", "salt that it bears", "rain brings it",
                     "it stands in a field", "it is carried to the site", "it lies outside the area", "key in 20 min",
                     "leaves with 3", "a range that no climate has", "which means nothing", "5 %", "%.1f %% more",
                     "per cent", "left aside", "grey water", "it says again the same"):
            self.assertGreaterEqual(len(faults_in("a.cpp", f'f("{text}");\n')), 1, text)

    def test_output_is_in_us_spelling(self):
        for text in ("two neighbours", "in millimetres", "vapour pressure", "the licence is open"):
            self.assertEqual(len(faults_in("a.cpp", f'f("{text}");\n')), 1, text)
        self.assertEqual(faults_in("a.cpp", 'f("vapour_pressure", "licence", "stations/neighbour_check.hpp");\n'), [])

    def test_names_of_tests(self):
        for name in ("TellsTheReader", "IsHonestAboutIt", "BothAreLeftAside", "NothingIsCarried", "IsHeldToTheLimit"):
            self.assertEqual(len(faults_in("a.cpp", f"TEST(A, {name}) {{}}\n")), 1, name)
        self.assertEqual(faults_in("a.cpp", "TEST(A, SkipsACarriageReturn) {}\n"), [])

    def test_man_pages_and_schemas(self):
        self.assertEqual(len(faults_in("a.1.in", "These may stand before a command.\n")), 1)
        self.assertEqual(len(faults_in("a.json", '{"description": "what the run brings"}\n')), 1)

    def test_plain_text_passes(self):
        self.assertEqual(faults_in("a.cpp", 'f("there is no file; it is no longer 5%, and is not a number");\n'), [])


if __name__ == "__main__":
    unittest.main()
