// One look at what was read: on the body, in a list with the words it came from, and in the words themselves.
// Nothing is recorded until it is accepted; each line is mended by one touch.
import { choice, h, pressed } from "./dom.js";
import { Session } from "./session.js";
import { SAID_MORE } from "./fold.js";
import { WAITING } from "./store.js";
import { newId } from "./ids.js";
import { bodies } from "./bodies.js";
import { saidText } from "./saidtext.js";
import { wordsOf } from "./say.js";
import { DOSE_UNITS, groups, notNamed, quote, touchesOf, WEIGHT_UNITS } from "./told.js";
import { afterHold } from "./ways.js";

export function readback(app, screen) {
  const { hearing } = app;
  if (!hearing.isRead) return reading(app, screen);
  const told = groups({ round: app.round, animal: app.session.animal, reading: hearing.reading, mends: hearing.mends });
  number(told);
  const kept = told.filter((one) => one.who).map((one) => touchesOf(one, one.mine ? app.session.sitting : null).length);
  const count = kept.reduce((all, one) => all + one, 0) + normals(hearing).length;
  const open = told.flatMap((one) => [...(one.who ? [] : [one]), ...one.items.filter((item) => item.asks && !item.dropped)]).length;
  return {
    title: "Is this what you said?",
    body: [
      told.some((one) => one.items.length) ? null : h("p", { role: "status" }, "Nothing in these words was read as a finding. They are kept with the check as they are."),
      notNamedCard(app, screen, told.find((one) => one.mine) ?? { items: [], who: app.session.animal }),
      bodies(told),
      told.map((group) => animalCard(app, screen, group)),
      saidText(app, screen, hearing),
      h("button.act.whole", { onclick: () => app.go({ name: "say", back: screen.back }), "data-key": "say-more" }, "Say more, or change the words"),
    ],
    main: {
      words: count ? `Keep ${count}` : "Keep the words only", key: "accept", marks: true,
      small: open ? `${open} ${open === 1 ? "question is" : "questions are"} open` : "into the record",
      go: () => accept(app, screen, told),
    },
  };
}

function reading(app, screen) {
  const { hearing } = app;
  hearing.changed = () => app.screen.name === "readback" && app.again();
  if (hearing.state === "idle" && hearing.hasWords) queueMicrotask(() => hearing.read());
  const why = hearing.state === "offline" ? "No connection: the words wait on this phone and are read when it is back." : hearing.why;
  return {
    title: "Is this what you said?",
    body: [h("p", { role: "status" }, hearing.hasWords ? why || "Reading …" : "There are no words to be read.")],
    main: { words: "Back", quiet: true, key: "back", go: () => app.go(screen.back ?? afterHold(app, null)) },
  };
}

// Numbers tie a line of the list to its spot on the body.
function number(told) {
  let next = 1;
  for (const item of told.flatMap((one) => one.items)) {
    if (item.spots?.length && item.touch?.kind === "observation" && item.touch.status !== "absent" && item.touch.finding !== "normal" && !item.dropped) {
      item.number = next;
      next += 1;
    }
  }
}

const RANK = (item) => (item.asks ? 0 : !item.sure ? 1 : item.what === "weight" ? 2 : item.what === "finding" && item.touch?.status !== "absent" ? 3 : item.what === "care" ? 4 : 5);

function animalCard(app, screen, group) {
  const items = [...group.items].sort((a, b) => RANK(a) - RANK(b));
  const [lines, calm] = [items.filter((item) => !isCalm(item) || isOpen(screen, item)), items.filter((item) => isCalm(item) && !isOpen(screen, item))];
  return h("section.card.told", { "aria-label": group.who?.name ?? group.name },
    h("h2", {}, group.who ? group.who.name : `“${group.name}”`, group.who && !group.mine ? h("span.chip", {}, "a check of its own") : ""),
    group.who ? "" : whoIsMeant(app, group),
    h("ul.tolds", {}, lines.map((item) => h("li", { "data-dropped": item.dropped ? "yes" : "no", "data-sure": item.sure ? "yes" : "no" }, isOpen(screen, item) ? line(app, screen, item) : short(app, item))),
      calm.map((item) => h("li.calm", { "data-dropped": "no", "data-sure": "yes" }, short(app, item)))),
    group.asks.filter((ask) => ["side", "which_animal"].includes(ask.kind)).map((ask) => h("p.caution", {}, ask.words)),
    group.who && !group.mine ? notNamedCard(app, screen, group) : "");
}

