#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads a DXF with an independent library and prints what a test compares, one fact a line.

    read_dxf.py FILE

units N; errors N (of its audit); then for each polyline: curve LAYER closed|open N_POINTS LENGTH LEFT LOW RIGHT HIGH.
"""

import math
import sys

import ezdxf

document = ezdxf.readfile(sys.argv[1])
print("version", document.dxfversion)
print("units", document.units)
print("errors", len(document.audit().errors))
for line in document.modelspace().query("LWPOLYLINE"):
    points = [(x, y) for x, y, *_ in line.get_points()]
    ends = points[1:] + points[:1] if line.closed else points[1:]
    length = sum(math.dist(a, b) for a, b in zip(points, ends))
    xs, ys = zip(*points)
    state = "closed" if line.closed else "open"
    print("curve", line.dxf.layer, state, len(points), length, min(xs), min(ys), max(xs), max(ys))
for text in document.modelspace().query("TEXT"):
    print("text", text.dxf.layer, text.dxf.text)
