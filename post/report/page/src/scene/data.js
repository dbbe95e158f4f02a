// SPDX-License-Identifier: GPL-3.0-or-later
//
// Scenes as they are kept in the page, unpacked into arrays. Nothing here draws.

const element_types = { uint16: Uint16Array, uint32: Uint32Array };

/// base64 of a zlib stream -> bytes.
async function inflated(base64) {
  const packed = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Response(stream).arrayBuffer();
}

/// A copy, because an array's start need not be a multiple of its element's size.
function arrayAt(bytes, type, offset, length) {
  const Type = element_types[type];
  const end = offset + length * Type.BYTES_PER_ELEMENT;
  if (!Type || end > bytes.byteLength) {
    throw new Error(`the scene's data end at byte ${bytes.byteLength}, before the array at ${offset}`);
  }
  return new Type(bytes.slice(offset, end));
}

function positions(bytes, { n_points, points }) {
  const steps = arrayAt(bytes, points.type, points.offset, 3 * n_points);
  return Float32Array.from(steps, (step, i) => points.min[i % 3] + (step / 65535) * (points.max[i % 3] - points.min[i % 3]));
}

/// n, i0, ... of each cell.
function cellList(bytes, { cell_kind, cells }) {
  const stored = arrayAt(bytes, cells.type, cells.offset, cells.count);
  if (cell_kind === "lines") {
    return Uint32Array.from(stored);
  }
  const list = new Uint32Array((stored.length / 3) * 4);
  for (let i = 0, at = 0; i < stored.length; i += 3, at += 4) {
    list.set([3, stored[i], stored[i + 1], stored[i + 2]], at);
  }
  return list;
}

function values(bytes, field, n_points) {
  const steps = arrayAt(bytes, field.type, field.offset, n_points);
  return Float32Array.from(steps, (step) => field.min + (step / 65535) * (field.max - field.min));
}

function pieceOf(bytes, piece) {
  return {
    id: piece.id, title: piece.title, kind: piece.kind, is_lines: piece.cell_kind === "lines",
    points: positions(bytes, piece), cells: cellList(bytes, piece),
    fields: new Map(piece.fields.map((field) => [field.id, values(bytes, field, piece.n_points)])),
  };
}

/// The pieces of a scene. scene: {header, data}.
export async function unpack({ header, data }) {
  if (typeof DecompressionStream === "undefined") {
    throw new Error("this browser cannot unpack the scene (no DecompressionStream); a newer one can");
  }
  const bytes = await inflated(data);
  return header.pieces.map((piece) => pieceOf(bytes, piece));
}

/// Every field of these scenes, once: {id, title, unit}.
export function fieldsOf(headers) {
  const known = new Map();
  headers.forEach((header) => header.pieces.forEach((piece) => piece.fields.forEach((field) => {
    known.set(field.id, known.get(field.id) ?? { id: field.id, title: field.title, unit: field.unit });
  })));
  return [...known.values()];
}

/// What the colours span: from the lowest to the highest of the pieces' 1 % and 99 % quantiles, so that a few cells do not
/// take all colours to themselves. Null when no piece has the field.
export function colourRange(pieces, field) {
  const ends = pieces.filter((piece) => piece.fields.has(field)).map((piece) => {
    const all = piece.fields.get(field);
    const step = Math.max(1, Math.floor(all.length / 5000));
    const sample = all.filter((_, i) => i % step === 0).sort();
    return [sample[Math.floor(0.01 * (sample.length - 1))], sample[Math.ceil(0.99 * (sample.length - 1))]];
  });
  if (ends.length === 0) {
    return null;
  }
  const [low, high] = [Math.min(...ends.map((end) => end[0])), Math.max(...ends.map((end) => end[1]))];
  return high > low ? [low, high] : [low - 0.5, low + 0.5];
}

/// Box round pieces: {centre, radius}; round the surfaces alone when there are any.
export function extent(pieces) {
  const surfaces = pieces.filter((piece) => piece.kind === "surface");
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const { points } of surfaces.length > 0 ? surfaces : pieces) {
    for (let i = 0; i < points.length; i += 1) {
      low[i % 3] = Math.min(low[i % 3], points[i]);
      high[i % 3] = Math.max(high[i % 3], points[i]);
    }
  }
  const centre = low.map((value, i) => (value + high[i]) / 2);
  return { centre, radius: Math.hypot(...low.map((value, i) => high[i] - value)) / 2 || 1 };
}
