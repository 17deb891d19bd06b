// The weight of the Bluetooth SIG's Weight Scale Service: 0x181D, Weight Measurement 0x2A9D, Feature 0x2A9E.
// Little-endian: flags u8, weight u16, [time 7 bytes], [user u8], [body mass index u16, height u16].
import { hex, reading } from "./units.js";

export const SERVICE = 0x181d;
export const MEASUREMENT = 0x2a9d;
export const FEATURE = 0x2a9e;

const IMPERIAL = 0b0001;
const HAS_TIME = 0b0010;
const HAS_USER = 0b0100;
const HAS_HEIGHT = 0b1000;
// Bits 4 to 7 are reserved in the standard; one maker sets bit 4 for "below nought". Never guessed at.
const RESERVED = 0b11110000;
const UNSUCCESSFUL = 0xffff;
// What one count is worth; the standard's steps, and the finest it can say.
const SI = { unit: "kg", step: 0.005, digits: 3 };
const POUNDS = { unit: "lb", step: 0.01, digits: 2 };
// Feature bits 3 to 6: the steps the scale really has, coarsest first (kilograms, pounds); 0 says nothing.
const STEPS = [null, [0.5, 1], [0.2, 0.5], [0.1, 0.2], [0.05, 0.1], [0.02, 0.05], [0.01, 0.02], [0.005, 0.01]];

// `bytes`: one indication; `feature`: what decodeFeature gave, where the scale has it.
export function decodeMeasurement(bytes, at, feature = null) {
  const said = hex(bytes);
  if (bytes.length < 3) return { why: `The scale sent ${bytes.length} bytes (${said}); a weight has at least three.` };
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const flags = view.getUint8(0);
  if (flags & RESERVED) {
    return { why: `The scale sets marks the standard does not know (${said}), so its weight cannot be trusted. Type it.` };
  }
  const length = 3 + (flags & HAS_TIME ? 7 : 0) + (flags & HAS_USER ? 1 : 0) + (flags & HAS_HEIGHT ? 4 : 0);
  if (bytes.length !== length) {
    return { why: `The scale sent ${bytes.length} bytes where its own marks say ${length} (${said}).` };
  }
  const raw = view.getUint16(1, true);
  if (raw === UNSUCCESSFUL) return { why: "The scale says that it could not weigh." };
  const imperial = Boolean(flags & IMPERIAL);
  const { unit, step, digits } = imperial ? POUNDS : SI;
  const value = Math.round(raw * step * 1000) / 1000;
  return reading({
    value, unit, at, step: feature?.steps?.[imperial ? 1 : 0] ?? step, shown: `${value.toFixed(digits)} ${unit}`,
    stamp: flags & HAS_TIME ? stampAt(view, 3) : null,
  });
}

// The scale's clock as it stands there: no zone, and often wrong. Only good for telling two weighings apart.
function stampAt(view, from) {
  const two = (offset) => String(view.getUint8(from + offset)).padStart(2, "0");
  return `${view.getUint16(from, true)}-${two(2)}-${two(3)} ${two(4)}:${two(5)}:${two(6)}`;
}

// What the scale says of itself; { steps: [kilograms, pounds] } or null where it leaves that open.
export function decodeFeature(bytes) {
  if (bytes.length !== 4) return { why: `The scale describes itself in ${bytes.length} bytes where the standard has four.` };
  const bits = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(0, true);
  const steps = (bits >>> 3) & 0b1111;
  if (steps >= STEPS.length) return { why: `The scale gives its steps as number ${steps}, which the standard keeps for later.` };
  return { steps: STEPS[steps], time: Boolean(bits & 1), users: Boolean(bits & 2) };
}
