// Which scales were tried with a known weight on this device. A scale that means other steps or another unit
// than it says is found out that way, and no other.
const KEPT = "scale-tried";

export function isTried(way, name) {
  return Boolean(all()[key(way, name)]);
}

export function nowTried(way, name, { known, read }) {
  const tried = { ...all(), [key(way, name)]: { known, read, on: new Date().toISOString() } };
  try { localStorage.setItem(KEPT, JSON.stringify(tried)); } catch { /* then the reminder stays */ }
}

const key = (way, name) => `${way.code}: ${name}`;

function all() {
  try { return JSON.parse(localStorage.getItem(KEPT) ?? "{}") ?? {}; } catch { return {}; }
}
