// SPDX-License-Identifier: GPL-3.0-or-later
//
// Units, number texts and 3-D geometry of the report page, without a browser.

import assert from "node:assert/strict";
import test from "node:test";

import { fixed, fixedUp, numberText } from "../../post/report/page/src/numbers.js";
import { colourRange, extent } from "../../post/report/page/src/scene/data.js";
import { eyeFor, half_angle, placed, standard_views, turned, zoomed } from "../../post/report/page/src/scene/orbit.js";
import { hitTriangle, passSegment, pick, rayOf } from "../../post/report/page/src/scene/pick.js";
import { convert, decimalsIn, stations, unitText } from "../../post/report/page/src/units.js";

// Source: NIST SP 811 (2008) app. B.8, "to convert from ... to ... multiply by", all digits printed there. The table gives SI per
// customary unit with 7 digits: half a unit of its last digit is 5e-7 relative for a leading 1.
const printed_factors = [
  ["inH2O", "Pa", 2.490889e2], ["inHg", "hPa", 3.386389e1], ["lb/min", "kg/s", 7.559873e-3], ["lbf", "N", 4.448222], ["ft lbf", "N m", 1.355818],
  ["hp", "kW", 7.456999e-1], ["in2", "cm2", 6.4516], ["ft2", "m2", 9.290304e-2], ["in", "mm", 25.4], ["ft", "m", 0.3048], ["kt", "m/s", 5.144444e-1],
  ["lb/ft3", "kg/m3", 1.601846e1],
];

for (const [shown, stored, factor] of printed_factors) {
  test(`one ${shown} is ${factor} ${stored}, as NIST prints it`, () => {
    const one = convert("practical", stored, factor);
    assert.ok(Math.abs(one - 1) < 5e-7, `${factor} ${stored} became ${one} ${shown}`);
  });
}

test("temperatures move by their zero, differences do not", () => {
  assert.ok(Math.abs(convert("practical", "degC", 100) - 212) < 1e-12);
  assert.ok(Math.abs(convert("practical", "degC", -40) + 40) < 1e-12);
  assert.ok(Math.abs(convert("practical", "degC", 100, true) - 180) < 1e-12);
  assert.ok(Math.abs(convert("practical", "K", 10) - 18) < 1e-12);
});

test("SI units and units without a practical one stay as they are", () => {
  assert.equal(convert("si", "Pa", 123.4), 123.4);
  assert.equal(convert("practical", "%", 12.5), 12.5);
  assert.equal(convert("practical", "inH2O", 7.93), 7.93);
});

test("practical units print at least nearly the resolution of the stored ones, never ten times more", () => {
  for (const [shown, stored, factor] of printed_factors) {
    const places = decimalsIn("practical", stored, 3);
    const resolution = 10 ** -places * factor; // in the stored unit
    assert.ok(resolution < 0.001 * 3.2 && resolution > 0.001 / 3.2, `${shown}: ${resolution} ${stored} per last digit for 0.001`);
  }
});

test("units are spelled for people", () => {
  assert.equal(unitText("degC"), "°C");
  assert.equal(unitText("-"), "");
  assert.equal(unitText("kg/s"), "kg/s");
});

test("a negative zero loses its sign", () => {
  assert.equal(fixed(-0.04, 1), "0.0");
  assert.equal(fixed(-0.06, 1), "-0.1");
});

test("bands are rounded up, except for what is rounding itself", () => {
  assert.equal(fixedUp(9.2414, 1), "9.3");
  assert.equal(fixedUp(0.0001, 2), "0.01");
  assert.equal(fixedUp(0, 2), "0.00");
  assert.equal(fixedUp(10.0 + 1e-9, 1), "10.0");
});

test("a difference carries its sign, zero included", () => {
  assert.equal(numberText({ value: 12.34, unit: "Pa", decimals: 1, kind: "difference", signed: true }), "+12.3");
  assert.equal(numberText({ value: -12.34, unit: "Pa", decimals: 1, kind: "difference", signed: true }), "\u221212.3");
  assert.equal(numberText({ value: -0.01, unit: "Pa", decimals: 1, kind: "difference", signed: true }), "+0.0");
});

test("stations: aft, right and up are positive; the butt line names its side", () => {
  assert.deepEqual(stations("practical", [0.254, -0.508, 0.0254]).map((one) => one.text), ["10.0 in", "20.0 in left", "1.0 in"]);
  assert.deepEqual(stations("practical", [-0.254, 0.508, -0.0254]).map((one) => one.text), ["\u221210.0 in", "20.0 in right", "\u22121.0 in"]);
  assert.deepEqual(stations("si", [0.1234, -0.5, 0]).map((one) => one.text), ["0.123 m", "\u22120.500 m", "0.000 m"]);
});

function near(actual, expected, tolerance = 1e-12) {
  actual.forEach((value, i) => assert.ok(Math.abs(value - expected[i]) < tolerance, `${actual} is not ${expected}`));
}

