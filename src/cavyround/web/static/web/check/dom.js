// Make elements: h("button.act", { onclick }, "words", another). Text only ever goes in as text.
export function h(what, given = {}, ...children) {
  const [tag, ...classes] = what.split(".");
  const element = document.createElement(tag);
  if (classes.length) element.className = classes.join(" ");
  if (tag === "button") element.type = "button";
  for (const [name, value] of Object.entries(given)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "inputMode") element[name] = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== false && child !== ""));
  return element;
}

const LINK = "http://www.w3.org/2000/svg";

export function drawn(path, { box = "0 0 24 24" } = {}) {
  const svg = document.createElementNS(LINK, "svg");
  svg.setAttribute("viewBox", box);
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("class", "drawn");
  const line = document.createElementNS(LINK, "path");
  line.setAttribute("d", path);
  svg.append(line);
  return svg;
}

export const SIGNS = {
  undo: "M9 7H15a5 5 0 0 1 0 10H8M9 7l3-3M9 7l3 3",
  down: "M12 3v12m0 0-5-5m5 5 5-5M4 20h16",
  tick: "M5 13l5 5 9-11",
  mark: "M12 4v16M4 12h16",
  dash: "M6 12h2m3 0h2m3 0h2",
};

export function pressed(on) {
  return { "aria-pressed": on ? "true" : "false" };
}

// A button that can be chosen or not, with the same look everywhere.
export function choice(words, on, onclick, more = {}) {
  return h("button.pick", { onclick, ...pressed(on), ...more }, words);
}
