// What a word, a key or a pedal asks for while the steps are read aloud. Pure.
const WHOLE = {
  next: "next", "next one": "next", "go on": "next", "carry on": "next", done: "next",
  normal: "normal", fine: "normal", "all normal": "normal", "as it should be": "normal", "it's normal": "normal",
  skip: "skip", "leave it out": "skip", back: "back", "go back": "back", again: "again", repeat: "again", "say again": "again",
};
const AT_END = /[\s.,;!]+(next|next one|go on|carry on)$/;

// "done" only goes on: that somebody looked is said by "normal", or by what was found.
// Words before "next" are what was seen, and "nails done" is care: there "done" is no order.
// A text without an order is not finished yet.
export function orderIn(typed) {
  const text = typed.trim().replace(/[\s.,;!]+$/, "");
  const whole = WHOLE[text.toLowerCase()];
  if (whole) return { order: whole, words: "" };
  const end = AT_END.exec(text.toLowerCase());
  return end ? { order: "next", words: text.slice(0, end.index).trim() } : null;
}

// A pedal sends one of these; which one it is can be set on most.
const KEYS = {
  " ": "next", Enter: "next", ArrowRight: "next", PageDown: "next", ArrowDown: "normal", n: "normal", N: "normal",
  ArrowLeft: "back", PageUp: "back", ArrowUp: "again", r: "again", R: "again",
};
// In the field the letters and arrows are for writing; a pedal's page keys and Enter still lead on.
const IN_FIELD = ["Enter", "PageDown", "PageUp"];

export function orderOf(key, { inField = false, empty = true, onButton = false } = {}) {
  if (onButton && (key === " " || key === "Enter")) return null;
  if (inField && !IN_FIELD.includes(key) && !(empty && (key === " " || key.startsWith("Arrow")))) return null;
  return KEYS[key] ?? null;
}
