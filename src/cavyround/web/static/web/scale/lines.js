// Plain lines of text as bench scales send them: "ST,GS,+00912.5  g", "  0.912 kg ?", "2 lb 3.4 oz".
import { GRAMS_PER, overload, reading, unitOf } from "./units.js";

const LONGEST_LINE = 120;
const CR = 13;
const LF = 10;
const ETX = 3;

// Cuts a stream of bytes into lines, however the chunks fall. What comes before the first line end is
// thrown away: a line caught in its middle reads "12.5 g" where the scale said "912.5 g".
export class Lines {
  constructor() { this.lost(); }

  // After a fault on the wire nothing is known of the line that was under way.
  lost() {
    this.kept = [];
    this.whole = false;
  }

  // Takes a chunk, gives the lines that it ends (as bytes); a line without end is a refusal.
  take(chunk) {
    const lines = [];
    for (const byte of chunk) {
      if (byte === CR || byte === LF || byte === ETX) {
        if (this.whole && this.kept.length) lines.push(Uint8Array.from(this.kept));
        this.kept = [];
        this.whole = true;
      } else if (byte !== 0) {
        this.kept.push(byte);
        if (this.kept.length > LONGEST_LINE) {
          lines.push(null);
          this.lost();
        }
      }
    }
    return lines;
  }
}

export const NO_LINE_END = "The scale sends without ever ending a line: perhaps another speed is set on it.";

const STABLE = new Set(["ST", "S", "STABLE"]);
const MOVING = new Set(["US", "D", "M", "?", "*", "UNSTABLE", "MOTION", "MOVING", "DYNAMIC"]);
const TARE = new Set(["T", "TR", "TARE", "PT"]);
const OVER = new Set(["OL", "OVER", "OVERLOAD", "OF", "H"]);
const UNDER = new Set(["UL", "UNDER", "UNDERLOAD", "L"]);
// Marks that say nothing of the weight: gross, net, the word itself.
const SILENT = new Set(["GS", "G", "GR", "GROSS", "NT", "N", "NET", "W", "WT", "WEIGHT", "QT"]);
const NUMBER = /([+-])?\s*(\d+(?:[.,]\d+)?|\.\d+)/;
const POUNDS_AND_OUNCES = /([+-])?\s*(\d+)\s*(?:lbs?|:)\s*[,:]?\s*(\d+(?:[.,]\d+)?)\s*oz\b/i;

// One line (its bytes without the end) as a reading or a refusal.
export function decodeLine(bytes, at) {
  if (bytes === null) return { why: NO_LINE_END };
  const strange = bytes.filter((one) => one > 126 || (one < 32 && one !== 2 && one !== 9));
  if (strange.length) return { why: "The scale's bytes make no text: perhaps another speed or parity is set on it." };
  const text = String.fromCharCode(...bytes.filter((one) => one !== 2)).replaceAll("\t", " ").trim();
  if (!text) return { why: "The scale sent an empty line." };
  const pounds = POUNDS_AND_OUNCES.exec(text);
  return pounds ? inPounds(text, pounds, at) : inOneUnit(text, at);
}

function inOneUnit(text, at) {
  const number = NUMBER.exec(text);
  if (!number) return withoutNumber(text, at);
  const before = text.slice(0, number.index);
  const after = text.slice(number.index + number[0].length);
  if (/\d/.test(before + after)) return { why: `“${text}” holds more than one number, so nobody knows which is the weight.` };
  const [unitText, ...marksAfter] = wordsOf(after);
  const marks = [...wordsOf(before), ...marksAfter];
  const refused = ofMarks(text, marks);
  if (refused) return refused;
  if (unitText === undefined || MOVING.has(unitText)) return { why: `“${text}” says no unit. Set the scale to send it, so that no ounce is taken for a gram.` };
  const unit = unitOf(unitText);
  if (!unit) return { why: `“${unitText.toLowerCase()}” is no unit that is known here (“${text}”). Set the scale to g, kg, oz or lb.` };
  const [, sign, digits] = number;
  if (/^[1-9]\d{0,2},\d{3}$/.test(digits) && (unit === "g" || unit === "oz")) {
    return { why: `“${text}” can be read as ${digits.replace(",", "")} or ${digits.replace(",", ".")} ${unit}. Set the scale to a decimal point.` };
  }
  return read({ text, sign, digits, unit, marks, at });
}

function read({ text, sign, digits, unit, marks, at }) {
  const plain = digits.replace(",", ".");
  const decimals = plain.split(".")[1]?.length ?? 0;
  const value = Number(plain) * (sign === "-" && Number(plain) !== 0 ? -1 : 1);
  return reading({ value, unit, at, step: 10 ** -decimals, shown: text, stable: stability(marks) });
}

function inPounds(text, [whole, sign, pounds, ouncesText], at) {
  const start = text.indexOf(whole);
  const rest = text.slice(0, start) + " " + text.slice(start + whole.length);
  if (/\d/.test(rest)) return { why: `“${text}” holds more than one weight.` };
  const marks = wordsOf(rest);
  const refused = ofMarks(text, marks);
  if (refused) return refused;
  const ounces = Number(ouncesText.replace(",", "."));
  const decimals = ouncesText.split(/[.,]/)[1]?.length ?? 0;
  const value = ounces + (Number(pounds) * GRAMS_PER.lb) / GRAMS_PER.oz;
  return reading({
    value: sign === "-" && value !== 0 ? -value : value, unit: "oz", at, step: 10 ** -decimals, shown: text, stable: stability(marks),
  });
}

const wordsOf = (text) => text.toUpperCase().split(/[\s,;:=]+/).flatMap((word) => word.split(/(?<=[?*])|(?=[?*])/)).filter(Boolean);

function stability(marks) {
  if (marks.some((one) => MOVING.has(one))) return false;
  return marks.some((one) => STABLE.has(one)) ? true : null;
}

// Marks that make the line something else than the weight on the pan.
function ofMarks(text, marks) {
  if (marks.some((one) => TARE.has(one))) return { why: `“${text}” is the tare, not what lies on the pan.` };
  const unknown = marks.find((one) => ![STABLE, MOVING, SILENT].some((set) => set.has(one)));
  return unknown ? { why: `“${text}” holds a mark that is not known here: “${unknown}”.` } : null;
}

function withoutNumber(text, at) {
  const words = wordsOf(text);
  if (words.some((one) => OVER.has(one)) || /^S \+$/.test(text) || /^[-‾^\s]{3,}$/.test(text)) return overload(text, at);
  if (words.some((one) => UNDER.has(one)) || /^S -$/.test(text) || /^_{3,}$/.test(text)) {
    return { why: `The scale says that it is under its limit (“${text}”): is the pan on?` };
  }
  return { why: `“${text}” holds no weight.` };
}
