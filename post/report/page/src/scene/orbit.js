// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where the eye is: on a sphere round the middle, z up. Frame: x aft, y to the pilot's right, z up. Nothing here draws.

const degree = Math.PI / 180;

/// Named eyes: azimuth 0 looks from ahead, 90 from the pilot's left; elevation 90 from above with the front up. [deg]
export const standard_views = [
  { name: "Quarter", azimuth: 35, elevation: 18 },
  { name: "Front", azimuth: 0, elevation: 0 },
  { name: "Left", azimuth: 90, elevation: 0 },
  { name: "Right", azimuth: -90, elevation: 0 },
  { name: "Behind", azimuth: 180, elevation: 0 },
  { name: "Above", azimuth: 180, elevation: 90 },
  { name: "Below", azimuth: 0, elevation: -90 },
];

/// Half of the eye's angle of view. [deg]
export const half_angle = 15;

/// An eye that sees a ball of this extent whole.
export function eyeFor({ centre, radius }) {
  const { azimuth, elevation } = standard_views[0];
  const share = 0.72; // of the ball: a cowl is longer than it is wide, and never fills it
  return { centre, nearest: radius * 0.2, distance: (share * radius) / Math.sin(half_angle * degree), radius, azimuth, elevation };
}

export function turned(eye, azimuth, elevation) {
  return { ...eye, azimuth: (eye.azimuth + azimuth) % 360, elevation: Math.max(-90, Math.min(90, eye.elevation + elevation)) };
}

export function zoomed(eye, factor) {
  return { ...eye, distance: Math.max(eye.nearest, Math.min(20 * eye.radius, eye.distance / factor)) };
}

/// {position, up} of an eye.
export function placed({ centre, distance, azimuth, elevation }) {
  const [a, e] = [azimuth * degree, elevation * degree];
  const ahead = [-Math.cos(a), -Math.sin(a)];
  const outward = [Math.cos(e) * ahead[0], Math.cos(e) * ahead[1], Math.sin(e)];
  return {
    position: centre.map((value, i) => value + distance * outward[i]),
    up: [-Math.sin(e) * ahead[0], -Math.sin(e) * ahead[1], Math.cos(e)],
  };
}
