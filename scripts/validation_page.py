#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes the validation page from the records of the verification tests.

    validation_page.py make RECORDS PAGE --sources TESTS [--sensitivity STUDIES]
    validation_page.py check PAGE --sources TESTS [--sensitivity STUDIES]

make    writes PAGE, and its plots into the folder plots/ beside it.
check   needs no records and no plotting: holds the page against the sources. Every check there must be on the
        page and every check on the page there; the same for sensitivity studies; every plot must exist; no
        check may be shown as failed.

RECORDS    folder of <check id>.json, written by tests/support/validation.h, and run.json, written by
           scripts/validation: {"date": ..., "command": ..., "openfoam": ..., "commit": ...}
TESTS      folder of the test sources; every `.id = "..."` there is a check
STUDIES    folder of sensitivity studies, one *.json each. Every field below is needed, no other is read:
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

Exit code 0: all well. 1: a check failed, is unfinished or has no record (make still writes the page, which
says so), or the page does not fit the sources. 2: records, studies or sources that cannot be read; no page
is written.
"""
import argparse
import math
import pathlib
import re
import sys

from validation_plots import write_plots
from validation_records import Fault, RUN_FIELDS, declared_checks, read_object, read_records, read_studies

ALL_POINTS_IN_TABLE = 3  # of a check with more, the table shows the one nearest to failing
ROUNDING = 1e-12  # of a value: differences below depend on the compiler and are shown as 0
FAILED = "**FAILED**"


# Judging.

def has_passed(record):
    return bool(record["finished"] and record["points"] and all(point["pass"] for point in record["points"]))


def strain(point):
    """How near to failing: 1 at the edge of a tolerance or bound, more beyond."""
    computed = point["computed"]
    if not point["pass"] or computed is None:
        return math.inf
    if point["kind"] == "near":
        return abs(computed - point["expected"]) / point["tolerance"] if point["tolerance"] else 0.0
    if point["kind"] == "between":
        middle = 0.5 * (point["low"] + point["high"])
        return abs(computed - middle) / (point["high"] - middle)
    bound = point["high"] if point["kind"] == "below" else point["low"]
    return 1.0 - abs(computed - bound) / max(abs(computed), abs(bound))


# Text.

def cell(text):
    return str(text).replace("|", "\\|").replace("\n", " ")


def number(value, digits=6):
    if value is None:
        return "not a number"
    text = f"{value:.{digits}g}"
    if "e" in text:
        mantissa, exponent = text.split("e")
        text = f"{mantissa}e{int(exponent)}"
    return text.replace("-", "−", 1) if text.startswith("-") else text


def with_unit(text, unit):
    return text if unit == "-" else f"{text} {unit}"


def percent_of(part, whole, unit):
    return f" ({number(100.0 * part / whole, 2)} %)" if whole and unit != "%" else ""


def comparison(point, unit):
    """Cells: expected, computed, difference, tolerance, pass."""
    computed, kind = point["computed"], point["kind"]
    verdict = "yes" if point["pass"] else FAILED
    value = with_unit(number(computed), unit)
    if kind == "near":
        expected, tolerance = point["expected"], point["tolerance"]
        difference = "—"
        if computed is not None and expected is not None:
            if abs(computed - expected) < ROUNDING * abs(expected):
                computed = expected
            difference = number(computed - expected, 2) + percent_of(computed - expected, abs(expected), unit)
        return [with_unit(number(expected), unit), value, difference, "± " + number(tolerance, 3), verdict]
    low, high = point["low"], point["high"]
    rule = {"below": f"< {number(high)}", "above": f"> {number(low)}",
            "between": f"{number(low)} to {number(high)}"}[kind]
    edges = [edge for edge in (low, high) if edge is not None]
    difference = "—"
    if computed is not None and edges:
        away = number(min(abs(computed - edge) for edge in edges), 2)
        difference = f"{away} {'inside' if point['pass'] else 'outside'}"
    return [with_unit(rule, unit), value, difference, "band" if kind == "between" else "bound", verdict]


def table(head, rows):
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return lines + ["| " + " | ".join(cell(text) for text in row) + " |" for row in rows] + [""]


def rows_of(record):
    points = record["points"]
    title = f'<a id="{record["id"]}"></a>{record["title"]}'
    if not record["finished"] or not points:
        return [[title + ": broken off", record["source"], "—", "—", "—", "—", FAILED]]
    shown = points
    if len(points) > ALL_POINTS_IN_TABLE:
        shown = [max(points, key=strain)]
        n_failed = sum(not point["pass"] for point in points)
        title += f", {n_failed} of {len(points)} points failed, the worst" if n_failed else \
            f", worst of {len(points)} points"
    rows = []
    for index, point in enumerate(shown):
        name = f": {point['point']}" if point["point"] else ""
        subject = title + name if index == 0 else f"{record['title']}{name}"
        rows.append([subject, record["source"] if index == 0 else "same"] + comparison(point, record["unit"]))
    return rows


def details_of(record):
    unit = "no unit" if record["unit"] == "-" else record["unit"]
    lines = ["<details>", f"<summary>{record['title']}: conditions, tolerance, all points</summary>", "",
             f"- Check `{record['id']}`, test `{record['test']}`, in {unit}.",
             f"- Condition: {record['condition']}",
             f"- Why this tolerance: {record['reason']}", ""]
    rows = [[point["point"] or "—"] + comparison(point, "-") for point in record["points"]]
    lines += table(["point", "expected", "computed", "difference", "tolerance", "pass"], rows)
    return lines + ["</details>", ""]


def group_section(name, records):
    lines = [f"## {name}", ""]
    rows = [row for record in records for row in rows_of(record)]
    lines += table(["check", "source", "expected", "computed", "difference", "tolerance", "pass"], rows)
    for record in records:
        for curve in record["curves"]:
            lines += [f"![{curve['title']}](plots/{curve['file']}.svg)", ""]
    for record in records:
        lines += details_of(record)
    return lines


def study_section(name, study):
    lines = [f'### <a id="sensitivity.{name}"></a>{study["title"]}', "", study["question"], ""]
    lines += table([cell(text) for text in study["columns"]], study["rows"])
    return lines + [study["answer"], "",
                    f"Grid: {study['grid']}. Study file [{study['study']}](../../{study['study']}), "
                    f"{study['date']}, cowlwright {study['version']}, OpenFOAM {study['openfoam']}, "
                    f"`{study['command']}`.", ""]


def page_text(records, missing, run, studies):
    ordered = sorted(records.values(), key=lambda record: record["id"])
    groups = {}
    for record in ordered:
        groups.setdefault(record["group"], []).append(record)
    versions = ", ".join(sorted({record["version"] for record in ordered}))
    failed = [record for record in ordered if not has_passed(record)]
    n_points = sum(len(record["points"]) for record in ordered)
    lines = ["# Validation", "",
             "What cowlwright computes, held against numbers from outside it: published measurements, handbooks, exact",
             "solutions, and laws that must hold. Made by `scripts/validation` from what the verification tests "
             "computed; no number", "here is typed by hand.", "",
             f"cowlwright {versions} at commit {run['commit']}, OpenFOAM {run['openfoam']}, {run['date']}, command "
             f"`{run['command']}`.", "",
             "> **These are estimates, not approvals.** A check that passes says that the method gives that number in",
             "> that simple case, within that tolerance. It does not say how far a computed cowl may be off. Instrument",
             "> and flight-test; the engine maker's limits, local codes and licensed people decide.", "",
             "Difference: computed less expected, in the same unit and in per cent of the expected value; of a bound, the",
             "distance to it. Of a check with many points the tables show the one nearest to its limit; all points, the",
             "conditions and the reason of each tolerance are in the folded parts below the tables.", "",
             f"{len(ordered) + len(missing)} checks with {n_points} points: "
             f"{len(ordered) - len(failed)} passed, {len(failed) + len(missing)} failed.", ""]
    if failed or missing:
        lines += ["## Failed", ""]
        lines += [f'- {FAILED}: <a id="{name}"></a>`{name}` has no record: its test did not run to the end'
                  for name in missing]
        lines += [f"- {FAILED}: `{record['id']}`, {record['title']}" for record in failed] + [""]
    summary = []
    for name, members in sorted(groups.items()):
        n_failed = sum(not has_passed(record) for record in members)
        link = re.sub(r"[^a-z0-9 -]", "", name.lower()).replace(" ", "-")
        summary.append([f"[{name}](#{link})", len(members), sum(len(record["points"]) for record in members),
                        FAILED + f": {n_failed}" if n_failed else "all"])
    lines += table(["subject", "checks", "points", "passed"], summary)
    for name, members in sorted(groups.items()):
        lines += group_section(name, members)
    if studies:
        lines += ["## Sensitivity studies", "",
                  "What changes in a study of a whole cowl when a choice is changed that is not the cowl's.", ""]
        for name, study in studies:
            lines += study_section(name, study)
    return "\n".join(lines).rstrip() + "\n"


# Commands.

def make(arguments):
    records = read_records(arguments.records)
    run = read_object(arguments.records / "run.json", RUN_FIELDS)
    studies = read_studies(arguments.sensitivity)
    declared = declared_checks(arguments.sources)
    missing = sorted(declared.keys() - records.keys())
    if strangers := sorted(records.keys() - declared.keys()):
        raise Fault(f"records without a check in {arguments.sources}: {', '.join(strangers)}. An id must be a "
                    "literal, and the folder of records empty before the run")
    if renamed := sorted(name for name, record in records.items() if record["id"] != name):
        raise Fault(f"records whose id is not the file's name: {', '.join(renamed)}")
    write_plots(records, arguments.page.parent / "plots")
    arguments.page.write_text(page_text(records, missing, run, studies), encoding="utf-8")
    failed = missing + sorted(name for name, record in records.items() if not has_passed(record))
    for name in failed:
        print(f"{name}: {'no record: its test did not run to the end' if name in missing else 'FAILED'}",
              file=sys.stderr)
    print(f"{arguments.page}: {len(records)} checks recorded, {len(failed)} failed or missing")
    return 1 if failed else 0


def check(arguments):
    try:
        text = arguments.page.read_text(encoding="utf-8")
    except OSError as error:
        raise Fault(f"{arguments.page}: cannot be read: {error}") from error
    shown = set(re.findall(r'<a id="([^"]+)">', text))
    wanted = set(declared_checks(arguments.sources))
    wanted |= {f"sensitivity.{name}" for name, _ in read_studies(arguments.sensitivity)}
    faults = [f"{name}: not on the page" for name in sorted(wanted - shown)]
    faults += [f"{name}: on the page, but in no test and no study" for name in sorted(shown - wanted)]
    faults += [f"{plot}: linked by the page, but not there" for plot in re.findall(r"\]\((plots/[^)]+)\)", text)
               if not (arguments.page.parent / plot).is_file()]
    if FAILED in text:
        faults.append("the page shows a failed check")
    for fault in faults:
        print(fault, file=sys.stderr)
    if faults:
        print(f"{arguments.page}: out of date. Run scripts/validation", file=sys.stderr)
    return 1 if faults else 0


def main(words):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(required=True)
    for name, action in (("make", make), ("check", check)):
        command = commands.add_parser(name)
        if name == "make":
            command.add_argument("records", type=pathlib.Path)
        command.add_argument("page", type=pathlib.Path)
        command.add_argument("--sources", type=pathlib.Path, required=True)
        command.add_argument("--sensitivity", type=pathlib.Path)
        command.set_defaults(action=action)
    arguments = parser.parse_args(words)
    try:
        return arguments.action(arguments)
    except Fault as fault:
        print(f"validation_page.py: {fault}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
