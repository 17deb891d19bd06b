// What was typed, as grams; and what cannot be a weight, in words.
// International avoirdupois ounce, exact (International Yard and Pound Agreement, 1959).
const GRAMS_PER_OUNCE = 28.349523125;
const OUNCES_PER_POUND = 16;
const DAY_MS = 24 * 3600 * 1000;

export function readGrams(typed, bounds) {
  const text = typed.trim().replace(/\s*g$/i, "").replace(",", ".");
  if (!text) return { why: "Nothing was typed yet. Read the scales and touch the digits." };
  if (!/^-?\d+(\.\d+)?$/.test(text)) {
    return { why: `“${typed}” is no number. Type the grams in digits, for example 980.` };
  }
  return bounded(Number(text), `${text} g`, `${text} g`, bounds);
}

export function readPounds(typedPounds, typedOunces, bounds) {
  const pounds = typedPounds.trim() || "0";
  const ounces = (typedOunces.trim() || "0").replace(",", ".");
  if (!/^\d+$/.test(pounds) || !/^\d+(\.\d+)?$/.test(ounces)) {
    return { why: "Pounds and ounces are digits only, for example 2 lb 4.8 oz." };
  }
  if (Number(ounces) >= OUNCES_PER_POUND) {
    return { why: `${ounces} oz is more than a pound: write the pounds in their own field (16 oz make 1 lb).` };
  }
  const grams = (Number(pounds) * OUNCES_PER_POUND + Number(ounces)) * GRAMS_PER_OUNCE;
  const typed = `${pounds} lb ${ounces} oz`;
  return bounded(Math.round(grams * 10) / 10, typed, typed, bounds);
}

function bounded(grams, typed, shown, { lightest, heaviest }) {
  if (grams <= 0) return { why: `A weight of ${shown} cannot be: nothing was weighed. Weigh again.` };
  if (grams < lightest || grams > heaviest) {
    return {
      why: `${shown} is no guinea pig's weight (${lightest} to ${heaviest} g). Look at the digits and the unit, and weigh again.`,
    };
  }
  return { grams, typed };
}

// Why a weight is doubted, in words, by the numbers of the knowledge; nothing where it is not.
export function doubtful(grams, { last_weight: last, doubt_pct }, { plausible_g: [low, high], doubt_days }, now = Date.now()) {
  if (grams < low || grams > high) return `outside the ${inGrams(low)} to ${inGrams(high)} that guinea pigs weigh`;
  if (!last || now - Date.parse(last.at) > doubt_days * DAY_MS) return "";
  const percent = ((grams - last.grams) / last.grams) * 100;
  if (Math.abs(percent) <= doubt_pct) return "";
  return `${Math.round(Math.abs(percent))} % ${percent < 0 ? "less" : "more"} than ${inGrams(last.grams)} on ${last.on}`;
}

// Whether a second reading says the same as the doubted one before it.
export function agrees(grams, first, { reweigh_within_g }) {
  return Boolean(first) && Math.abs(grams - first.grams) <= reweigh_within_g;
}

export function inGrams(grams) {
  return `${Number(grams).toLocaleString("en-GB", { maximumFractionDigits: 1 })} g`;
}

export function inPounds(grams) {
  const tenths = Math.round((grams / GRAMS_PER_OUNCE) * 10) / 10;
  const pounds = Math.floor(tenths / OUNCES_PER_POUND);
  const ounces = (tenths - pounds * OUNCES_PER_POUND).toFixed(1);
  return pounds ? `${pounds} lb ${ounces} oz` : `${ounces} oz`;
}

// The tens to offer: around the last weight, where most weights lie.
export function tensAround(grams, { lightest, heaviest }, count = 20) {
  const below = (count / 2 - 1) * 10;
  const lowest = Math.max(Math.ceil(lightest / 10) * 10, Math.floor(grams / 10) * 10 - below);
  return Array.from({ length: count }, (_, i) => lowest + i * 10).filter((ten) => ten + 9 <= heaviest);
}
