// SPDX-License-Identifier: GPL-3.0-or-later
//
// What lies under a place of the drawing: the foremost triangle, or a line that passes nearer. Nothing here draws.

import { half_angle, placed } from "./orbit.js";

const degree = Math.PI / 180;
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const less = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const along = (a, b, share) => [a[0] + share * b[0], a[1] + share * b[1], a[2] + share * b[2]];
const unit = (a) => along([0, 0, 0], a, 1 / Math.hypot(...a));
const cornerOf = (points, id) => [points[3 * id], points[3 * id + 1], points[3 * id + 2]];

/// The line of sight through a place of a drawing of this size, counted from its upper left corner:
/// {origin, direction (unit length), pixel (radians)}.
export function rayOf(eye, x, y, width, height) {
  const { position, up } = placed(eye);
  const ahead = unit(less(eye.centre, position));
  const right = cross(ahead, up);
  const slope = Math.tan(half_angle * degree) / (height / 2);
  const direction = along(along(ahead, right, slope * (x - width / 2)), up, slope * (height / 2 - y));
  return { origin: position, direction: unit(direction), pixel: slope };
}

/// Distance along a ray to a triangle and the weights of its corners there; null when it passes by.
/// Source: Moeller and Trumbore, Fast, minimum storage ray-triangle intersection, J. Graphics Tools 2 (1), 1997.
export function hitTriangle({ origin, direction }, [a, b, c]) {
  const [ab, ac] = [less(b, a), less(c, a)];
  const p = cross(direction, ac);
  const determinant = dot(ab, p);
  if (determinant === 0) {
    return null;
  }
  const s = less(origin, a);
  const v = dot(s, p) / determinant;
  if (!(v >= 0 && v <= 1)) {
    return null;
  }
  const q = cross(s, ab);
  const w = dot(direction, q) / determinant;
  const t = dot(ac, q) / determinant;
  return w >= 0 && v + w <= 1 && t > 0 ? { t, weights: [1 - v - w, v, w] } : null;
}

/// Distance along a ray to where a segment passes nearest, the weights of its ends there and the angle between; null behind.
export function passSegment({ origin, direction }, [a, b]) {
  const [ab, s] = [less(b, a), less(origin, a)];
  const [bb, bd, sd, sb] = [dot(ab, ab), dot(ab, direction), dot(s, direction), dot(s, ab)];
  const parallel = bb - bd * bd;
  const share = parallel > 0 ? Math.min(1, Math.max(0, (sb - bd * sd) / parallel)) : 0;
  const place = along(a, ab, share);
  const t = dot(less(place, origin), direction);
  return t > 0 ? { t, weights: [1 - share, share], angle: Math.hypot(...less(place, along(origin, direction, t))) / t } : null;
}

function foremost(ray, piece, nearest) {
  let best = nearest;
  const { points, cells } = piece;
  for (let i = 0; i < cells.length; i += cells[i] + 1) {
    const last = piece.is_lines ? i + cells[i] - 1 : i + 1;
    for (let k = i + 1; k <= last; k += 1) {
      const ids = piece.is_lines ? [cells[k], cells[k + 1]] : [cells[k], cells[k + 1], cells[k + 2]];
      const corners = ids.map((id) => cornerOf(points, id));
      const hit = piece.is_lines ? passSegment(ray, corners) : hitTriangle(ray, corners);
      if (hit && hit.t < best.t && !(hit.angle > 3 * ray.pixel)) {
        best = { ...hit, piece, ids };
      }
    }
  }
  return best;
}

/// {piece, place, values by field id} of what a ray meets first among these pieces; null for nothing.
export function pick(pieces, ray) {
  const best = pieces.reduce((nearest, piece) => foremost(ray, piece, nearest), { t: Infinity });
  if (!best.piece) {
    return null;
  }
  const mean = (valueOf) => best.ids.reduce((sum, id, i) => sum + best.weights[i] * valueOf(id), 0);
  const { piece } = best;
  return {
    piece,
    place: [0, 1, 2].map((k) => mean((id) => piece.points[3 * id + k])),
    values: new Map([...piece.fields].map(([name, values]) => [name, mean((id) => values[id])])),
  };
}
