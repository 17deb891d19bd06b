// Units a scale may say, with their exact size in grams. Text that is not among them is an error, never grams.
// International avoirdupois pound, 0.45359237 kg exactly (International Yard and Pound Agreement, 1959).
export const GRAMS_PER = { g: 1, kg: 1000, oz: 28.349523125, lb: 453.59237 };

const WRITTEN = { g: "g", kg: "kg", kgs: "kg", oz: "oz", lb: "lb", lbs: "lb" };

// The unit of a text in any case; null for one that is not known ("GN" may be grains, "ct" carats).
export function unitOf(text) {
  return WRITTEN[text.trim().toLowerCase()] ?? null;
}

// What the scale said, as grams; to a microgram, so that 0.92 kg is 920 g and not 920.0000000000001.
export function grams(value, unit) {
  return Math.round(value * GRAMS_PER[unit] * 1e6) / 1e6;
}

// A reading as every way hands it on.
//   grams   what lies on the pan (below nought: negative); null where the scale says it is too much
//   shown   the scale's own words: "0.920 kg"
//   step    grams between two numbers it can say: it knows no better than half of this
//   stable  true or false as the scale says; null where it does not say
//   state   load | zero | below | over
//   stamp   the scale's own time of a finished weighing, where it sends one
//   at      when it arrived, in milliseconds
export function reading({ value, unit, step, stable = null, state = null, stamp = null, shown, at }) {
  const amount = grams(value, unit);
  const usual = amount === 0 ? "zero" : amount < 0 ? "below" : "load";
  return { grams: amount, unit, shown, step: grams(step, unit), stable, state: state ?? usual, stamp, at };
}

export function overload(shown, at) {
  return { grams: null, unit: null, shown, step: null, stable: null, state: "over", stamp: null, at };
}

// Bytes as they are written down: "06 B8 00".
export function hex(bytes) {
  return Array.from(bytes, (one) => one.toString(16).toUpperCase().padStart(2, "0")).join(" ");
}
