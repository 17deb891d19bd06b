// The round as it was loaded once: the animals, their steps, and the words for every code.
const PATIENCE_MS = 6000;

export async function loadRound(store, address, wanted) {
  const kept = await store.keptRound();
  const url = new URL(address, location.href);
  if (wanted.animal) url.searchParams.set("animal", wanted.animal);
  if (wanted.kind) url.searchParams.set("kind", wanted.kind);
  try {
    const response = await fetch(url, {
      headers: { Accept: "application/json" }, credentials: "same-origin",
      signal: AbortSignal.timeout(kept ? PATIENCE_MS : 10 * PATIENCE_MS),
    });
    if (response.ok) {
      const fresh = await response.json();
      await store.keepRound(fresh);
      return { round: new Round(fresh), fresh: true, status: 200 };
    }
    const answer = await response.json().catch(() => ({}));
    return { round: kept ? new Round(kept) : null, fresh: false, status: response.status, why: answer.why };
  } catch {
    return { round: kept ? new Round(kept) : null, fresh: false, status: 0 };
  }
}

export class Round {
  constructor(data) {
    Object.assign(this, data);
  }

  animal(id) { return this.animals.find((one) => one.id === id); }
  finding(code) { return this.findings[code]?.words ?? code; }
  region(code) { return this.regions[code]?.words ?? code; }

  place(region, side) {
    const words = this.region(region);
    if (side === "B") return this.regions[region]?.both ?? words;
    return ["L", "R", "M"].includes(side) ? `${this.sides[side]} ${words}` : words;
  }

  observation(touch) {
    let said = this.finding(touch.finding);
    if (touch.kinds?.length) said += ` (${touch.kinds.map((kind) => this.kinds[kind] ?? kind).join(", ")})`;
    if (touch.value) said += `, ${Number(touch.value)} ${this.units[touch.unit] ?? touch.unit}`;
    if (touch.grade) said += `, ${this.grades[touch.grade] ?? touch.grade}`;
    if (touch.status === "absent") said = `no ${said}`;
    if (touch.status === "uncertain") said = `perhaps ${said}`;
    return touch.region === "whole" ? said : `${this.place(touch.region, touch.side)}: ${said}`;
  }

  // The holds of this animal's plan with their words, what was found meanwhile taken into account.
  holdsFor(animal, sitting) {
    return animal.plan.holds.map((hold) => ({
      ...this.holds[hold.code],
      ...hold,
      not_now: hold.not_now || this.#nowNotFor(hold.code, sitting),
      steps: hold.steps.map((step) => ({ why_more: [], why_also: [], carried: [], ...this.steps[step.code], ...step })),
    }));
  }

  #nowNotFor(code, sitting) {
    const signs = this.holds[code].not_for;
    const found = sitting.found.map((one) => one.touch);
    return signs.find((one) => one.signs.some((sign) => found.some((touch) => fits(sign, touch))))?.words ?? "";
  }

  // The emergency signs among what was found: each says what was seen and what to do.
  // "sure" is false where only a kind nobody has said yet could make it something else.
  alarms(sitting) {
    const fired = new Map();
    for (const one of sitting.found) {
      for (const sign of this.emergencies) {
        if (!fits(sign, one.touch)) continue;
        const sure = !sign.kinds.length || one.touch.kinds?.length > 0;
        const known = fired.get(sign.rule);
        if (!known || (sure && !known.sure)) {
          fired.set(sign.rule, { ...sign, sure, entry: one.id, seen: this.observation(one.touch) });
        }
      }
    }
    return [...fired.values()];
  }
}

// As in docs/knowledge.md: "kind" fits also where no kind was said, "kind_said" only where one was.
function fits(sign, touch) {
  if (touch.status === "absent" || !sign.findings.includes(touch.finding)) return false;
  if (sign.regions.length && !sign.regions.includes(touch.region)) return false;
  const kinds = touch.kinds ?? [];
  if (sign.kinds.length && kinds.length && !kinds.some((kind) => sign.kinds.includes(kind))) return false;
  if (sign.kind_said.length && !kinds.some((kind) => sign.kind_said.includes(kind))) return false;
  if (sign.grades.length && !sign.grades.includes(touch.grade)) return false;
  return true;
}
