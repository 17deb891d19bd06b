// Which pen: in the order of the round, with how many of each are due.
import { h } from "../check/dom.js";
import { hands } from "../check/choose.js";

export function choose(app) {
  const { pens } = app;
  return {
    title: "Which pen?",
    body: [
      !app.store.lasting && h("p.caution", {},
        "This browser keeps nothing: what was not sent is lost when the tab closes. Allow it to keep data for this address, or use another browser."),
      !app.fresh && h("p.said.warning", { role: "status" },
        `No connection: this is the list as it was loaded on ${new Date(pens.now).toLocaleString("en-GB", { dateStyle: "long", timeStyle: "short" })}. Weights are kept on this phone.`),
      groups(app),
      h("p.buttons", {}, h("a.act", { href: app.addresses.paste, "data-key": "paste" }, "Weights from a notebook or a file")),
      hands(app),
      h("p.small.soft", {}, `What is weighed here is entered by ${app.me.name}.`),
    ],
  };
}

function groups(app) {
  const { pens } = app;
  if (!pens.pens.length) return h("p", {}, "No animals are here yet.");
  const words = [...new Set(pens.pens.map((pen) => pen.group_words))];
  return words.map((group) => [
    h("h2", {}, group),
    h("ul.rows", {}, pens.pens.filter((pen) => pen.group_words === group).map((pen) => h("li", {}, row(app, pen)))),
  ]);
}

function row(app, pen) {
  const animals = app.pens.of(pen.id);
  const run = app.runs.find((one) => one.data.pen.id === pen.id);
  const due = animals.filter((one) => one.weigh.due && !run?.standing(one.id).weight).length;
  const weighed = animals.filter((one) => one.weigh.today || (run?.isOfToday && run.standing(one.id).weight)).length;
  return h("button.row.pen", { onclick: () => app.act(() => app.enter(pen.id)), "data-key": `pen-${pen.id}` },
    h("span.grow", {}, h("strong", {}, pen.name),
      h("span.small", {}, animals.map((one) => one.name).join(", "))),
    h("span.flags", {},
      weighed ? h("span.chip", { "data-weighed": String(weighed) }, `${weighed} of ${animals.length} weighed`) : "",
      run ? verdicts(run) : "",
      due ? h("span.chip.new", { "data-due": String(due) }, `${due} of ${animals.length} due`) : h("span.chip", { "data-due": "0" }, "none due")));
}

// What the weights of this phone's weigh-in said, and how many were not judged yet.
function verdicts(run) {
  const alarmed = run.alarmed();
  const open = run.unjudged().length;
  return [
    alarmed.length ? h("span.chip.alarmed", { "data-alarms": String(alarmed.length) },
      `${alarmed.length === 1 ? "1 alarm" : `${alarmed.length} alarms`}: ${alarmed.map((one) => one.name).join(", ")}`) : "",
    open ? h("span.chip", { "data-unjudged": String(open) }, `${open} not judged yet`) : "",
  ];
}

export function lost(app) {
  const signIn = app.status === 401;
  return {
    title: signIn ? "Sign in again" : "The pens could not be loaded",
    body: [
      h("p", { role: "alert" }, app.why
        ?? "There is no connection, and this phone has no list from an earlier visit. The weigh-in needs the list once; after that it runs without a connection."),
      h("p", {}, "Whatever was entered on this phone is kept."),
      h("div.buttons", {}, signIn
        ? h("a.act.act-main", { href: `${app.addresses.signIn}?next=${encodeURIComponent(location.pathname + location.search)}` }, "Sign in")
        : h("button.act.act-main", { onclick: () => location.reload() }, "Try again")),
    ],
  };
}
