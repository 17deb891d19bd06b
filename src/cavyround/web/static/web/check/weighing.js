// What was typed, as grams; and what cannot be a weight, in words.
// International avoirdupois ounce, exact (International Yard and Pound Agreement, 1959).
export const GRAMS_PER_OUNCE = 28.349523125;
export const OUNCES_PER_POUND = 16;

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
