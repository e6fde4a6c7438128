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
    def test_literals_that_are_joined_are_read_as_one(self):
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

    def test_comments_are_not_looked_at(self):
        self.assertEqual(faults_in("a.cpp", '// mend "it"\n/* speaks */ f("fine", \'"\', "a // mend");\n')[1:], [])
        self.assertEqual(faults_in("b.cpp", "// mend\n/* it is no number */\n"), [])

    def test_names_in_code(self):
        self.assertEqual(len(faults_in("a.hpp", "constexpr int kMostZones = 3;\n")), 1)
        self.assertEqual(len(faults_in("a.c", "int kin_count; /* kin */\n")), 1)
        self.assertEqual(faults_in("b.c", "int king, skin, almost; int kMaxZones;\n"), [])

    def test_plain_text_passes(self):
        self.assertEqual(faults_in("a.cpp", 'f("there is no file; it is no longer 5%, and is not a number");\n'), [])


if __name__ == "__main__":
    unittest.main()
