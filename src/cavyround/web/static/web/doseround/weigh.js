// Weighing in the middle of the round: kept as a weigh-in, and the amount worked out anew by it.
import { h } from "../check/dom.js";
import { face } from "../check/frame.js";
import { newId } from "../check/ids.js";
import { WAITING } from "../check/store.js";
import { doubtOf, matesOf } from "../weighing/doubt.js";
import { entry } from "../weighing/entry.js";
import { around, lastLines } from "../weighing/known.js";
import { doubtCard, taken } from "../weighing/taking.js";

export function weigh(app, screen) {
  const one = app.day.dose(screen.key);
  const animal = app.day.animal(one.animal);
  const keep = (grams, typed, kept = false, meant = false) => take(app, screen, animal, { grams, typed, kept, meant });
  const read = screen.doubt ? null : entry({
    screen, around: around(animal), bounds: app.day.weight, count: 16,
    again: (more) => app.again(more), act: (action) => app.act(action), take: keep,
  });
  return {
    title: `Weigh ${animal.name}`,
    head: (heading) => h("header.on-table", {}, face(animal), h("div.grow", {}, heading, lastLines(animal))),
    body: [
      screen.first && !screen.doubt ? h("p.small", {}, `First reading: ${screen.first.grams} g. Weigh once more.`) : "",
      screen.doubt ? doubtCard(screen.doubt, {
        bounds: app.day.weight,
        again: () => app.again({ doubt: null, ten: null, first: { grams: screen.doubt.grams, typed: screen.doubt.typed } }),
        keep: () => app.act(() => keep(screen.doubt.grams, screen.doubt.typed, true)),
        mean: (meant) => app.act(() => keep(meant.grams, meant.typed, false, true)),
      }) : read.body,
    ],
    main: read?.main ?? { words: "Back", quiet: true, key: "back", go: () => app.go({ name: "dose", key: one.key }) },
    undo: false,
  };
}

async function take(app, screen, animal, { grams, typed, kept, meant }) {
  const why = meant ? null : doubtOf(grams, animal.expected, matesOf(animal, Object.values(app.day.animals)), app.day.weight);
  const became = taken({ grams, typed }, why, { first: screen.doubt?.first ?? screen.first, kept, bounds: app.day.weight });
  if (became.doubt) {
    app.again({ doubt: became.doubt, first: null, typed: null, why: "" });
    return;
  }
  await app.weighed(animal, touchesOf(animal, became.touches, app.me.id), `${grams} g`, screen.key);
}

function touchesOf(animal, touches, by) {
  const check = { id: newId(), animal: animal.id, kind: "weigh_in", started_at: new Date().toISOString(), planned: ["weight"] };
  return [...touches, { kind: "finish" }].map((touch) => ({ id: newId(), check, made_at: new Date().toISOString(), by, touch, state: WAITING }));
}
