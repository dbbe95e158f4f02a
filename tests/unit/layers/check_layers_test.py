#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Small trees with one breach each, put before scripts/check_layers.py."""

import pathlib
import subprocess
import sys
import tempfile
import unittest

CHECK = pathlib.Path(__file__).resolve().parents[3] / "scripts" / "check_layers.py"
SOUND = {
    "geometry/base/air.h": "#include <string>\n",
    "geometry/base/air.cpp": '#include "geometry/base/air.h"\n#include <fmt/format.h>\n',
    "geometry/shape/mesh_types.h": "#include <CGAL/Surface_mesh.h>\n",
    "geometry/shape/build.cpp": '#include "geometry/shape/mesh_types.h"\n#include "geometry/base/air.h"\n',
    "post/read.cpp": '#include "geometry/base/air.h"\n#include <vtkPolyData.h>\n',
}


def check(extra):
    with tempfile.TemporaryDirectory() as folder:
        for name, text in {**SOUND, **extra}.items():
            file = pathlib.Path(folder, name)
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        run = subprocess.run([sys.executable, CHECK, folder], capture_output=True, text=True, check=False)
        return run.returncode, run.stdout


class CheckLayers(unittest.TestCase):
    def expect_breach(self, extra, *words):
        code, output = check(extra)
        self.assertEqual(code, 1, output)
        self.assertIn("1 breaches", output)
        for word in words:
            self.assertIn(word, output)

    def test_accepts_a_sound_tree(self):
        code, output = check({})
        self.assertEqual(code, 0, output)
        self.assertIn("5 files, 0 breaches", output)

    def test_refuses_an_upward_include(self):
        self.expect_breach(
            {"geometry/base/up.cpp": '\n#include "geometry/shape/mesh.h"\n', "geometry/shape/mesh.h": ""},
            "geometry/base/up.cpp:2", "geometry/base may not include geometry/shape")

    def test_refuses_post_knowing_how_a_case_is_written(self):
        self.expect_breach(
            {"post/peek.cpp": '#include "cases/foam/case.h"\n', "cases/foam/case.h": ""},
            "post may not include cases/foam")

    def test_refuses_a_library_outside_its_folder(self):
        self.expect_breach({"cases/run/x.cpp": "#include <vtkPolyData.h>\n"}, "cases/run/x.cpp:1", "belongs to post only")

    def test_refuses_an_internal_header_in_another_folder(self):
        self.expect_breach(
            {"meshing/x.cpp": '#include "geometry/shape/mesh_types.h"\n'}, "meshing/x.cpp:1", "internal to geometry/shape")

    def test_refuses_a_header_that_passes_an_internal_one_on(self):
        self.expect_breach(
            {"geometry/shape/public.h": '#include "geometry/shape/mesh_types.h"\n',
             "meshing/x.cpp": '#include "geometry/shape/public.h"\n'},
            "geometry/shape/public.h shows third-party types")

    def test_accepts_a_shared_internal_header_where_its_library_is_owned_only(self):
        archive = {"geometry/base/json_archive.h": "#include <nlohmann/json.hpp>\n"}
        include = '#include "geometry/base/json_archive.h"\n'
        self.assertEqual(check({**archive, "post/x.cpp": include})[0], 0)
        self.expect_breach({**archive, "meshing/x.cpp": include}, "meshing/x.cpp:1", "internal to geometry/base")

    def test_refuses_a_path_that_does_not_start_at_the_root(self):
        self.expect_breach({"post/x.cpp": '#include "read.h"\n', "post/read.h": ""}, "post/x.cpp:1", "no file of ours")

    def test_refuses_a_file_in_no_layer(self):
        self.expect_breach({"geometry/new/x.cpp": ""}, "geometry/new/x.cpp:1", "stands in no layer")

    def test_fails_when_it_finds_nothing_to_check(self):
        with tempfile.TemporaryDirectory() as folder:
            self.assertEqual(subprocess.run([sys.executable, CHECK, folder], check=False, capture_output=True).returncode, 1)


if __name__ == "__main__":
    unittest.main()
