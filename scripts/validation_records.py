# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads what the validation page is made of; validation_page.py says what the files hold."""
import json
import re

RECORD_FIELDS = {"id", "group", "title", "source", "condition", "unit", "reason", "test", "version", "finished",
                 "points", "curves"}
RUN_FIELDS = {"date", "command", "openfoam", "commit"}
STUDY_FIELDS = {"title", "question", "study", "date", "version", "openfoam", "command", "grid", "columns", "rows",
                "answer"}


class Fault(Exception):
    """Something that cannot be read; the text says where, what and what to do."""


def read_object(path, fields):
    try:
        value = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise Fault(f"{path}: cannot be read: {error}") from error
    if not isinstance(value, dict):
        raise Fault(f"{path}: must be an object")
    if missing := sorted(fields - value.keys()):
        raise Fault(f"{path}: missing {', '.join(missing)}")
    if unknown := sorted(value.keys() - fields):
        raise Fault(f"{path}: unknown {', '.join(unknown)}")
    return value


def read_records(folder):
    paths = sorted(path for path in folder.glob("*.json") if path.name != "run.json")
    if not paths:
        raise Fault(f"{folder}: holds no records. Did the verification tests run, and with "
                    "COWLWRIGHT_VALIDATION_DIR set?")
    return {path.stem: read_object(path, RECORD_FIELDS) for path in paths}


def read_studies(folder):
    if folder is None or not folder.is_dir():
        return []
    studies = []
    for path in sorted(folder.glob("*.json")):
        study = read_object(path, STUDY_FIELDS)
        if not study["rows"]:
            raise Fault(f"{path}: has no rows")
        for number, row in enumerate(study["rows"], 1):
            if len(row) != len(study["columns"]):
                raise Fault(f"{path}: row {number} has {len(row)} cells, must be {len(study['columns'])}")
        studies.append((path.stem, study))
    return studies


def declared_checks(folder):
    """Ids of checks in test sources, id -> file."""
    found = {}
    for path in sorted(folder.rglob("*.cpp")):
        for identifier in re.findall(r'\.id\s*=\s*"([^"]*)"', path.read_text(encoding="utf-8")):
            if identifier in found:
                raise Fault(f"check id {identifier}: in {found[identifier]} and in {path}")
            found[identifier] = path
    if not found:
        raise Fault(f"{folder}: no check there")
    return found
