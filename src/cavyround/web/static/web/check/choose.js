// Whose turn is it: today's list, in today's order, and what was begun and not ended.
import { badge } from "./alarm.js";
import { h, pressed } from "./dom.js";
import { face } from "./frame.js";

export function choose(app, screen) {
  const { round } = app;
  const due = round.animals.filter((animal) => animal.due);
  const others = round.animals.filter((animal) => !animal.due);
  const open = [...(app.open ?? [])].sort(
    (a, b) => Number(b.check.id === screen.wanted) - Number(a.check.id === screen.wanted),
  );
  return {
    title: "Which animal?",
    body: [
      !app.store.lasting && h("p.caution", {},
        "This browser keeps nothing: what was not sent is lost when the tab closes. Allow it to keep data for this address, or use another browser."),
      !app.fresh && h("p.said.warning", { role: "status" },
        `No connection: this is the list as it was loaded on ${new Date(round.now).toLocaleString("en-GB", { dateStyle: "long", timeStyle: "short" })}. Checks are kept on this phone.`),
      app.clock && h("p.said.warning", { role: "status" },
        `This phone's clock is ${app.clock.by}: it says ${app.clock.phone}, the rescue's machine says ${app.clock.server}. Turn on automatic date and time in the phone's settings, so that this screen tells the right day. Everything is kept all the same, and its times are set right when it is sent.`),
      open.map((session) => goOn(app, session)),
      due.length ? groups(app, due) : h("p", {}, "Nobody is due just now."),
      others.length ? h("details.others", {}, h("summary", {}, `Another animal (${others.length})`), list(app, others)) : null,
      hands(app),
      h("p.small.soft", {}, `What is entered here is entered by ${app.me.name}.`),
    ],
  };
}

function goOn(app, session) {
  const { animal, check } = session;
  const since = new Date(check.started_at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  return h("section.card.go-on", { "aria-label": `Unfinished check of ${animal.name}` },
    h("p", {}, `The check of ${animal.name}, begun at ${since}, was not finished. All of it is kept.`),
    h("div.buttons", {},
      h("button.act.act-main", { onclick: () => app.resume(session), "data-key": `on-${check.id}` }, `Go on with ${animal.name}`),
      h("button.act", { onclick: () => app.begin(animal, animal.kind) }, "Begin a new check")));
}

function groups(app, animals) {
  const byGroup = new Map();
  for (const animal of animals) {
    if (!byGroup.has(animal.group_words)) byGroup.set(animal.group_words, []);
    byGroup.get(animal.group_words).push(animal);
  }
  return [...byGroup].map(([words, members]) => [h("h2", {}, words), list(app, members)]);
}

function list(app, animals) {
  return h("ul.rows", {}, animals.map((animal) => h("li", {}, animal.broken ? broken(animal) : h("button.row", {
    onclick: () => app.begin(animal, animal.kind), "data-key": `animal-${animal.id}`,
  }, face(animal), h("span.grow", {},
    h("strong", {}, animal.name),
    animal.pen ? h("span.small", {}, animal.pen) : "",
    h("span.small", {}, animal.reasons.join("; ") || animal.kind_words.toLowerCase())),
  h("span.flags", {},
    animal.urgency?.level ? badge(animal.urgency.words, animal.urgency.level) : "",
    animal.overdue_days > 0 ? h("span.chip.new", {}, `${animal.overdue_days} ${animal.overdue_days === 1 ? "day" : "days"} late`) : "",
    animal.being_checked_by ? h("span.chip", {}, `${animal.being_checked_by} is checking it`) : "")))));
}

// A check that cannot be planned says so, and holds up nobody else's.
function broken(animal) {
  return h("div.row", {}, face(animal), h("span.grow", {}, h("strong", {}, animal.name),
    animal.pen ? h("span.small", {}, animal.pen) : "", h("span.small", {}, animal.broken)));
}

export function hands(app) {
  const now = app.root.dataset.hand;
  const pick = (which, words) => h("button.pick", {
    ...pressed(now === which), "data-key": `hand-${which}`,
    onclick: () => { app.frame.hand(which); app.again(); },
  }, words);
  return h("section.hands", { "aria-labelledby": "hands-title" },
    h("h2", { id: "hands-title" }, "The thumb that touches"),
    h("div.picks", {}, pick("left", "Left hand"), pick("right", "Right hand")));
}

export function lost(app) {
  const signIn = app.status === 401;
  return {
    title: signIn ? "Sign in again" : "Today's list could not be loaded",
    body: [
      h("p", { role: "alert" }, app.why
        ?? "There is no connection, and this phone has no list from an earlier visit. The check needs the list once; after that it runs without a connection."),
      h("p", {}, "Whatever was entered on this phone is kept."),
      h("div.buttons", {}, signIn
        ? h("a.act.act-main", { href: `${app.addresses.signIn}?next=${encodeURIComponent(location.pathname + location.search)}` }, "Sign in")
        : h("button.act.act-main", { onclick: () => location.reload() }, "Try again")),
    ],
  };
}
