// A syringe drawn to scale: filled to the mark, and the lines around the mark beside it, large enough to count.
const LINK = "http://www.w3.org/2000/svg";
const WIDE = 340;
const LEFT = 46;
const RIGHT = 282;
const TOP = 22;
const TALL = 30;
const LENS = { left: 14, right: 326, top: 74, tall: 40 };
// More lines than this run together on a phone; the lens shows each of those around the mark.
const MOST_LINES = 50;
const MOST_NUMBERS = 6;
const LENS_LINES = 14;

// `holds`, `mark` and `to` in mL; `unit` "mL", or "units" where the barrel is marked so.
export function syringe({ holds, mark, to, unit = "mL", words }) {
  const place = (ml) => LEFT + (Math.min(ml, holds) / holds) * (RIGHT - LEFT);
  const shown = (ml) => number(unit === "units" ? ml / mark : ml);
  const said = unit === "units" ? `${shown(to)} units` : `${shown(to)} mL`;
  const barrel = { holds, mark, to, place, end: place(to), shown };
  return svg("svg", { viewBox: `0 0 ${WIDE} 172`, class: "syringe", role: "img", "aria-label": words ?? `Syringe of ${number(holds)} mL, drawn up to ${said}` },
    whole(barrel), lens(barrel),
    svg("text", { class: "said", x: WIDE / 2, y: 166 }, said));
}

function whole({ holds, mark, place, end, shown }) {
  return [
    svg("path", { class: "tip", d: `M4 ${TOP + TALL / 2 - 3}h22v-5h${LEFT - 26}v16h${26 - LEFT}v-5h-22z` }),
    svg("rect", { class: "liquid", x: LEFT, y: TOP, width: Math.max(end - LEFT, 1), height: TALL }),
    svg("rect", { class: "plunger", x: end, y: TOP + 2, width: 9, height: TALL - 4 }),
    svg("rect", { class: "rod", x: end + 9, y: TOP + TALL / 2 - 5, width: WIDE - 14 - end - 9, height: 10 }),
    svg("rect", { class: "rod", x: WIDE - 14, y: TOP - 2, width: 8, height: TALL + 4 }),
    svg("rect", { class: "barrel", x: LEFT, y: TOP, width: RIGHT - LEFT, height: TALL }),
    lines(holds, mark).map(({ at, long }) => svg("line", { class: "line", x1: place(at), x2: place(at), y1: TOP, y2: TOP + (long ? 15 : 8) })),
    numbers(holds, mark).map((at) => svg("text", { class: "count", x: place(at), y: TOP - 6 }, shown(at))),
  ];
}

// The stretch of the barrel around the mark: every line, the mark's own bold, the numbers beside it.
function lens({ holds, mark, to, end, shown }) {
  const { left, right, top, tall } = LENS;
  const { from, until } = around(holds, mark, to);
  const place = (ml) => left + 18 + ((ml - from) / (until - from)) * (right - left - 36);
  const long = numberedEvery(Math.round(holds / mark));
  const count = Math.round((until - from) / mark);
  const each = Array.from({ length: count + 1 }, (_, i) => Math.round(from / mark) + i);
  const named = each.filter((one) => one % long === 0 || (long > 5 && one % 5 === 0));
  return [
    svg("path", { class: "beam", d: `M${end - 5} ${TOP + TALL}h10L${right} ${top}H${left}z` }),
    svg("rect", { class: "lens", x: left, y: top, width: right - left, height: tall, rx: 6 }),
    svg("rect", { class: "close-liquid", x: left, y: top, width: place(to) - left, height: tall }),
    each.map((one) => svg("line", { class: "line", x1: place(one * mark), x2: place(one * mark), y1: top, y2: top + (named.includes(one) ? 18 : 10) })),
    svg("line", { class: "bold", x1: place(to), x2: place(to), y1: top, y2: top + tall }),
    named.filter((one) => Math.abs(place(one * mark) - place(to)) > 16).map((one) => svg("text", { class: "close", x: place(one * mark), y: top + tall - 6 }, shown(one * mark))),
    svg("path", { class: "arrow", d: `M${place(to)} ${top + tall}l-8 14h16z` }),
  ];
}

// So many lines with the mark in the middle, as far as the barrel reaches.
export function around(holds, mark, to) {
  const count = Math.round(holds / mark);
  const at = Math.round(to / mark);
  const wide = Math.min(LENS_LINES, count);
  const from = Math.min(Math.max(at - Math.floor(wide / 2), 0), count - wide);
  return { from: from * mark, until: (from + wide) * mark };
}

// The lines of the barrel; where there are too many, every second, fifth or tenth.
export function lines(holds, mark) {
  const count = Math.round(holds / mark);
  const every = [1, 2, 5, 10, 20, 50].find((one) => count / one <= MOST_LINES) ?? 100;
  const long = numberedEvery(count);
  return Array.from({ length: Math.floor(count / every) + 1 }, (_, i) => i * every)
    .map((one) => ({ at: one * mark, long: one % long === 0 }));
}

// The numbered lines: tenths, fifths or halves of the barrel, never more than a phone can show.
export function numbers(holds, mark) {
  const count = Math.round(holds / mark);
  const every = numberedEvery(count);
  return Array.from({ length: Math.floor(count / every) }, (_, i) => (i + 1) * every * mark);
}

function numberedEvery(count) {
  return [1, 2, 5, 10, 20, 25, 50, 100].find((one) => count % one === 0 && count / one <= MOST_NUMBERS) ?? count;
}

// Never a trailing zero, always a leading one: 0.5, not .50.
export function number(value) {
  return String(Number(value.toFixed(3)));
}

function svg(name, given, ...inside) {
  const element = document.createElementNS(LINK, name);
  for (const [key, value] of Object.entries(given)) element.setAttribute(key, value);
  element.append(...inside.flat(2));
  return element;
}
