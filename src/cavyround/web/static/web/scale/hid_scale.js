// A USB scale by the HID usage tables for weighing devices, usage page 0x8D (USB-IF, Point of Sale 1.02).
// Where in a report status, unit, scaling and weight lie is read from the device's own description.
import { GRAMS_PER, hex, overload, reading } from "./units.js";

export const PAGE = 0x8d;
const usage = (code) => PAGE * 0x10000 + code;
const SCALING = usage(0x41);
const WEIGHT = usage(0x40);
const STATUS_FIRST = usage(0x71);
const STATUS_LAST = usage(0x78);
const UNIT_FIRST = usage(0x51);
const UNIT_LAST = usage(0x5c);
const UNITS = [null, "mg", "g", "kg", "carats", "taels", "grains", "pennyweights", "metric tons", "avoirdupois tons", "troy ounces", "oz", "lb"];
const REFUSED = {
  1: "The scale says that it is faulty.",
  7: "The scale says that it must be calibrated.",
  8: "The scale says that it must be set to nought again: take everything off and press its nought key.",
};
const STABLE_AT_ZERO = 2;
const IN_MOTION = 3;
const UNDER_ZERO = 5;
const OVER_LIMIT = 6;

// The order of the published data report, report 3: for a device whose description could not be read.
export const USUAL = {
  reportId: 3, bytes: 5, told: false,
  status: { bit: 0, size: 8, base: 1 }, unit: { bit: 8, size: 8, base: 1 },
  scaling: { bit: 16, size: 8, signed: true }, weight: { bit: 24, size: 16 },
};

// Where the parts lie, from WebHID's `collections`; the usual order where they do not say it.
export function layoutOf(collections) {
  const found = [...walk(collections ?? [])]
    .map((report) => [report, partsOf(report)])
    .filter(([, parts]) => parts.weight && parts.unit)
    // The outer collection lists the whole report, an inner one perhaps a piece of it.
    .sort(([one], [other]) => bitsOf(other) - bitsOf(one));
  if (!found.length) return USUAL;
  const [report, parts] = found[0];
  return { reportId: report.reportId ?? 0, bytes: Math.ceil(bitsOf(report) / 8), told: true, ...parts };
}

function* walk(collections) {
  for (const one of collections) {
    yield* one.inputReports ?? [];
    yield* walk(one.children ?? []);
  }
}

const bitsOf = (report) => report.items.reduce((sum, item) => sum + item.reportSize * item.reportCount, 0);

function partsOf(report) {
  const parts = {};
  let bit = 0;
  for (const item of report.items) {
    const size = item.reportSize;
    const usages = usagesOf(item);
    const signed = item.logicalMinimum < 0;
    if (item.isArray) {
      if (within(usages, STATUS_FIRST, STATUS_LAST)) parts.status = { bit, size, base: item.logicalMinimum, codes: codesOf(usages, STATUS_FIRST) };
      if (within(usages, UNIT_FIRST, UNIT_LAST)) parts.unit = { bit, size, base: item.logicalMinimum, codes: codesOf(usages, UNIT_FIRST) };
    } else {
      usages.forEach((one, i) => {
        if (one === SCALING) parts.scaling = { bit: bit + i * size, size, signed };
        if (one === WEIGHT) parts.weight = { bit: bit + i * size, size, signed };
      });
    }
    bit += size * item.reportCount;
  }
  return parts;
}

function usagesOf(item) {
  if (!item.isRange) return item.usages ?? [];
  return Array.from({ length: item.usageMaximum - item.usageMinimum + 1 }, (_, i) => item.usageMinimum + i);
}

const within = (usages, first, last) => usages.length > 0 && usages.every((one) => one >= first && one <= last);
// An array's value counts the usages from its logical minimum; the codes of the tables count from one.
const codesOf = (usages, first) => usages.map((one) => one - first + 1);

function bitsAt(bytes, { bit, size, signed = false }) {
  let value = 0;
  for (let i = 0; i < size; i += 1) {
    const at = bit + i;
    if ((bytes[at >> 3] >> (at & 7)) & 1) value += 2 ** i;
  }
  return signed && value >= 2 ** (size - 1) ? value - 2 ** size : value;
}

function codeAt(bytes, part) {
  const value = bitsAt(bytes, part);
  return part.codes ? part.codes[value - part.base] : value;
}

// One input report; null for a report that is no weight (limits, calibration counts).
export function decodeReport(layout, reportId, bytes, at) {
  if (reportId !== layout.reportId) return null;
  const data = bytes.length === layout.bytes + 1 && bytes[0] === layout.reportId ? bytes.subarray(1) : bytes;
  const said = hex(data);
  if (data.length < layout.bytes) return { why: `The scale sent ${data.length} bytes where its own description says ${layout.bytes} (${said}).` };
  const status = layout.status ? codeAt(data, layout.status) : null;
  if (layout.status && !(status >= 1 && status <= 8)) return { why: `The scale gives a state that the tables do not know (${said}).` };
  if (REFUSED[status]) return { why: REFUSED[status] };
  if (status === OVER_LIMIT) return overload("over its limit", at);
  const unitCode = codeAt(data, layout.unit);
  const unit = UNITS[unitCode];
  if (!unit) return { why: `The scale gives a unit that the tables do not know (${said}).` };
  if (!GRAMS_PER[unit]) return { why: `The scale weighs in ${unit}. Set it to grams, kilograms, ounces or pounds.` };
  const power = layout.scaling ? bitsAt(data, layout.scaling) : 0;
  const digits = Math.max(0, -power);
  const size = Number((bitsAt(data, layout.weight) * 10 ** power).toFixed(Math.min(digits, 20)));
  const value = status === UNDER_ZERO ? -Math.abs(size) : size;
  return reading({
    value, unit, at, step: 10 ** power, shown: `${value.toFixed(Math.min(digits, 6))} ${unit}`,
    stable: status === null ? null : status !== IN_MOTION && status !== UNDER_ZERO,
    state: status === STABLE_AT_ZERO ? "zero" : status === UNDER_ZERO ? "below" : null,
  });
}
