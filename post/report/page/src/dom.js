// SPDX-License-Identifier: GPL-3.0-or-later
//
// Makes elements. Text always goes in as text, never as markup.

/// An element. `props`: attributes, except on... (listeners) and `dataset`; null and false leave one out.
/// Children: nodes, texts, numbers, arrays of them; null and false are skipped.
export function h(tag, props, ...children) {
  const element = document.createElement(tag);
  for (const [key, value] of Object.entries(props ?? {})) {
    if (value === null || value === undefined || value === false) {
      continue;
    }
    if (key.startsWith("on")) {
      element.addEventListener(key.slice(2), value);
    } else if (key === "dataset") {
      Object.assign(element.dataset, value);
    } else {
      element.setAttribute(key, value === true ? "" : value);
    }
  }
  append(element, children);
  return element;
}

/// Adds children as h() does.
export function append(element, children) {
  for (const child of children.flat(Infinity)) {
    if (child !== null && child !== undefined && child !== false) {
      element.append(child);
    }
  }
}

/// Puts these children in place of what is there.
export function fill(element, ...children) {
  element.replaceChildren();
  append(element, children);
}

let n_ids = 0;

/// An id that no other element of the page has.
export function newId(stem) {
  n_ids += 1;
  return `${stem}-${n_ids}`;
}

/// A labelled list of choices. `options`: [{value, text, group}] in order; groups are kept together.
export function select(label, options, value, onchange) {
  const id = newId("select");
  const control = h("select", { id, onchange: (event) => onchange(event.target.value) });
  let group = null;
  let parent = control;
  for (const option of options) {
    if (option.group && option.group !== group) {
      group = option.group;
      parent = h("optgroup", { label: group });
      control.append(parent);
    }
    parent.append(h("option", { value: option.value, selected: option.value === value }, option.text));
  }
  return h("span", { class: "control" }, h("label", { for: id }, label), control);
}

/// A labelled tick box.
export function checkbox(label, checked, onchange) {
  const id = newId("check");
  return h("span", { class: "control tick" },
    h("input", { id, type: "checkbox", checked, onchange: (event) => onchange(event.target.checked) }),
    h("label", { for: id }, label));
}

/// A table inside a region that scrolls sideways by mouse, touch and keyboard when it is too wide. shape "tall": also up and
/// down, so that its head stays in sight.
export function scrolling(label, children, shape = "") {
  return h("div", { class: `scroll ${shape}`, tabindex: "0", role: "region", "aria-label": label }, children);
}

/// A folded part of the page.
export function folded(title, ...children) {
  return h("details", null, h("summary", null, title), children);
}
