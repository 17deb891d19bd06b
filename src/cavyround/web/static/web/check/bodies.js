// The outline from above and below, with a numbered spot for each thing that was found.
import { h } from "./dom.js";

const LINK = "http://www.w3.org/2000/svg";

export function bodies(told) {
  const items = told.filter((one) => one.mine).flatMap((one) => one.items).filter((item) => item.number);
  if (!items.length) return null;
  return h("div.bodies", { "aria-hidden": "true" }, ["above", "below"].map((view) => h("figure", {}, body(view, items), h("figcaption", {}, `from ${view}`))));
}

function body(view, items) {
  const drawing = document.querySelector(`#outline-${view}`).content.firstElementChild.cloneNode(true);
  for (const item of items) {
    for (const spot of item.spots.filter((one) => one.view === view)) drawing.append(marked(spot, item));
  }
  return drawing;
}

function marked(spot, item) {
  const group = document.createElementNS(LINK, "g");
  group.setAttribute("class", item.touch.status === "uncertain" ? "spot spot-unsure" : "spot");
  group.setAttribute("transform", `translate(${spot.x} ${spot.y})`);
  const circle = document.createElementNS(LINK, "circle");
  circle.setAttribute("r", "52");
  const text = document.createElementNS(LINK, "text");
  text.setAttribute("text-anchor", "middle");
  text.setAttribute("y", "22");
  text.textContent = item.number;
  group.append(circle, text);
  return group;
}
