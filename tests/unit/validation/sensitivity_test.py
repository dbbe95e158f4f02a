#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Made-up results put before scripts/sensitivity: what it keeps of them and what it refuses."""

import importlib.machinery
import importlib.util
import pathlib
import re
import sys
import unittest

sys.dont_write_bytecode = True

TOP = pathlib.Path(__file__).resolve().parents[3]
LOADER = importlib.machinery.SourceFileLoader("sensitivity", str(TOP / "scripts" / "sensitivity"))
sensitivity = importlib.util.module_from_spec(importlib.util.spec_from_loader("sensitivity", LOADER))
LOADER.exec_module(sensitivity)


def quantity(quantity_id, name, unit, value, half_band):
    return {"id": quantity_id, "name": name, "unit": unit, "value": value, "half_band": half_band}


def variant(size, difference, imbalance, is_baseline=False, **other):
    return {"name": f"size_{size}", "is_baseline": is_baseline, "settings": {"grid.domain_size": size},
            "status": "settled", "status_reason": "", "is_flagged": False, "flags": [], "grid_level": "coarse",
            "cells": 124000, "program_version": "0.1.0", "openfoam_version": "1912",
            "quantities": [quantity("deck_pressure_difference", "deck pressure difference", "Pa", difference, 5.0),
                           quantity("inlet_imbalance", "inlet imbalance", "%", imbalance, 0.2)], **other}


def results(*variants):
    return {"study": "Domain", "question": "Does it matter?", "variants": list(variants)}


def record(*variants):
    return sensitivity.make_record("domain_size", results(*variants), "scripts/sensitivity domain_size", "2024-01-31")


class Sensitivity(unittest.TestCase):
    def test_rows_hold_values_with_their_swing_and_the_baseline_comes_first(self):
        made = record(variant("1.5", 1010.0, 6.0), variant("1.0", 1000.0, 5.0, True))
        self.assertEqual(made["columns"], ["variant", "deck pressure difference [Pa]", "inlet imbalance [%]", "status"])
        self.assertEqual(made["rows"][0], ["domain_size 1.0", "1000.0 ± 5.0", "5.0 ± 0.2", "settled"])
        self.assertEqual(made["grid"], "coarse, 124,000 cells")

    # Swings of 5 Pa each: 10 Pa is within them, 11 Pa is not. Shares change by points, not by percent.
    def test_the_answer_tells_a_change_from_the_swing(self):
        made = record(variant("1.0", 1000.0, 5.0, True), variant("1.5", 1010.0, 6.0), variant("0.7", 989.0, 5.0))
        self.assertIn("domain_size 1.5 against domain_size 1.0: deck pressure difference +1.0 % (within the swing), "
                      "inlet imbalance +1.0 points.", made["answer"])
        self.assertIn("domain_size 0.7 against domain_size 1.0: deck pressure difference -1.1 %, ", made["answer"])

    def test_the_answer_names_rows_that_did_not_settle(self):
        made = record(variant("1.0", 1000.0, 5.0, True), variant("1.5", 1010.0, 6.0, status="oscillating"))
        self.assertIn("domain_size 1.5: oscillating", made["answer"])

    def test_a_quantity_that_a_variant_lacks_is_a_dash(self):
        lacking = variant("1.5", 1010.0, 6.0)
        del lacking["quantities"][1]
        self.assertEqual(record(variant("1.0", 1000.0, 5.0, True), lacking)["rows"][1][2], "-")

    def test_failed_or_flagged_variants_are_not_kept(self):
        for bad in ({"status": "failed", "status_reason": "diverged"}, {"is_flagged": True, "flags": ["leaks"]}):
            with self.assertRaisesRegex(sensitivity.Fault, "diverged|leaks"):
                record(variant("1.0", 1000.0, 5.0, True), variant("1.5", 1010.0, 6.0, **bad))

    def test_every_study_that_shows_more_is_there(self):
        for name in sensitivity.SHOWN:
            self.assertTrue((sensitivity.STUDIES / f"{name}.toml").is_file(), name)

    def test_every_quantity_is_in_the_vocabulary(self):
        files = sorted((TOP / "post/quantities").glob("vocabulary*.cpp"))
        text = "".join(path.read_text(encoding="utf-8") for path in files)
        known = set(re.findall(r'QuantitySpec\{\s*"([a-z0-9_]+)"', text))
        for one in sensitivity.JUDGED + sum(sensitivity.SHOWN.values(), []):
            stem = re.sub(r"^(y_plus_[a-z]+)_(cowl|inlet_rings|exit)$", r"\1", one)
            self.assertIn(stem, known)


if __name__ == "__main__":
    unittest.main()
