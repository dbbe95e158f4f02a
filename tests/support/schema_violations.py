#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Prints "place: what" for every violation of a JSON Schema (draft 2020-12), as Debian's jsonschema finds them.

    tests/support/schema_violations.py SCHEMA DOCUMENT
"""

import json
import sys

import jsonschema


def main(schema_file, document_file):
    with open(schema_file, encoding="utf-8") as file:
        schema = json.load(file)
    with open(document_file, encoding="utf-8") as file:
        document = json.load(file)
    jsonschema.Draft202012Validator.check_schema(schema)
    for error in jsonschema.Draft202012Validator(schema).iter_errors(document):
        place = "".join(f"/{step}" for step in error.absolute_path)
        print(f"{place or '/'}: {error.message}"[:300].replace("\n", " "))
    print("checked")


if __name__ == "__main__":
    main(*sys.argv[1:])
