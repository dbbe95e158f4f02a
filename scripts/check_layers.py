#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The layer rule of DEVELOPERS.md as a check over every #include.

    scripts/check_layers.py [repository]

1. A folder includes itself and what stands below it; `post` includes geometry/base only.
2. Third-party libraries stay in the folders that own them.
3. A header that includes a third-party library is internal to its folder, and so is a header that includes such a one;
   but for those in SHARED, which whoever owns their library may use.
4. Includes of our own are written from the repository root.
Prints "file:line: rule" for each breach and ends with 1 when there is one.
"""

import pathlib
import re
import sys

# Folder -> what it may include besides itself. A file belongs to the longest folder name that fits its path.
BELOW = {
    "geometry/base": [],
    "geometry/shape": ["geometry/base"],
    "geometry/imported": ["geometry/base", "geometry/shape"],
    "geometry/templates": ["geometry/base", "geometry/shape"],
    "geometry/mold": ["geometry/base", "geometry/shape", "geometry/imported"],
    "meshing": ["geometry/base", "geometry/shape"],
    "cases/flight": ["geometry/base"],
    "cases/propeller": ["geometry/base"],
    "cases/core": ["geometry/base"],
    "cases/readings": ["geometry/base", "cases/flight", "cases/core"],
    "cases/temperature": ["geometry/base"],
    # cases/network reads its section for the study and speaks of the whole study: includes run both ways, libraries do not.
    "cases/network": ["geometry/base", "geometry/shape", "cases/flight", "cases/propeller", "cases/core", "cases/readings", "cases"],
    "cases/envelope": ["geometry/base", "cases/flight", "cases/core", "cases/readings", "cases/temperature", "cases/network", "cases"],
    # cases itself holds the study reader, which the case writer uses; foam and run stand above it.
    "cases": ["geometry/base", "geometry/shape", "geometry/imported", "meshing", "cases/flight", "cases/propeller", "cases/core",
              "cases/network", "cases/readings", "cases/temperature"],
    "cases/compare": ["geometry/base", "geometry/shape", "meshing", "cases/flight", "cases/propeller", "cases/core",
                      "cases/temperature", "cases", "cases/network", "cases/envelope"],
    "cases/foam": ["geometry/base", "geometry/shape", "meshing", "cases/flight", "cases/propeller", "cases/core", "cases/network", "cases"],
    "cases/run": ["geometry/base", "meshing", "cases/foam", "cases"],
    "cases/cluster": ["geometry/base", "cases/run"],
    "cases/watch": ["geometry/base", "cases/foam", "cases/run", "cases/cluster"],
    "cases/keep": ["geometry/base", "cases/run"],
    "cases/verbs": ["geometry/base", "geometry/shape", "geometry/imported", "geometry/templates", "geometry/mold",
                    "meshing", "cases/flight", "cases/propeller", "cases/core", "cases/readings", "cases/temperature",
                    "cases", "cases/network", "cases/envelope", "cases/compare", "cases/foam", "cases/run", "cases/cluster",
                    "cases/watch", "cases/keep", "post/quantities",
                    "post/tables"],
    # Vocabulary, comparison and tables: without VTK, so that the verbs may print estimates with them.
    "post/trust": ["geometry/base"],
    "post/quantities": ["geometry/base", "post", "post/trust"],
    "post/tables": ["geometry/base", "post", "post/quantities", "post/trust"],
    "post": ["geometry/base", "post/quantities", "post/tables", "post/trust"],
}
# The programs' main files may use what their verbs may.
ENTRY_POINTS = {"cases/main.cpp": "cases/verbs"}

# Third-party library, by the start of its include -> folders that may use it in .cpp files.
THIRD_PARTY = {
    "CGAL/": ["geometry/shape", "geometry/imported"],
    "STEPControl_": ["geometry/imported"],
    "BRep": ["geometry/imported"],
    "vtk": ["post"],
    "X11/": ["post"],
    "toml++/": ["geometry/base"],
    "openssl/": ["geometry/base"],
    "zlib.h": ["cases/keep", "geometry/base", "post"],
    "nlohmann/": ["geometry/base", "geometry/mold", "cases/compare", "cases/envelope", "cases/run", "cases/verbs", "cases/watch", "post",
                  "post/tables"],
    "boost/process": ["post"],
    "boost/program_options": ["cases/verbs", "post"],
    "boost/geometry": ["geometry/templates"],
    "archive": ["cases/keep"],
    "cairo": ["geometry/templates", "geometry/mold"],
    "fmt/": list(BELOW),
}

# Header with a third-party type -> the start of the library's include.
SHARED = {"geometry/base/json_archive.h": "nlohmann/"}

INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]')
ROOTS = ["geometry", "meshing", "cases", "post"]


def folder_of(path):
    """The layer a file belongs to; None for a file outside all layers."""
    if path in ENTRY_POINTS:
        return ENTRY_POINTS[path]
    fits = [folder for folder in BELOW if path.startswith(folder + "/")]
    return max(fits, key=len) if fits else None


def third_party_of(name):
    fits = [start for start in THIRD_PARTY if name.startswith(start)]
    return fits[0] if fits else None


def read_includes(root):
    """Path -> list of (line number, is quoted, included name)."""
    includes = {}
    for top in ROOTS:
        for file in sorted((root / top).rglob("*")):
            if file.suffix not in (".h", ".cpp"):
                continue
            found = []
            for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
                match = INCLUDE.match(line)
                if match:
                    found.append((number, match[1] == '"', match[2]))
            includes[file.relative_to(root).as_posix()] = found
    return includes


def internal_headers(includes):
    """Headers with a third-party include, directly or through another such header of their folder."""
    internal = {
        path
        for path, found in includes.items()
        if path.endswith(".h") and any(not quoted and third_party_of(name) for _, quoted, name in found)
    }
    while True:
        more = {
            path
            for path, found in includes.items()
            if path.endswith(".h") and path not in internal and any(quoted and name in internal for _, quoted, name in found)
        }
        if not more:
            return internal
        internal |= more


def breaches_of(path, found, internal, known):
    folder = folder_of(path)
    if folder is None:
        yield f"{path}:1: stands in no layer. Add its folder to BELOW in scripts/check_layers.py and to DEVELOPERS.md."
        return
    for number, quoted, name in found:
        where = f"{path}:{number}"
        library = None if quoted else third_party_of(name)
        if library and folder not in THIRD_PARTY[library]:
            yield f"{where}: {name} belongs to {', '.join(THIRD_PARTY[library])} only, not to {folder}."
        if not quoted:
            continue
        if name not in known:
            yield f'{where}: "{name}" is no file of ours, seen from the repository root.'
            continue
        target = folder_of(name)
        if target != folder and target not in BELOW[folder]:
            yield f"{where}: {folder} may not include {target} ({name}); it may include: {', '.join(BELOW[folder]) or 'nothing'}."
        is_shared = name in SHARED and folder in THIRD_PARTY[SHARED[name]]
        if name in internal and target != folder and not is_shared:
            yield f"{where}: {name} shows third-party types and is internal to {target}."


def main():
    root = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else pathlib.Path(__file__).resolve().parent.parent)
    includes = read_includes(root)
    internal = internal_headers(includes)
    breaches = [b for path, found in includes.items() for b in breaches_of(path, found, internal, includes)]
    for breach in breaches:
        print(breach)
    print(f"{len(includes)} files, {len(breaches)} breaches of the layer rule")
    return 1 if breaches or not includes else 0


if __name__ == "__main__":
    sys.exit(main())
