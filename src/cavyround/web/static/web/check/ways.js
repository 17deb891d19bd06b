// Which screen comes next.
import { WEIGHT_STEP } from "./fold.js";

export function holdScreen(hold) {
  const weighOnly = hold.steps.length === 1 && hold.steps[0].code === WEIGHT_STEP && !hold.not_now;
  return { name: weighOnly ? "weigh" : "hold", hold: hold.code };
}

export function shown(hold) {
  return hold.steps.filter((step) => !step.left_out);
}

// A step whose known findings were not yet said to be the same, bigger or gone.
export function owesAnswer(app, step) {
  return step.carried.some((carried) => !answerTo(app, step, carried));
}

export function answerTo(app, step, carried) {
  return app.session.found(step.code, carried.region).find(
    ({ touch }) => (carried.mark_id ? touch.mark === carried.mark_id
      : touch.finding === carried.finding && (touch.side ?? "N") === carried.side),
  );
}

// The steps the one deliberate touch would mark: shown, nothing said of them yet, and owing no answer.
export function unsaid(app, hold) {
  return shown(hold).filter((step) => !app.session.sitting.steps.has(step.code) && !owesAnswer(app, step));
}

export function isDone(app, hold) {
  return shown(hold).every((step) => app.session.sitting.steps.has(step.code));
}

// The next hold after this one that is not done; from the front if none is given; the summary at the end.
export function afterHold(app, code) {
  const holds = app.holds();
  const from = code === null ? 0 : holds.findIndex((hold) => hold.code === code) + 1;
  const next = holds.slice(from).find((hold) => !isDone(app, hold));
  return next ? holdScreen(next) : { name: "summary" };
}

export function stepOf(app, code) {
  for (const hold of app.holds()) {
    const step = hold.steps.find((one) => one.code === code);
    if (step) return { hold, step };
  }
  return null;
}

// Where a touch was made, so that taking it back leads there.
export function whereMade(app, touch) {
  const data = touch.kind === "correction" ? touch.data : touch;
  const code = data.kind === "hold_normal" ? data.hold
    : data.kind === "weight" ? stepOf(app, WEIGHT_STEP)?.hold.code : stepOf(app, data.step)?.hold.code;
  const hold = app.holds().find((one) => one.code === code);
  return hold ? holdScreen(hold) : null;
}

// Whether two sides may be the same place, as facts/observation.py says: a side not said may be any.
export function sidesAgree(one = "N", other = "N") {
  if (one === other || [one, other].some((side) => side === "N" || side === "B")) return true;
  return (one === "one" || other === "one") && one !== "M" && other !== "M";
}

// What became of it since last time: new, bigger, same or gone; nothing for what is never alarming,
// and nothing where there is no last time to compare with.
export function sinceLast(app, touch) {
  const step = stepOf(app, touch.step)?.step;
  if (!step || app.round.findings[touch.finding]?.benign) return "";
  if (touch.status === "absent") return "gone";
  if (touch.grade === "worse") return "bigger";
  const known = touch.grade === "same" || step.carried.some(
    (one) => one.region === touch.region && one.finding === touch.finding && sidesAgree(one.side, touch.side),
  );
  if (known) return "same";
  return app.session.animal.checked_before ? "new" : "";
}

export function isNew(app, touch) {
  return sinceLast(app, touch) === "new";
}
