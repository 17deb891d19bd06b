// What the check came to: what was looked at, what was found, and what nobody looked at.
import { badge } from "./alarm.js";
import { choice, h } from "./dom.js";
import { sign } from "./hold.js";
import { holdScreen, sinceLast, stepOf } from "./ways.js";
import { WEIGHT_STEP } from "./fold.js";
import { inGrams, inPounds } from "./weighing.js";
import { weighAgain } from "./weigh.js";
import { WAITING } from "./store.js";

export function summary(app) {
  const { animal } = app.session;
  const unchecked = uncheckedSteps(app);
  const { hearing } = app;
  if (hearing.hasWords && hearing.isRead && !hearing.entry) {
    return {
      title: `${animal.name}: what was done`,
      body: [h("p.caution", {}, "Something was said and nobody has looked yet at what was read in it. Nothing of it is recorded."), what(app), happened(app), coverage(app, true)],
      main: { words: "Look at the words", key: "look-words", go: () => app.go({ name: "readback", back: { name: "summary" } }) },
    };
  }
  return {
    title: `${animal.name}: what was done`,
    body: [what(app), happened(app), coverage(app, true)],
    main: {
      words: "Finish", small: unchecked.length ? `${unchecked.length} ${unchecked.length === 1 ? "step" : "steps"} not checked` : "all steps done",
      marks: true,
      go: async () => {
        await app.make({ kind: "finish" });
        app.go({ name: "done" });
      },
    },
  };
}

function uncheckedSteps(app) {
  return app.holds().flatMap((hold) => hold.steps)
    .filter((step) => !step.left_out && !app.session.sitting.steps.has(step.code));
}

function what(app) {
  const { sitting } = app.session;
  const weight = sitting.weights.at(-1);
  const hasWeightStep = stepOf(app, WEIGHT_STEP) !== null;
  return h("section.card", { "aria-label": "What was found" },
    hasWeightStep ? h("p.weight-line", {}, weight ? [h("strong", {}, inGrams(weight.touch.grams)), ` (${inPounds(weight.touch.grams)})`, weight.touch.doubted ? ", doubtful" : ""] : "Not weighed. ",
      app.session.isOpen ? h("button.act.act-slim", { onclick: () => weighAgain(app), "data-key": "weigh-again" }, weight ? "Weigh again" : "Weigh now") : "") : "",
    sitting.found.length ? changes(app, sitting.found) : h("p", {}, "Nothing was found."),
    sitting.care.length ? h("p.small", {}, `Care: ${sitting.care.map((one) => `${app.round.care[one.touch.care]} (${one.touch.status})`).join(", ")}`) : "");
}

const HEADS = { new: "New since last time", bigger: "Bigger or worse", same: "The same as before", gone: "Gone", "": "Found" };

// What was found, by what became of it since last time.
function changes(app, found) {
  const by = (how) => found.filter((one) => sinceLast(app, one.touch) === how);
  return h("dl.changes", {}, Object.entries(HEADS).filter(([how]) => by(how).length).map(([how, head]) => h("div", { "data-change": how || "found" },
    h("dt", {}, head), by(how).map((one) => h("dd", {}, app.round.observation(one.touch))))));
}

// What is known to have happened to it: the advice and the vet want to know.
function happened(app) {
  const { told } = app.session.sitting;
  return h("details.happened", told.length ? { open: true } : {}, h("summary", {}, "Did something happen to it?"),
    h("div.picks", { role: "group", "aria-label": "What happened" }, Object.entries(app.round.events).filter(([what]) => app.session.animal.sex !== "boar" || !app.round.events_of_sows.includes(what)).map(([what, words]) => {
      const said = told.find((one) => one.touch.what === what);
      return choice(words, Boolean(said), () => app.act(async () => {
        await app.make(said ? { kind: "take_back", entry: said.id } : { kind: "event", what });
        app.frame.say(said ? `Taken back: ${words}.` : `Kept: ${words}.`);
        app.again();
      }), { "data-key": `event-${what}` });
    })));
}

function coverage(app, withLinks) {
  return app.holds().map((hold) => h("section", { "aria-label": hold.words },
    h("h2", {}, hold.words),
    h("ul.rows.steps", {}, hold.steps.map((step) => {
      const state = step.left_out ? "left-out" : app.session.sitting.steps.get(step.code)?.status ?? "not-checked";
      const inside = [h("span.grow", {}, h("strong", {}, step.words)), sign(state, "span.state.flat", step.code)];
      return h("li", {}, withLinks && !step.left_out
        ? h("button.row.step.flat", { "data-state": state, "data-key": `to-step-${step.code}`, onclick: () => app.go(holdScreen(hold)) }, inside)
        : h("div.row.step.flat", { "data-state": state }, inside));
    }))));
}

export function done(app, screen) {
  const { session } = app;
  const { animal } = session;
  const stopped = session.sitting.putDownAt && !session.sitting.finishedAt;
  const alarms = app.alarms();
  if (!screen.asked) queueMicrotask(() => advice(app));
  return {
    title: stopped ? `${animal.name} was set down: all that was done is kept` : `${animal.name} is done`,
    body: [
      screen.gasps ? h("p.caution", {}, h("strong", {}, "Ring the vet now"), " if it still gasps, lies limp or fits: dim light, quiet, nothing by mouth.") : "",
      alarms.length ? h("section.card.known-alarms", { "aria-label": "Emergency signs" }, badge(app.round.urgency_words.emergency),
        h("ul", {}, [...new Set(alarms.map((one) => one.seen))].map((words) => h("li", {}, h("strong", {}, words)))),
        h("ul", {}, [...new Set(alarms.flatMap((one) => one.do_now))].map((words) => h("li", {}, words)))) : "",
      h("p.waiting", { role: "status", "data-part": "advice" }, screen.waiting ?? "Getting the advice …"),
      h("div.buttons", {}, screen.waiting ? h("button.act", { onclick: () => app.go({ ...screen, waiting: undefined, asked: false }, { replace: true }), "data-key": "try" }, "Try again for the advice") : ""),
      what(app), coverage(app, false),
    ],
    main: { words: "Next animal", key: "next", quiet: !screen.waiting, go: () => next(app) },
  };
}

// The advice is the server's; it is asked for once it has every touch of this check.
async function advice(app) {
  const { session, sender } = app;
  app.screen.asked = true;
  let mine = [];
  for (let turn = 0; turn < 3; turn += 1) {
    await sender.now();
    mine = (await app.store.touchesOf(session.check.id)).filter((made) => made.state === WAITING);
    if (!mine.length || sender.state !== "idle") break;
  }
  const answer = mine.length ? null : await sender.post(app.addresses.advise.replace(app.addresses.blank, session.check.id), {});
  if (app.session !== session || app.screen.name !== "done") return;
  if (answer?.address) {
    location.href = answer.address;
    return;
  }
  app.later.wait(session.check.id, session.animal.name);
  const why = sender.state === "sign_in" ? "Sign in again for the advice." : sender.why || "No connection to the server.";
  app.go({ ...app.screen, asked: true, waiting: `${why} The check is kept on this phone and the advice comes when it could be sent.` }, { replace: true });
}

async function next(app) {
  const done = app.session.animal.id;
  app.doneToday.add(done);
  const following = app.round.nextAfter(done, undefined, app.doneToday);
  if (following) app.begin(following, following.kind);
  else await app.leave();
}
