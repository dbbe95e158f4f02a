#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Small sets of records put before scripts/validation_page.py: what fails is shown, what is missing is said."""

import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

PAGE = pathlib.Path(__file__).resolve().parents[3] / "scripts" / "validation_page.py"
RUN = {"date": "2024-01-31", "command": "scripts/validation", "openfoam": "1912", "commit": "abc1234"}
STUDY = {"title": "Size of the air domain", "question": "Does it matter?", "study": "cases/studies/domain.toml",
         "date": "2024-01-31", "version": "0.1.0", "openfoam": "1912", "command": "cowlwright run domain.toml",
         "grid": "coarse", "columns": ["domain", "flow [kg/s]"], "rows": [["small", 1.21], ["large", "1.20 ± 0.01"]],
         "answer": "It does not."}


def near(computed=1.01, expected=1.0, tolerance=0.02, passed=True, name=""):
    return {"point": name, "kind": "near", "computed": computed, "expected": expected, "tolerance": tolerance,
            "low": None, "high": None, "pass": passed}


def record(identifier="duct.loss", points=None, **changes):
    return {"id": identifier, "group": "Ducts", "title": "Loss of a duct", "source": "Handbook, table 1",
            "condition": "Re 1e5", "unit": "Pa", "reason": "half a digit", "test": "Duct.Loss", "version": "0.1.0",
            "finished": True, "points": [near()] if points is None else points, "curves": [], **changes}


class PageTest(unittest.TestCase):
    def setUp(self):
        # pylint: disable=consider-using-with
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)
        for name in ("records", "tests", "studies", "out"):
            (self.folder / name).mkdir()
        self.page = self.folder / "out" / "VALIDATION.md"
        self.write("records/run.json", RUN)
        self.declare("duct.loss")

    def write(self, name, value):
        (self.folder / name).write_text(json.dumps(value), encoding="utf-8")

    def declare(self, *identifiers):
        text = "".join(f'ValidationCheck check({{.id = "{name}"}});\n' for name in identifiers)
        (self.folder / "tests" / "duct_test.cpp").write_text(text, encoding="utf-8")

    def run_page(self, *words):
        run = subprocess.run([sys.executable, PAGE, *words, "--sources", self.folder / "tests", "--sensitivity",
                              self.folder / "studies"], capture_output=True, text=True, check=False)
        return run.returncode, run.stderr

    def make(self, *records):
        for one in records:
            self.write(f"records/{one['id']}.json", one)
        code, output = self.run_page("make", self.folder / "records", self.page)
        return code, output, self.page.read_text(encoding="utf-8") if self.page.exists() else ""

    def check(self):
        return self.run_page("check", self.page)


