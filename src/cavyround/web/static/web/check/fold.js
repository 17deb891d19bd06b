// What the touches of one check come to. The same meaning as facts/sitting.py, word for word.
export const SAID_MORE = "more said at the table";
export const SAID_ANEW = "said anew at the table";
const byId = (a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
export const WEIGHT_STEP = "weight";

export function standing(touches) {
  const inOrder = [...touches].sort(byId);
  const gone = new Set(
    inOrder.filter((made) => made.touch.kind === "take_back").map((made) => made.touch.entry),
  );
  const mended = new Map();
  const putRight = new Set();
  for (const made of inOrder) {
    if (made.touch.kind !== "correction" || gone.has(made.id)) continue;
    // What was put right afterwards stands over what was said at the table, whatever a clock made of the ids.
    const before = mended.get(made.touch.entry);
    if (!before || atTable(before.touch) || !atTable(made.touch)) mended.set(made.touch.entry, made);
    if (!made.touch.more) putRight.add(made.touch.entry);
  }
  const kept = [];
  for (const made of inOrder) {
    if (gone.has(made.id) || made.touch.kind === "take_back" || made.touch.kind === "correction") continue;
    const mend = mended.get(made.id);
    if (!mend) kept.push({ id: made.id, at: made.made_at, touch: made.touch, corrected: false });
    else if (mend.touch.data) {
      kept.push({ id: made.id, at: made.made_at, touch: mend.touch.data, corrected: putRight.has(made.id) });
    }
  }
  return kept;
}

function atTable(touch) {
  return Boolean(touch.more) || [SAID_MORE, SAID_ANEW].includes(touch.reason);
}

export function fold(touches) {
  const kept = standing(touches);
  const of = (kind) => kept.filter((one) => one.touch.kind === kind);
  const last = (kind) => of(kind).map((one) => one.at).sort().at(-1) ?? null;
  return {
    steps: stepsOf(kept),
    found: of("observation"),
    weights: of("weight"),
    care: of("care"),
    told: of("event"),
    marked: of("mark"),
    notes: of("note"),
    said: of("said"),
    putDownAt: last("put_down"),
    finishedAt: last("finish"),
  };
}

function stepsOf(kept) {
  const steps = new Map();
  for (const one of kept) {
    for (const [step, status] of saidOfSteps(one.touch)) {
      // A finding outranks "as it should be" whatever came first.
      if (steps.get(step)?.status === "found") continue;
      steps.set(step, { status, id: one.id });
    }
  }
  return steps;
}

function saidOfSteps(touch) {
  switch (touch.kind) {
    case "hold_normal": return touch.steps.map((step) => [step, "normal"]);
    case "step_normal": return [[touch.step, "normal"]];
    case "step_skipped": return [[touch.step, "skipped"]];
    case "observation": return touch.step ? [[touch.step, "found"]] : [];
    case "weight": return [[WEIGHT_STEP, "normal"]];
    default: return [];
  }
}

// The last touch that undo would take back: not yet taken back itself, and no taking back.
export function lastStanding(touches) {
  const gone = new Set(
    touches.filter((made) => made.touch.kind === "take_back").map((made) => made.touch.entry),
  );
  return [...touches].sort(byId).filter(
    (made) => made.touch.kind !== "take_back" && !gone.has(made.id)
      && !(made.touch.kind === "correction" && gone.has(made.touch.entry)),
  ).at(-1);
}
