// The second person: works the dose out alone, before the first result is shown, and says who they are.
import { h } from "../check/dom.js";

const REST = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"];

export function second(app, screen) {
  const one = app.day.dose(screen.key);
  const animal = app.day.animal(one.animal);
  return {
    title: `Second person: ${animal.name}`,
    body: screen.person ? sum(app, screen, one) : [
      h("p", {}, `Hand the phone to somebody else. Two people check this because ${one.second.join("; ")}.`),
      h("h2", {}, "Who checks it?"),
      h("div.whys", {}, app.day.people.filter((each) => each.id !== app.me.id).map((each) => h("button.act", {
        "data-key": `person-${each.id}`, onclick: () => app.again({ person: each.id, typed: "", wrong: "" }),
      }, each.name))),
      app.day.people.length < 2 ? h("p.caution", {}, "Nobody else has an account here. Ask your lead to add the second person.") : "",
    ],
    main: screen.person ? mainOf(app, screen, one) : { words: "Back", quiet: true, key: "back", go: () => app.go({ name: "dose", key: one.key }) },
    undo: false,
  };
}

function sum(app, screen, one) {
  return [
    h("p", {}, h("strong", {}, `${nameOf(app, screen.person)}: `), "look at the label and the order, and work it out yourself."),
    h("dl.rests", {}, [["Order", one.dose_words], ["Label", one.product_words], ["Weight", one.weight_words], ["Route", one.route_words]]
      .filter(([, words]) => words).map(([name, words]) => h("div", {}, h("dt", {}, name), h("dd", {}, words)))),
    screen.wrong ? h("p.fault", { role: "alert", "data-part": "wrong" }, screen.wrong) : "",
    one.typed_unit ? pad(app, screen, one) : h("p", {}, h("strong", {}, one.measure_words)),
  ];
}

function pad(app, screen, one) {
  const touch = (sign) => app.again({ wrong: "", typed: sign === "⌫" ? screen.typed.slice(0, -1) : (screen.typed + sign).slice(0, 8) });
  return [
    h("p.big-number", { "aria-live": "polite", "data-part": "typed" }, screen.typed || "–", h("span.soft", {}, ` ${one.typed_unit}`)),
    h("div.digits", { role: "group", "aria-label": "Digits" }, REST.map((sign) => h("button.pick", { "data-key": `pad-${sign}`, "aria-label": sign === "⌫" ? "rub out" : sign, onclick: () => touch(sign) }, sign))),
  ];
}

function mainOf(app, screen, one) {
  if (!one.typed_unit) return { words: "I checked it: it agrees", key: "agrees", go: () => app.secondAgrees(one, screen.person) };
  return { words: "Compare", small: screen.typed ? `${screen.typed} ${one.typed_unit}` : "type what you get", key: "compare", go: () => compare(app, screen, one) };
}

async function compare(app, screen, one) {
  const wrong = unlike(Number(screen.typed || NaN), one);
  if (wrong) {
    app.again({ wrong, typed: "" });
    return;
  }
  await app.secondAgrees(one, screen.person);
}

// Why what the second person got is not the mark; nothing where it is, within half a line of the syringe.
export function unlike(got, { to, typed_unit: unit, syringe }) {
  if (!Number.isFinite(got) || got <= 0) return "Type what you get, in digits.";
  const wanted = unit === "units" ? to / syringe.mark : to;
  const within = (unit === "units" ? 1 : syringe?.mark ?? 0) / 2;
  if (Math.abs(got - wanted) <= within + 1e-9) return "";
  const times = got > wanted ? got / wanted : wanted / got;
  const tenfold = times > 7 && times < 14 ? " About ten times apart: look for a lost or shifted point." : "";
  return `Not the first result.${tenfold} Nobody gives it until both agree; else ask the vet.`;
}

function nameOf(app, id) {
  return app.day.people.find((one) => one.id === id)?.name ?? "";
}
