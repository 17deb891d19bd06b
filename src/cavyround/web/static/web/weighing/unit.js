// In what the scales are read, remembered on this device: grams, or pounds and ounces.
import { GRAMS_PER_OUNCE, OUNCES_PER_POUND } from "../check/weighing.js";

const KEY = "cavyround-weight-unit";
let chosen = null;

export function unit() {
  if (!chosen) {
    try { chosen = localStorage.getItem(KEY); } catch { /* then for this visit */ }
  }
  return chosen === "lb" ? "lb" : "g";
}

export function chooseUnit(which) {
  chosen = which;
  try { localStorage.setItem(KEY, which); } catch { /* as above */ }
}

// Two touches make a weight: a step of the scales' coarse digits, then the last digit.
// `parts` is what stands small before the coarse digits, and these.
export const STEPS = {
  g: {
    coarse: 10,
    parts: (ten) => ["", String(ten / 10)],
    gap: "_",
    said: (ten) => `${ten / 10}: ${ten} to ${ten + 9} grams`,
    gramsOf: (ten, digit) => ten + digit,
    typed: (ten, digit) => `${ten + digit} g`,
    fromGrams: (grams) => Math.floor(grams / 10) * 10,
    asked: "The tens",
    unit: " g",
  },
  lb: {
    coarse: 1,
    parts: (ounces) => (ounces < OUNCES_PER_POUND ? ["", String(ounces)] : [`${Math.floor(ounces / OUNCES_PER_POUND)} lb`, String(ounces % OUNCES_PER_POUND)]),
    gap: "._",
    said: (ounces) => `${inPoundsAndWholeOunces(ounces)} ounces and a bit`,
    gramsOf: (ounces, digit) => Math.round((ounces + digit / 10) * GRAMS_PER_OUNCE * 10) / 10,
    typed: (ounces, digit) => `${inPoundsAndWholeOunces(ounces)}.${digit} oz`,
    fromGrams: (grams) => Math.floor(grams / GRAMS_PER_OUNCE),
    asked: "Pounds and whole ounces",
    unit: " oz",
  },
};

function inPoundsAndWholeOunces(ounces) {
  const pounds = Math.floor(ounces / OUNCES_PER_POUND);
  return pounds ? `${pounds} lb ${ounces % OUNCES_PER_POUND}` : String(ounces);
}

// The coarse steps to offer around a weight, where most weights lie.
export function stepsAround(grams, { lightest, heaviest }, which, count = 20) {
  const { coarse, fromGrams, gramsOf } = STEPS[which];
  const lowest = Math.max(fromGrams(grams) - (count / 2 - 1) * coarse, which === "g" ? Math.ceil(lightest / 10) * 10 : 1);
  return Array.from({ length: count }, (_, i) => lowest + i * coarse).filter((one) => gramsOf(one, 9) <= heaviest);
}
