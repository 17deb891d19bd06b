// More about one finding, each by one touch: how strong, of what kind, how large, since when, where.
import { choice, h } from "./dom.js";
import { newId } from "./ids.js";
import { WAITING } from "./store.js";

const GRADES = ["slight", "moderate", "marked"];
const SIZES_MM = [5, 10, 15, 20, 30, 40];
const VALUES = { mm: SIZES_MM, of_5: [1, 2, 3, 4, 5], per_min: [60, 80, 100, 120, 140, 160], C: [36, 37, 38, 39, 40, 41] };
// The longest a carer can mean, so that a rule that asks "so long?" is never missed.
const SINCE = [["just now", 0], ["today", 12], ["for days", 72], ["longer", 336], ["not known", null]];

export function detail(app, screen, step, one) {
  const { touch } = one;
  const finding = app.round.findings[touch.finding];
  const words = app.round.observation(touch);
  if (screen.open !== one.id) {
    return h("button.found-strip", { onclick: () => app.again({ open: one.id }), "data-key": `open-${one.id}` }, `${words}: say more`);
  }
  const more = (change) => app.act(async () => {
    await app.sayMore(one, change);
    app.again();
  });
  const group = (label, name, options, now, change) => (options.length ? h("div.said-more", { role: "group", "aria-label": label },
    h("span.label", {}, label),
    h("div.picks", {}, options.map(([text, value]) => choice(text, now(value), () => change(value), { "data-key": `${name}-${one.id}-${value}` })))) : "");
  const kinds = touch.kinds ?? [];
  const region = app.round.regions[touch.region];
  const unit = finding?.units[0];
  const scores = finding?.scores ?? [];
  return h("div.detail", { role: "group", "aria-label": `More about: ${words}` },
    h("p.words", {}, h("strong", {}, words)),
    region.sided && !region.paired ? group("Side", "side", ["L", "M", "R"].map((side) => [app.round.sides[side], side]),
      (value) => touch.side === value, (value) => more({ side: touch.side === value ? "N" : value })) : "",
    scores.length ? h("div.said-more.scores", { role: "group", "aria-label": "Which score" },
      h("span.label", {}, "Which score"),
      h("div.picks", {}, scores.map(({ score, words: name, feel }) => choice([h("strong", {}, `${score} ${name}`), h("span.small", {}, feel)], Number(touch.value) === score,
        () => more(Number(touch.value) === score ? { value: null, unit: null } : { value: score, unit }), { "data-key": `value-${one.id}-${score}` })))) : "",
    scores.length ? "" : group("How strong", "grade", GRADES.map((grade) => [app.round.grades[grade], grade]), (value) => touch.grade === value,
      (value) => more({ grade: touch.grade === value ? null : value })),
    group("Kind", "kind", (finding?.kinds ?? []).map((kind) => [app.round.kinds[kind], kind]), (value) => kinds.includes(value),
      (value) => more({ kinds: kinds.includes(value) ? kinds.filter((kind) => kind !== value) : [...kinds, value] })),
    unit && VALUES[unit] && !scores.length ? group(unit === "mm" ? "How large" : "How many", "value",
      VALUES[unit].map((value) => [`${value} ${app.round.units[unit]}`, value]), (value) => Number(touch.value) === value,
      (value) => more(Number(touch.value) === value ? { value: null, unit: null } : { value, unit })) : "",
    group("Since when", "since", SINCE, (value) => (touch.hours ?? null) === value, (value) => more({ hours: value })),
    group("How sure", "sure", [["not sure", "uncertain"]], (value) => touch.status === value,
      (value) => more({ status: touch.status === value ? undefined : value })),
    h("div.picks", {},
      h("button.pick", { onclick: () => app.go({ name: "outline", hold: screen.hold, step: step.code, region: touch.region, entry: one.id }), "data-key": `mark-${one.id}` },
        app.session.sitting.marked.some((mark) => mark.touch.observation === one.id) ? "On the outline: marked" : "Mark on the outline"),
      photoPick(app, words)),
    careFor(app, step.care.filter((care) => care.when_found.includes(touch.finding)), `Care for: ${words}`));
}

function photoPick(app, caption) {
  const input = h("input.unseen", {
    type: "file", accept: "image/*", capture: "environment", "data-key": "photo",
    onchange: () => app.act(async () => {
      const [file] = input.files;
      if (!file) return;
      await app.store.addPhoto({
        id: newId(), animal: app.session.animal.id, check: app.session.check.id, caption: caption.slice(0, 120),
        made_at: new Date().toISOString(), file, name: file.name || "photo.jpg", state: WAITING,
      });
      app.sender.unsent += 1;
      app.frame.bar();
      app.sender.now();
      app.frame.say("The photo is kept.");
      input.parentElement.dataset.taken = "yes";
      input.nextSibling.textContent = "Photo kept: take another";
    }),
  });
  return h("label.pick.photo", {}, input, h("span", {}, "Take a photo"));
}

// The small care that goes with a step: done, or planned, by one touch.
export function careFor(app, offered, title = "Care at the table") {
  if (!offered.length) return "";
  return h("div.care", { role: "group", "aria-label": title },
    h("p.label", {}, "Care at the table"),
    offered.map((care) => {
      const said = app.session.sitting.care.find((one) => one.touch.care === care.care);
      const name = app.round.care[care.care];
      const button = (status, words) => choice(words, said?.touch.status === status, () => app.act(async () => {
        if (said) await app.make({ kind: "take_back", entry: said.id });
        if (said?.touch.status !== status) await app.make({ kind: "care", care: care.care, status });
        app.frame.say(`${name}: ${said?.touch.status === status ? "taken back" : words}.`);
        app.again();
      }), { "aria-label": `${name}: ${words}`, "data-key": `care-${care.care}-${status}` });
      return h("div.care-row", { role: "group", "aria-label": name },
        h("p", {}, h("strong", {}, name), h("span.small", {}, care.words)), h("div.picks", {}, button("done", "done"), button("planned", "planned")));
    }));
}
