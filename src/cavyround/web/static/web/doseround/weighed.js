// A weight taken on this phone that the list does not know yet: the amounts of that animal wait for it.
import { standing } from "../check/fold.js";
import { REFUSED, WAITING, WITHDRAWN } from "../check/store.js";
import { inGrams } from "../check/weighing.js";

export async function unsentWeights(checks) {
  return (await checks.touchesThatAre(WAITING)).filter(({ touch }) => touch.kind === "weight").map(({ id }) => id);
}

export async function markWeighed(day, checks) {
  const byCheck = grouped(await checks.allTouches());
  const newest = new Map();
  for (const touches of byCheck.values()) {
    const known = touches.filter((made) => ![REFUSED, WITHDRAWN].includes(made.state));
    const states = new Map(known.map((made) => [made.id, made.state]));
    for (const one of standing(known).filter(({ touch }) => touch.kind === "weight")) {
      const unknown = states.get(one.id) === WAITING || day.unknown_weights.includes(one.id) || Date.parse(one.at) > day.asked_at;
      if (unknown) newest.set(touches[0].check.animal, inGrams(one.touch.grams));
    }
  }
  for (const dose of day.doses) dose.weighed_since = dose.by_weight ? newest.get(dose.animal) ?? "" : "";
}

function grouped(touches) {
  const by = new Map();
  for (const made of touches) by.set(made.check.id, [...(by.get(made.check.id) ?? []), made]);
  return by;
}
