// The round as it was loaded once: the animals, their steps, and the words for every code.
const PATIENCE_MS = 6000;

const CLOCK_MAY_DIFFER_MS = 10 * 60 * 1000;

// The round, whether it is fresh, and the order of those who were due when it was loaded before.
export async function loadRound(store, address, wanted) {
  const kept = await store.keptRound();
  const order = dueIds(kept);
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
      const clock = clockDiffers(Date.parse(fresh.now));
      await store.keepRound(fresh);
      return { round: new Round(fresh), order, clock, fresh: true, status: 200 };
    }
    const answer = await response.json().catch(() => ({}));
    // Who is signed in may not record: the list of whoever was here before is not theirs to use.
    const usable = kept && response.status !== 403;
    return { round: usable ? new Round(kept) : null, order, fresh: false, status: response.status, why: answer.why };
  } catch {
    return { round: kept ? new Round(kept) : null, order, fresh: false, status: 0 };
  }
}

function dueIds(round) {
  return (round?.animals ?? []).filter((animal) => animal.due).map((animal) => animal.id);
}

// Who records: as the server says; without it, whoever was signed in when something last came from it.
export function whoRecords(shell, { round, fresh }) {
  const ofShell = { id: Number(shell.me), name: shell.myName };
  if (!round) return ofShell;
  return fresh || Date.parse(round.now) >= Date.parse(shell.made) ? round.me : ofShell;
}

// How this phone's clock differs from the server's, where that would put entries at the wrong time.
export function clockDiffers(server, phone = Date.now()) {
  const by = phone - server;
  if (Math.abs(by) <= CLOCK_MAY_DIFFER_MS) return null;
  const said = (moment) => new Date(moment).toLocaleString("en-GB", { dateStyle: "long", timeStyle: "short" });
  return { phone: said(phone), server: said(server), by: `${span(Math.abs(by))} ${by < 0 ? "behind" : "ahead"}` };
}

function span(millis) {
  const minutes = Math.round(millis / 60000);
  const [number, unit] = minutes < 120 ? [minutes, "minute"] : minutes < 2880 ? [Math.round(minutes / 60), "hour"] : [Math.round(minutes / 1440), "day"];
  return `${number} ${unit}${number === 1 ? "" : "s"}`;
}

export class Round {
  constructor(data) {
    Object.assign(this, data);
  }

  animal(id) { return this.animals.find((one) => one.id === id); }

  // Whose turn it is after this one; ``order`` is that of the list it was still on.
  nextAfter(id, order = dueIds(this), skip = new Set()) {
    const waiting = this.animals.filter((one) => one.due && !one.broken && one.id !== id && !skip.has(one.id));
    const later = new Set(order.slice(order.indexOf(id) + 1));
    return waiting.find((one) => later.has(one.id)) ?? waiting[0];
  }

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
      steps: hold.steps.map((step) => ({ why_more: [], why_also: [], promised: [], carried: [], ...this.steps[step.code], ...step })),
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