// One line, one touch from being mended; only one is open at a time. A question is asked at once.
function isOpen(screen, item) {
  return screen.open === item.key || Boolean(item.asks && !item.dropped);
}

// As it should be, or said not to be there: short enough for two in a row.
function isCalm(item) {
  return item.sure && !item.dropped && !item.asks && (item.what === "normal" || item.touch?.status === "absent");
}

function short(app, item) {
  const words = wordsOf(app, item);
  const more = item.dropped ? " (not kept)" : item.what === "weight_change" ? " reckoned, not recorded" : "";
  return h("button.told-short", { "data-key": `open-${item.key}`, "aria-expanded": "false", onclick: () => app.again({ open: item.key, lit: null }) },
    item.number ? h("span.spot-number", { "aria-hidden": "true" }, String(item.number)) : "",
    h("span.grow", {}, h("strong", {}, words), more, item.sure || item.dropped ? "" : h("span.unsure", {}, `look at this one${item.why ? `: ${item.why}` : ""}`)));
}

function whoIsMeant(app, group) {
  const mates = group.candidates.length ? group.candidates
    : app.round.animals.filter((one) => one.id === app.session.animal.id || (one.pen_id && one.pen_id === app.session.animal.pen_id));
  return h("div", { role: "group", "aria-label": `Who is ${group.name}?` },
    h("p.small", {}, group.name.startsWith("group") ? "Said of several without their names: touch one, and say it of the others by name." : "No animal of this name is known here. Who is meant? Untouched it is not recorded."),
    h("div.picks", {}, mates.map((one) => choice(one.name, false, () => { app.hearing.mend(group.key, { animal: one.id }); app.again(); }, { "data-key": `${group.key}-${one.id}` }))));
}

function line(app, screen, item) {
  const { hearing } = app;
  const words = wordsOf(app, item);
  const change = (how) => () => { hearing.mend(item.key, how); app.again(); };
  const button = (name, text, how, on = false) => h("button.pick", { ...pressed(on), "data-key": `mend-${item.key}-${name}`, "aria-label": `${words}: ${text}`, onclick: change(how) }, text);
  const cited = quote(hearing.text, item.spans);
  const drop = item.what === "weight_change" ? "" : button("drop", "Drop", { dropped: true });
  const mends = item.dropped ? [] : [asked(item, button), sides(app, item, button), statuses(item, button)].flat().filter(Boolean);
  return [
    h("div.told-line", {},
      item.number ? h("span.spot-number", { "aria-hidden": "true" }, String(item.number)) : "",
      h("span.grow", {}, h("strong", {}, words), item.dropped ? " (not kept)" : item.touch ? "" : h("span.small", {}, item.what === "weight_change" ? " reckoned from the weights, not recorded" : " not kept until it is answered"),
        item.sure || item.dropped ? "" : h("span.unsure", {}, `look at this one${item.why ? `: ${item.why}` : ""}`),
        cited ? h("button.quote", { "aria-label": `“${cited}”: show these words`, "data-key": `quote-${item.key}`, onclick: () => app.again({ lit: item.key }) }, `“${cited}”`) : ""),
      item.dropped ? button("keep", "Keep it after all", { dropped: false }) : mends.length ? "" : drop),
    mends.length ? h("div.mends", {}, mends, drop) : "",
  ];
}

function asked(item, button) {
  if (item.asks === "dose_unit" || (item.unit_asked && item.what === "care")) {
    return h("div.ask", {}, h("p", {}, h("strong", {}, `${item.said} of what? `), "No unit was said."),
      h("div.picks", {}, [...DOSE_UNITS.map((unit) => button(unit, unit, { unit }, item.mend.unit === unit)), button("none", "not known", { unit: "none" }, item.mend.unit === "none")]));
  }
  if (item.asks === "weight_unit") {
    return h("div.ask", {}, h("p", {}, h("strong", {}, `${item.said} of what?`)), h("div.picks", {}, WEIGHT_UNITS.map((unit) => button(unit, unit, { unit }, item.mend.unit === unit))));
  }
  return "";
}

