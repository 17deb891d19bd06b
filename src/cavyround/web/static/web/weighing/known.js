// What is known of an animal's weight before it is on the scales: the last one, and what is likely now.
import { h } from "../check/dom.js";
import { inGrams, inPounds } from "../check/weighing.js";
import { unit } from "./unit.js";

export function lastLines(animal) {
  const { last_weight: last, expected } = animal;
  return h("p.last-weight", {},
    last ? ["Last: ", h("strong", {}, inGrams(last.grams)), ` on ${last.on}`] : "Not weighed before.",
    expected?.known ? h("span.likely", {}, `Likely: ${band(expected.likely)}`) : "");
}

// "880 to 935 g", or "2 lb 0.1 to 2.7 oz" where these are read on this device.
export function band({ low, high }) {
  if (unit() === "lb") return inPoundsOnce(inPounds(low), inPounds(high));
  return `${Math.round(low).toLocaleString("en-GB")} to ${inGrams(Math.round(high))}`;
}

// The weight to offer the tens about; nothing where no earlier weighing speaks for it.
export function around(animal) {
  if (animal.expected?.known) return animal.expected.likely.mid;
  return animal.last_weight?.grams ?? null;
}

function inPoundsOnce(low, high) {
  const [pounds, same] = [low, high].map((one) => /^\d+ lb /.exec(one)?.[0] ?? "");
  return `${low.replace(" oz", "")} to ${pounds === same ? high.slice(pounds.length) : high}`;
}
