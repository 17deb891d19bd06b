// What a stretch of readings comes to: a robust weight, how sure it is, and whether it stands still.
//
// A wriggling animal pushes up and down about its weight: over a stretch of time the mean force on the pan
// is its weight (what it gains in speed it loses again), and single readings are neither independent nor
// normal. So the stretch is cut into blocks of time; the blocks' means are nearly independent, whatever the
// rate of the stream. Blocks that lie far off (a leap, a hand) are left out, but only a few may; what
// dependence is left between neighbours widens the answer.

const MAD_TO_SD = 1.4826; // of a normal distribution
const FAR = 3.5; // robust standard deviations; Iglewicz and Hoaglin 1993
const ROUNDING_SD = 1 / Math.sqrt(12); // of a number rounded to whole steps

// Cuts readings { at, grams } into blocks of `seconds` from `from`; only blocks that are over by `now`.
export function blocksOf(readings, from, seconds, now) {
  const blocks = new Map();
  for (const one of readings) {
    const index = Math.floor((one.at - from) / (seconds * 1000));
    if (index < 0 || from + (index + 1) * seconds * 1000 > now) continue;
    const block = blocks.get(index) ?? { index, sum: 0, count: 0 };
    block.sum += one.grams;
    block.count += 1;
    blocks.set(index, block);
  }
  return [...blocks.values()].sort((one, other) => one.index - other.index)
    .map(({ index, sum, count }) => ({ index, mean: sum / count, count }));
}

// The weight of some blocks: { weight, spread, error, drift, far, readings }; error is half of the 95 % span.
export function weightOf(blocks, step) {
  const means = blocks.map((one) => one.mean);
  const middle = median(means);
  const robust = Math.max(MAD_TO_SD * median(means.map((one) => Math.abs(one - middle))), step * ROUNDING_SD);
  const near = blocks.filter((one) => Math.abs(one.mean - middle) <= FAR * robust);
  const kept = near.map((one) => one.mean);
  const weight = mean(kept);
  const spread = Math.max(deviation(kept, weight), step * ROUNDING_SD);
  const stretched = Math.sqrt(dependence(near, weight));
  return {
    weight, spread,
    error: (student(kept.length - 1) * spread * stretched) / Math.sqrt(kept.length),
    drift: Math.abs(drift(near)),
    far: (blocks.length - near.length) / blocks.length,
    lastIsFar: !near.includes(blocks.at(-1)),
    readings: near.reduce((sum, one) => sum + one.count, 0),
  };
}

// By how much the variance of the mean is larger than of independent blocks: (1 + r) / (1 - r), r of neighbours.
function dependence(blocks, weight) {
  let products = 0;
  let squares = 0;
  blocks.forEach((one, i) => {
    squares += (one.mean - weight) ** 2;
    const next = blocks[i + 1];
    if (next && next.index === one.index + 1) products += (one.mean - weight) * (next.mean - weight);
  });
  const r = squares > 0 ? Math.min(Math.max(products / squares, 0), 0.8) : 0;
  return (1 + r) / (1 - r);
}

// How far the line through the blocks runs from the first to the last: the median of all slopes (Theil, Sen).
function drift(blocks) {
  const slopes = [];
  blocks.forEach((one, i) => {
    for (const other of blocks.slice(i + 1)) slopes.push((other.mean - one.mean) / (other.index - one.index));
  });
  return slopes.length ? median(slopes) * (blocks.at(-1).index - blocks[0].index) : 0;
}

export function median(numbers) {
  const sorted = [...numbers].sort((one, other) => one - other);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

export function mean(numbers) {
  return numbers.reduce((sum, one) => sum + one, 0) / numbers.length;
}

function deviation(numbers, about) {
  return numbers.length < 2 ? 0 : Math.sqrt(numbers.reduce((sum, one) => sum + (one - about) ** 2, 0) / (numbers.length - 1));
}

// Student's t for 95 %, two-sided. Mathematics: the printed tables to three digits, above that the series in 1/n.
const STUDENT = [Infinity, 12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228];
export function student(freedom) {
  if (freedom < STUDENT.length) return STUDENT[Math.max(freedom, 0)];
  const z = 1.959964;
  return z + (z ** 3 + z) / (4 * freedom) + (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * freedom ** 2);
}

// The steps a scale really moves in, where they are coarser than the digits it sends (2 g steps, half kilograms
// printed to the gram): what all differences between its numbers have in common, once enough were seen.
export class Steps {
  constructor(enough) {
    this.enough = enough;
    this.seen = new Map();
  }

  add(reading) {
    const count = Math.round(reading.grams / reading.step);
    if (this.seen.size < 4 * this.enough) this.seen.set(`${reading.step} ${count}`, { count, step: reading.step });
  }

  of(reading) {
    const counts = [...this.seen.values()].filter((one) => one.step === reading.step).map((one) => one.count);
    if (counts.length < this.enough) return reading.step;
    const shared = counts.slice(1).reduce((sum, one) => divisor(sum, Math.abs(one - counts[0])), 0);
    return Math.max(shared, 1) * reading.step;
  }
}

function divisor(one, other) {
  return other === 0 ? one : divisor(other, one % other);
}