function sides(app, item, button) {
  const { touch } = item;
  const region = app.round.regions[touch?.region];
  if (touch?.kind !== "observation" || !(region?.paired || region?.sided)) return "";
  return ["L", "R", ...(region.paired ? ["B"] : [])].filter((side) => side !== touch.side).map((side) => button(side, app.round.sides[side], { side }));
}

function statuses(item, button) {
  if (item.touch?.kind !== "observation") return "";
  const now = item.touch.status ?? "present";
  return [["present", "It is there"], ["absent", "Not there"], ["uncertain", "Not sure"]].filter(([status]) => status !== now).map(([status, words]) => button(status, words, { status }));
}

function normals(hearing) {
  return Object.entries(hearing.mends).filter(([key, mend]) => key.startsWith("step ") && mend.normal).map(([key]) => key.slice(5));
}

// What nobody named stands out; a word for all of it names none.
function notNamedCard(app, screen, group) {
  const { animal } = app.session;
  const mine = group.who.id === animal.id;
  const left = notNamed(group.who, mine ? app.session.sitting : null, touchesOf(group, null));
  if (!left.length) return h("p.small", {}, "Every step of this check was named.");
  const words = (code) => app.round.steps[code]?.words ?? code;
  const names = left.map(words).join(", ");
  return h("div.not-named", { role: "group", "aria-label": `Not named: ${group.who.name}` },
    h("h3", {}, `Not named: ${left.length} ${left.length === 1 ? "step" : "steps"}`),
    mine ? h("details", { open: screen.steps ?? false, ontoggle: (event) => { screen.steps = event.target.open; } },
      h("summary", { "data-key": "not-named" }, h("span.names", {}, names)),
      group.says_blanket ? h("p.small", {}, "A word for all the rest names no step: these stay not checked.") : "",
      h("p.small", {}, "They stay not checked. Touch one only if you looked at it and it was as it should be."),
      h("div.picks", {}, left.map((code) => choice(words(code), Boolean(app.hearing.mends[`step ${code}`]?.normal),
        () => { app.hearing.mend(`step ${code}`, { normal: !app.hearing.mends[`step ${code}`]?.normal }); app.again({ steps: true }); }, { "data-key": `named-${code}` }))))
      : h("p.small", {}, names));
}

// The same touches a thumb would have made, together with the words; all of them or none.
async function accept(app, screen, told) {
  const { hearing, session } = app;
  const { text, entry } = hearing;
  const words = entry ? { kind: "correction", entry: entry.id, reason: SAID_MORE, more: true, data: { kind: "said", text, waits: false } } : { kind: "said", text };
  const own = told.filter((one) => one.mine).flatMap((one) => touchesOf(one, session.sitting));
  const batches = [[session, [words, ...own, ...normals(hearing).map((step) => ({ kind: "step_normal", step }))]]];
  for (const group of told.filter((one) => one.who && !one.mine)) {
    const touches = touchesOf(group, null);
    if (touches.length) batches.push([Session.begin(app.store, group.who, group.who.kind), [{ kind: "said", text }, ...touches, { kind: "finish" }]]);
  }
  await makeTogether(app, batches);
  for (const [other] of batches.slice(1)) app.later.wait(other.check.id, other.animal.name);
  if (!session.isOpen) app.later.wait(session.check.id, session.animal.name);
  await hearing.done();
  await app.wordsKept();
  const count = batches.reduce((all, [, touches]) => all + touches.filter((one) => !["said", "finish", "correction"].includes(one.kind)).length, 0);
  app.frame.say(`Kept: ${count}.`);
  if (session.isOpen) app.go(afterHold(app, null));
  else await app.leave();
}

async function makeTogether(app, batches) {
  const all = batches.flatMap(([session, touches]) => touches.map((touch) => ({
    id: newId(), check: session.check, made_at: new Date().toISOString(), by: app.me.id, touch, state: WAITING,
  })));
  await app.store.addTouches(all);
  for (const [session] of batches) session.take(all.filter((made) => made.check.id === session.check.id));
}
