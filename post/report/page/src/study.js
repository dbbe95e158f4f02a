// SPDX-License-Identifier: GPL-3.0-or-later
//
// The study as it was put into the page, and how to find things in it.

function embedded(id) {
  const text = document.getElementById(id)?.textContent.trim() ?? "";
  return text === "" ? null : JSON.parse(text);
}

/// What the page shows: results, envelope ({map, trouble} or null), pictures, page, and scenes() which is read when it is first asked for.
export function readStudy() {
  let scenes = null;
  const results = embedded("results") ?? {};
  return {
    results: { variants: [], cautions: [], notes: [], varied: [], ...results },
    envelope: embedded("envelope"),
    pictures: embedded("pictures") ?? [],
    page: embedded("page") ?? {},
    scenes: () => (scenes ??= embedded("scenes") ?? []),
  };
}

/// A variant gave numbers.
export function isUsable(variant) {
  return variant.quantities.length > 0;
}

/// Its numbers may be read as they stand.
export function isSound(variant) {
  return isUsable(variant) && !variant.is_flagged && variant.status !== "not settled";
}

/// What to say of a variant whose numbers may not be read as they stand; "" when they may.
export function doubt(variant) {
  const words = [];
  if (variant.status !== "settled") {
    words.push(variant.status);
  }
  if (variant.is_flagged && variant.status !== "failed") {
    words.push("flagged");
  }
  return words.join(", ");
}

/// {variant, index} of all that gave numbers.
export function usableVariants(results) {
  return results.variants.map((variant, index) => ({ variant, index })).filter(({ variant }) => isUsable(variant));
}

/// A quantity of a variant with its JSON pointer, or null.
export function findQuantity(results, index, id) {
  const position = results.variants[index].quantities.findIndex((quantity) => quantity.id === id);
  if (position < 0) {
    return null;
  }
  return { quantity: results.variants[index].quantities[position], path: `/variants/${index}/quantities/${position}` };
}

/// Every quantity that some variant has, once, in the results' order.
export function allQuantities(results) {
  const order = [];
  for (const variant of results.variants) {
    let place = 0;
    for (const quantity of variant.quantities) {
      const known = order.findIndex((other) => other.id === quantity.id);
      if (known < 0) {
        order.splice(place, 0, quantity);
        place += 1;
      } else {
        place = known + 1;
      }
    }
  }
  return order;
}

/// The heading of a quantity, or null when no variant has it.
export function heading(results, id) {
  return allQuantities(results).find((quantity) => quantity.id === id) ?? null;
}

/// "exit lip angle 30 deg; …", or the variant's name.
export function variedText(results, variant) {
  const values = variant.varied_values ?? [];
  if (values.length === 0) {
    return variant.name;
  }
  return values
    .map((value) => {
      const label = results.varied.find((varied) => varied.key === value.key)?.label ?? value.key;
      return `${label} ${value.text}`;
    })
    .join("; ");
}

/// The shortest name that tells the variants apart: what was varied, else its name.
export function shortName(results, variant) {
  const values = variant.varied_values ?? [];
  const text = values.map((value) => value.text).join(", ");
  const alike = results.variants.filter((other) => (other.varied_values ?? []).map((value) => value.text).join(", ") === text);
  return text === "" || alike.length > 1 ? variant.name : text;
}
