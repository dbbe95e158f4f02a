#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes the validation page from the records of the verification tests.

    validation_page.py RECORDS PAGE --sources TESTS --sensitivity STUDIES

RECORDS      folder of <check id>.json, written by tests/support/validation.h, and run.json, written by
             scripts/validation: {"date": ..., "command": ..., "openfoam": ..., "commit": ...}
PAGE         the page; its plots go to the folder plots/ beside it
TESTS        folder of the test sources; every `.id = "..."` of a check there must have a record
STUDIES      folder of sensitivity studies, one *.json each. Every field below is needed, no other is read:
               "title":    "Size of the air domain",
               "question": "Does a larger domain change the ranking of the lips?",
               "study":    "cases/studies/domain.toml",       path from the top of the repository
               "date":     "2024-01-31",
               "version":  "0.1.0",                           of cowlwright
               "openfoam": "1912",
               "command":  "cowlwright run cases/studies/domain.toml",
               "grid":     "coarse, 124,000 cells",
               "columns":  ["domain", "deck pressure difference [Pa]", "inlet flow [kg/s]"],
               "rows":     [["6 x 4 x 4 m", "1960 ± 5", "1.21 ± 0.01"], ...]   text or numbers, as many as columns
               "answer":   "What the rows say, in a sentence or two, with their bands in mind."

Exit code 0: page written, every check passed. 1: page written, but a check failed, is unfinished or has no
record (the page says so). 2: records or studies that cannot be read; no page is written.
"""
