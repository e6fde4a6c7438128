"""check_publications.py finds each kind of fault where one is planted, and nothing in a cited list."""
import unittest
from pathlib import Path

import check_publications as check

LISTED = """
## Publications
| cited as | author | title | year | values |
|---|---|---|---|---|
| FAO-56; FAO Irrigation and Drainage Paper 56 | Allen, R. G. | Crop evapotranspiration | 1998 | as quoted elsewhere |
| Hill & Dale 1985 | Hill, A.; Dale, B. | Turf | 1985 | checked against the source |

## Standards
| cited as | title | year |
|---|---|---|
| RFC 2119 | Key words | 1997 |
"""


def faults(content, listed=LISTED, whole_tree=False):
    path = Path(check.PROJECT / "build" / "publications_test" / "cited.cpp")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(content, encoding="utf-8")
    name = str(path.relative_to(check.PROJECT))
    return list(check.faults_of_files(check.Publications(listed), [name], whole_tree))


class CheckPublications(unittest.TestCase):
    def test_listed_citations_pass(self):
        self.assertEqual(faults("// FAO-56 eq. 6\n// RFC 2119. Hill and\n"), [])
        self.assertEqual(faults('f("FAO Irrigation and "\n  "Drainage Paper 56 (1998)");\n'), [])

    def test_a_citation_that_is_not_listed(self):
        [fault] = faults("\n// as in FAO-33\n")
        self.assertIn("cited.cpp:2:", fault)
        self.assertIn("FAO-33", fault)
        for text in ("Field et al. 1999", "Field & Brook 1999", "Field and Brook (1999", "RFC 4181", "ISO 9999",
                     "FAO Irrigation and\n// Drainage Paper 33", "WMO-No. 100", "CF-1.6", "ANSI/ASABE S626"):
            self.assertEqual(len(faults(f"// {text}\n")), 1, text)

    def test_a_basis_that_is_not_that_of_the_list(self):
        self.assertEqual(faults('{"Hill & Dale 1985", Basis::seen}'), [])
        self.assertEqual(len(faults('{"Hill & Dale 1985", Basis::memory}')), 1)
        self.assertEqual(len(faults('{"a handbook of "\n "the trade", Basis::memory}')), 1)
        self.assertEqual(faults('{"soil not given", Basis::own_choice}'), [])

    def test_a_row_that_is_cited_nowhere(self):
        self.assertEqual(len(faults("// FAO-56, RFC 2119\n", whole_tree=True)), 1)

    def test_a_row_that_is_incomplete(self):
        for old, new in (("| 1998 |", "| |"), ("| 1998 |", "| recent |"), ("as quoted elsewhere", "well known")):
            self.assertEqual(len(faults("", LISTED.replace(old, new))), 1, new)

    def test_the_list_is_whole(self):
        listed = check.Publications(check.LIST.read_text(encoding="utf-8"))
        self.assertEqual(listed.faults, [])
        self.assertGreater(len(listed.rows), 30)


if __name__ == "__main__":
    unittest.main()