class ValidationPage(PageTest):
    def test_shows_source_numbers_difference_tolerance_and_verdict(self):
        code, _, text = self.make(record())
        self.assertEqual(code, 0)
        self.assertIn('| <a id="duct.loss"></a>Loss of a duct | Handbook, table 1 | 1 Pa | 1.01 Pa | 0.01 (1 %) | ± 0.02 '
                      "| yes |", text)
        for word in ("cowlwright 0.1.0", "abc1234", "OpenFOAM 1912", "2024-01-31", "`scripts/validation`", "half a digit",
                     "Re 1e5", "1 checks with 1 points: 1 passed, 0 failed", "flight-test"):
            self.assertIn(word, text)
        self.assertNotIn("FAILED", text)

    def test_shows_a_failed_check_as_failed_and_ends_with_1(self):
        code, output, text = self.make(record(points=[near(), near(1.5, passed=False, name="r/D 0.1")]))
        self.assertEqual(code, 1)
        self.assertIn("duct.loss: FAILED", output)
        self.assertIn("r/D 0.1 | same | 1 Pa | 1.5 Pa | 0.5 (50 %) | ± 0.02 | **FAILED** |", text)
        self.assertIn("0 passed, 1 failed", text)

    def test_of_many_points_shows_the_failed_one(self):
        points = [near(1.019, name=f"good {i}") for i in range(9)] + [near(None, passed=False, name="bad")]
        code, _, text = self.make(record(points=points))
        self.assertEqual(code, 1)
        self.assertIn("1 of 10 points failed, the worst: bad | Handbook, table 1 | 1 Pa | not a number Pa | — | ± 0.02 "
                      "| **FAILED** |", text)

    def test_of_many_sound_points_shows_the_one_nearest_to_its_limit(self):
        points = [near(1.0 + 0.001 * i, name=f"point {i}") for i in (3, 19, 7, 1)]
        _, _, text = self.make(record(points=points))
        self.assertIn("worst of 4 points: point 19 |", text)

    def test_says_which_check_has_no_record_and_ends_with_1(self):
        self.declare("duct.loss", "duct.heat")
        code, output, text = self.make(record())
        self.assertEqual(code, 1)
        self.assertIn("duct.heat: no record", output)
        self.assertIn("**FAILED**: <a id=\"duct.heat\"></a>`duct.heat` has no record", text)
        self.assertIn("2 checks with 1 points: 1 passed, 1 failed", text)

    def test_shows_a_check_broken_off_as_failed(self):
        code, _, text = self.make(record(finished=False))
        self.assertEqual(code, 1)
        self.assertIn("Loss of a duct: broken off | Handbook, table 1 | — | — | — | — | **FAILED** |", text)

    def test_refuses_a_record_that_lacks_its_source(self):
        broken = record()
        del broken["source"]
        code, output, text = self.make(broken)
        self.assertEqual((code, text), (2, ""))
        self.assertIn("duct.loss.json: missing source", output)

    def test_refuses_a_record_no_test_declares(self):
        code, output, text = self.make(record(), record("duct.old"))
        self.assertEqual((code, text), (2, ""))
        self.assertIn("records without a check", output)
        self.assertIn("duct.old", output)

    def test_refuses_an_id_two_checks_share(self):
        self.declare("duct.loss", "duct.loss")
        code, output, text = self.make(record())
        self.assertEqual((code, text), (2, ""))
        self.assertIn("check id duct.loss: in", output)

    def test_refuses_an_empty_folder_of_records(self):
        code, output, text = self.make()
        self.assertEqual((code, text), (2, ""))
        self.assertIn("holds no records", output)

    def test_shows_bounds_and_the_distance_to_them(self):
        band = {**near(0.075), "kind": "between", "expected": None, "tolerance": None, "low": 0.03, "high": 0.2}
        _, _, text = self.make(record(points=[band]))
        self.assertIn("| 0.03 to 0.2 Pa | 0.075 Pa | 0.045 inside | band | yes |", text)

    def test_shows_a_sensitivity_study_with_its_answer_and_command(self):
        self.write("studies/domain.json", STUDY)
        code, _, text = self.make(record())
        self.assertEqual(code, 0)
        for word in ("Size of the air domain", "Does it matter?", "| large | 1.20 ± 0.01 |", "It does not.",
                     "cowlwright run domain.toml", "coarse"):
            self.assertIn(word, text)

    def test_refuses_a_sensitivity_study_with_a_short_row(self):
        self.write("studies/domain.json", {**STUDY, "rows": [["small"]]})
        code, output, text = self.make(record())
        self.assertEqual((code, text), (2, ""))
        self.assertIn("row 1 has 1 cells, must be 2", output)

    def test_check_accepts_the_page_it_made(self):
        self.write("studies/domain.json", STUDY)
        self.make(record())
        self.assertEqual(self.check(), (0, ""))

    def test_check_finds_a_check_that_is_not_on_the_page(self):
        self.make(record())
        self.declare("duct.loss", "duct.heat")
        code, output = self.check()
        self.assertEqual(code, 1)
        self.assertIn("duct.heat: not on the page", output)
        self.assertIn("Run scripts/validation", output)

    def test_check_finds_a_check_that_is_on_the_page_only(self):
        self.make(record())
        self.declare("duct.heat")
        self.assertIn("duct.loss: on the page, but in no test", self.check()[1])

    def test_check_finds_a_study_that_is_not_on_the_page(self):
        self.make(record())
        self.write("studies/domain.json", STUDY)
        self.assertIn("sensitivity.domain: not on the page", self.check()[1])

    def test_check_refuses_a_page_with_a_failed_check(self):
        self.make(record(points=[near(1.5, passed=False)]))
        code, output = self.check()
        self.assertEqual(code, 1)
        self.assertIn("shows a failed check", output)

    def test_check_finds_a_missing_plot(self):
        self.make(record())
        with self.page.open("a", encoding="utf-8") as file:
            file.write("![Loss](plots/loss.svg)\n")
        self.assertIn("plots/loss.svg: linked by the page, but not there", self.check()[1])


class Plots(PageTest):
    """Needs matplotlib, which scripts/bootstrap installs only for the page."""

    CURVE = {"file": "duct.loss", "title": "Loss", "x_axis": "speed [m/s]", "y_axis": "loss [Pa]", "series": [
        {"name": "Handbook", "kind": "expected", "x": [1, 2], "y": [1, 4], "error": [0.1, 0.4], "colour_with": ""},
        {"name": "computed", "kind": "computed", "x": [1, 2], "y": [1.1, None], "error": [], "colour_with": "Handbook"}]}

    def setUp(self):
        super().setUp()
        try:
            import matplotlib  # pylint: disable=unused-import,import-outside-toplevel
        except ImportError:
            self.skipTest("python3-matplotlib is not installed")

    def test_is_linked_has_titles_with_units_and_is_the_same_every_time(self):
        _, _, text = self.make(record(curves=[self.CURVE]))
        self.assertIn("![Loss](plots/duct.loss.svg)", text)
        plot = self.page.parent / "plots" / "duct.loss.svg"
        first = plot.read_text(encoding="utf-8")
        for word in ("speed [m/s]", "loss [Pa]", "Handbook", "computed"):
            self.assertIn(word, first)
        self.make(record(curves=[self.CURVE]))
        self.assertEqual(plot.read_text(encoding="utf-8"), first)

    def test_of_two_curves_with_one_name_are_refused(self):
        self.declare("duct.loss", "duct.heat")
        code, output, _ = self.make(record(curves=[self.CURVE]), record("duct.heat", curves=[self.CURVE]))
        self.assertEqual(code, 2)
        self.assertIn("plot used by two curves: duct.loss", output)


if __name__ == "__main__":
    unittest.main()
