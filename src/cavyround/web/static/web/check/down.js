// The animal is set down before the end: what was done is kept, what was not is shown as not checked.
import { h } from "./dom.js";

const FELL = "it fell";
const WHY = ["it struggles", "it gasps or goes limp", "it has a fit", "it jumped", FELL, "another reason"];

export function down(app, screen) {
  const { animal } = app.session;
  return {
    title: `Set ${animal.name} down`,
    body: [
      h("p", {}, "Set it down first. What was done is kept; the rest stays not checked. One touch says why:"),
      h("div.whys", {}, WHY.map((why) => h("button.act", {
        "data-key": `why-${why}`,
        onclick: () => app.act(async () => {
          if (why === FELL) await app.make({ kind: "event", what: "fall_or_blow" });
          await app.make({ kind: "put_down", why });
          app.frame.say("Set down; all is kept.");
          app.go({ name: "done", gasps: why.includes("gasps") || why.includes("fit") });
        }),
      }, why))),
    ],
    main: { words: "Go on with the check", key: "back", quiet: true, go: () => app.go(screen.back ?? { name: "summary" }) },
  };
}
