// "Try a scale": what its bytes say and what comes of them, and a known weight against its number.
import { h } from "../check/dom.js";
import { attached } from "./attached.js";
import { scaleBar } from "./bar.js";
import { inWords, whole, whyNot } from "./saying.js";
import { nowTried } from "./tried.js";

const SHOWN = 10;
const REDRAW_MS = 250;
const settings = JSON.parse(document.querySelector("#scale-settings").textContent);
const part = (name) => document.querySelector(`[data-part="${name}"]`);
const known = document.querySelector("#scale-known");
const said = document.querySelector("#known-said");

const bar = scaleBar({
  settings, subject: "a trial",
  onSettled: ({ grams, plusMinus, readings, source }) => {
    said.textContent = `${whole(grams)} ± ${whole(plusMinus)} from ${readings} readings (${source}). Here nothing is kept of it.`;
  },
});
document.querySelector("#scale-trial").append(bar.part);

const why = whyNot(attached.offered);
part("here").replaceChildren(h("strong", {}, "Here: "), why
  || `yes. This page may ask for a scale by ${attached.offered.map((way) => way.words).join(", ")}.`);

// What each packet comes to, the newest on top; a few times a second, for nobody reads faster.
let drawn = 0;
attached.hear(() => {
  if (!attached.packets.length || performance.now() - drawn < REDRAW_MS) return;
  drawn = performance.now();
  part("none").hidden = true;
  part("sent").hidden = false;
  part("sent").querySelector("tbody").replaceChildren(...attached.packets.slice(0, SHOWN).map((one) => h("tr", {},
    h("td.number", {}, one.at.toLocaleTimeString("en-GB")), h("td", {}, meaning(one)), h("td", {}, h("code.number", {}, one.bytes)))));
});

function meaning({ reading, why: refused, said: words }) {
  if (refused) return h("span.fault", {}, refused);
  if (!reading) return words;
  if (reading.grams === null) return `too much on the pan (${reading.shown})`;
  const steady = { true: ", steady", false: ", moving", null: "" }[reading.stable];
  const grams = reading.grams.toLocaleString("en-GB", { maximumFractionDigits: 1 });
  const step = reading.step.toLocaleString("en-GB", { maximumFractionDigits: 2 });
  const own = reading.unit === "g" ? "" : `${reading.shown} = `;
  return `${own}${grams} g in steps of ${step} g${steady}${reading.stamp ? `, weighed ${reading.stamp} by its own clock` : ""}`;
}

known.addEventListener("submit", (event) => {
  event.preventDefault();
  const field = known.querySelector("input");
  const text = field.value.trim().replace(/\s*g$/i, "").replace(",", ".");
  const grams = /^\d+(\.\d+)?$/.test(text) ? Number(text) : 0;
  field.toggleAttribute("aria-invalid", false);
  if (grams <= 0) {
    field.setAttribute("aria-invalid", "true");
    said.textContent = `“${field.value}” is no weight. Type the grams in digits, for example 500.`;
    return;
  }
  said.textContent = compared(grams);
});

function compared(grams) {
  const settled = attached.settling?.settled;
  if (!settled) return "Nothing has settled yet. Connect a scale, let it stand empty, put the known weight on and wait for “Settled”.";
  const apart = settled.exact - grams;
  const may = Math.max(settled.plusMinus, (settings.within_pct / 100) * grams);
  const read = `The scale reads ${inWords(settled)}; it should be ${whole(grams)}.`;
  if (Math.abs(apart) > may) {
    return `${read} That is ${whole(Math.abs(apart))} ${apart > 0 ? "too much" : "too little"}. Do not use this scale here before that is understood: another unit, another step, or it wants calibrating.`;
  }
  nowTried(attached.way, attached.name, { known: grams, read: settled.grams });
  return `${read} That agrees (within ${whole(may)}). It is remembered on this device that this scale was tried.`;
}
