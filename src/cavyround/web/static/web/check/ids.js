// Ids made on the phone: UUIDv7 (RFC 9562), sortable by the moment they were made, never going back.
const RANDOM_BITS = 74n;
const LARGEST = (1n << RANDOM_BITS) - 1n;
const MEMORY = "cavyround-last-id";

let lastMillis = 0;
let lastRandom = 0n;
recall();

function recall() {
  // Another load of this page on a clock that was set back must not sort before what is already kept.
  try {
    const [millis, random] = (localStorage.getItem(MEMORY) ?? "").split(":");
    if (millis && random) [lastMillis, lastRandom] = [Number(millis), BigInt(random)];
  } catch { /* storage shut off: the clock alone has to do */ }
}

function freshRandom() {
  const bytes = crypto.getRandomValues(new Uint8Array(10));
  let value = 0n;
  for (const byte of bytes) value = (value << 8n) | BigInt(byte);
  // The top bit stays free, so that counting up within one millisecond has room.
  return value & (LARGEST >> 1n);
}

export function newId(now = Date.now()) {
  if (now > lastMillis) {
    lastMillis = now;
    lastRandom = freshRandom();
  } else {
    lastRandom += 1n;
    if (lastRandom > LARGEST) [lastMillis, lastRandom] = [lastMillis + 1, freshRandom()];
  }
  try {
    localStorage.setItem(MEMORY, `${lastMillis}:${lastRandom}`);
  } catch { /* as above */ }
  return format(BigInt(lastMillis), lastRandom);
}

function format(millis, random) {
  const high = random >> 62n;
  const low = random & ((1n << 62n) - 1n);
  const value = (millis << 80n) | (7n << 76n) | (high << 64n) | (2n << 62n) | low;
  const hex = value.toString(16).padStart(32, "0");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
