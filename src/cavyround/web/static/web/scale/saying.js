// What the bar says, in words: { number, state, detail, take }. Never by colour alone.
const PHASES = {
  waiting: () => ["Waiting", "Nothing has come yet. Is it set to send without being asked?"],
  silent: () => ["Silent", "No number comes: what lies on the pan is not known."],
  over: () => ["Too much", "More lies on the pan than the scale can weigh."],
  below: ({ grams }) => ["Below nought", `By ${whole(-grams)}. Is the tub off? Put it back, or set to nought.`],
  empty: () => ["Pan empty", "Put the animal on, all feet, and take the hand off."],
  not_empty: () => ["Not empty", "Take all off first. If that is the empty tub: set to nought."],
  light: () => ["Very light", "Less than any newborn. Droppings, a wet towel? Wipe, or set to nought."],
  settling: (settling) => ["Settling …", whileSettling(settling.load)],
  settled: ({ settled }) => ["Settled", inWords(settled)],
};
// A scale that sends only finished numbers says nothing of an empty pan: the carer does.
const FINISHED = {
  armed: ["Ready", "Put the animal on and wait: the number comes when the scale has finished."],
  asked: ["Pan empty?", "This scale does not say so. When nothing lies on it, touch “The pan is empty”."],
};

function whileSettling({ coarse, contradicted }) {
  if (coarse) return `Steps of ${whole(coarse)} are too coarse for so light an animal: use another scale.`;
  if (contradicted) return "It stood at two weights: all feet on, hand off? Now it must stand longer.";
  return "All feet on the pan, the hand off, nothing touches the rim.";
}

export function whole(grams) {
  return `${Math.round(grams).toLocaleString("en-GB")} g`;
}

// "912 g ± 2 g, 32 readings"
export function inWords({ grams, plusMinus, readings, byScale, tare, before }) {
  const counted = byScale ? "one number the scale calls finished" : `${readings} readings`;
  const tub = tare ? `, ${whole(tare)} of tub taken off` : "";
  const other = before === null ? "" : `; it stood at ${whole(before)} before`;
  return `${whole(grams)} ± ${whole(plusMinus)}, ${counted}${tub}${other}`;
}

export function saying(scale) {
  const { settling, offer } = scale;
  const take = offer ? { words: `Take ${whole(offer.grams)}`, small: `± ${whole(offer.plusMinus)}`, settled: offer } : null;
  const { grams } = settling;
  return { number: grams === null ? "– – –" : whole(grams), take, ...lineOf(scale, take) };
}

function lineOf(scale, take) {
  const { settling, takenNow, status, why, trouble } = scale;
  const { phase } = settling;
  if (status === "lost" || status === "gone") return line("lost", ["Not connected", why]);
  if (trouble) return line("trouble", ["Not understood", trouble]);
  if (!scale.isMine) return line("other", ["Not this one’s", "Take it off first: it was put on for the one before."]);
  if (takenNow) return line("taken", ["Taken", `${whole(takenNow.grams)}. Take it off before the next.`]);
  // An animal may be lifted off before the touch: what it weighed is still offered, until the next is put on.
  if (take && phase !== "settled") return line(phase, [PHASES[phase](settling)[0], `Weighed just now: ${inWords(take.settled)}.`]);
  if (settling.finished && ["waiting", "silent", "empty", "not_empty"].includes(phase)) {
    return line(phase, FINISHED[settling.armed ? "armed" : "asked"]);
  }
  return line(phase, PHASES[phase](settling));
}

const line = (phase, [state, detail]) => ({ phase, state, detail });

// Why a scale cannot be offered here at all; "" where it can.
export function whyNot(offered) {
  if (!isSecureContext) {
    return "A scale can be read straight in only where the page comes over https or runs on this very machine: over plain http the browser forbids it. Type the weight as always.";
  }
  return offered.length ? "" : "This browser has no way to a scale (Bluetooth, USB or serial). Type the weight as always.";
}