test("the eye of each standard view stands where its name says", () => {
  const eye = (name) => placed({ centre: [0, 0, 0], distance: 1, ...standard_views.find((view) => view.name === name) });
  near(eye("Front").position, [-1, 0, 0]); // x points aft
  near(eye("Behind").position, [1, 0, 0]);
  near(eye("Left").position, [0, -1, 0]); // y points to the pilot's right
  near(eye("Right").position, [0, 1, 0]);
  near(eye("Above").position, [0, 0, 1]);
  near(eye("Above").up, [-1, 0, 0]); // front up
  near(eye("Below").position, [0, 0, -1]);
  near(eye("Front").up, [0, 0, 1]);
});

test("turning never goes over the pole and zooming never through the middle", () => {
  const eye = eyeFor({ centre: [0, 0, 0], radius: 1 });
  assert.equal(turned(eye, 0, 500).elevation, 90);
  assert.equal(turned(eye, 0, -500).elevation, -90);
  assert.ok(zoomed(eye, 1e9).distance > 0);
  assert.ok(zoomed(eye, 2).distance < eye.distance);
});

test("the line of sight through the middle goes to the centre, through the edge at half the angle of view", () => {
  const eye = { ...eyeFor({ centre: [1, 2, 3], radius: 1 }), azimuth: 0, elevation: 0 };
  const middle = rayOf(eye, 300, 200, 600, 400);
  near(middle.direction, [1, 0, 0]);
  const top = rayOf(eye, 300, 0, 600, 400);
  assert.ok(Math.abs(Math.acos(top.direction[0]) - (half_angle * Math.PI) / 180) < 1e-12);
  assert.ok(top.direction[2] > 0);
  assert.ok(rayOf(eye, 600, 200, 600, 400).direction[1] < 0); // from ahead the pilot's left is on the right
});

test("a ray meets a triangle where hand calculation puts it, and passes by outside", () => {
  const triangle = [[0, 0, 0], [1, 0, 0], [0, 1, 0]];
  const hit = hitTriangle({ origin: [0.25, 0.5, 2], direction: [0, 0, -1] }, triangle);
  assert.equal(hit.t, 2);
  near(hit.weights, [0.25, 0.25, 0.5]);
  assert.equal(hitTriangle({ origin: [0.75, 0.5, 2], direction: [0, 0, -1] }, triangle), null);
  assert.equal(hitTriangle({ origin: [0.25, 0.5, -2], direction: [0, 0, -1] }, triangle), null); // behind the eye
  assert.equal(hitTriangle({ origin: [0.25, 0.5, 2], direction: [1, 0, 0] }, triangle), null); // parallel
});

test("a ray passes a segment at its nearest place", () => {
  const passed = passSegment({ origin: [0.25, 0.1, 10], direction: [0, 0, -1] }, [[0, 0, 0], [1, 0, 0]]);
  near(passed.weights, [0.75, 0.25]);
  assert.ok(Math.abs(passed.angle - 0.01) < 1e-12);
});

function square(z, value) {
  return {
    id: `at ${z}`, is_lines: false, points: Float32Array.from([-1, -1, z, 1, -1, z, 1, 1, z, -1, 1, z]), cells: Uint32Array.from([3, 0, 1, 2, 3, 0, 2, 3]),
    fields: new Map([["cp", Float32Array.from([value, value + 2, value + 2, value])]]), kind: "surface",
  };
}

test("picking reads the foremost surface, linear between its points", () => {
  const ray = { origin: [0.5, 0.25, 5], direction: [0, 0, -1], pixel: 0.001 };
  const found = pick([square(0, 10), square(1, 20)], ray);
  assert.equal(found.piece.id, "at 1");
  near(found.place, [0.5, 0.25, 1]);
  assert.ok(Math.abs(found.values.get("cp") - 21.5) < 1e-6); // 20 at x = -1, 22 at x = 1
  assert.equal(pick([square(0, 10)], { ...ray, origin: [3, 0, 5] }), null);
});

test("picking takes a line within three pixels and not beyond", () => {
  const line = { id: "line", is_lines: true, points: Float32Array.from([-1, 0, 0, 0, 0, 0, 1, 0, 0]), cells: Uint32Array.from([3, 0, 1, 2]), fields: new Map([["cp", Float32Array.from([0, 1, 4])]]), kind: "streamlines" };
  const ray = { origin: [0.5, 0.02, 10], direction: [0, 0, -1], pixel: 0.001 };
  assert.ok(Math.abs(pick([line], ray).values.get("cp") - 2.5) < 1e-6);
  assert.equal(pick([line], { ...ray, origin: [0.5, 0.04, 10] }), null);
});

test("the colours span the pieces' quantiles, not a few wild cells", () => {
  const values = Float32Array.from({ length: 1000 }, (_, i) => (i === 0 ? -1e6 : i / 1000));
  const [low, high] = colourRange([{ fields: new Map([["cp", values]]) }, { fields: new Map() }], "cp");
  assert.ok(low > -1 && low < 0.02 && high > 0.98 && high <= 1, `${low} to ${high}`);
  assert.equal(colourRange([{ fields: new Map() }], "cp"), null);
});

test("the box is that of the surfaces when there are any", () => {
  const box = extent([square(0, 1), { kind: "slice", points: Float32Array.from([100, 0, 0]) }]);
  near(box.centre, [0, 0, 0]);
  assert.ok(Math.abs(box.radius - Math.SQRT2) < 1e-6);
});
