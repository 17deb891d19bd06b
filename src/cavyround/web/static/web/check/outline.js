// Where on the body: a touch on the outline, or the arrow keys; and how large, if measured.
import { choice, h } from "./dom.js";

const SIZES_MM = [5, 10, 15, 20, 30, 40];
const WIDTH = 1000;
const STEP = 20;

export function outline(app, screen) {
  const one = app.session.sitting.found.find((each) => each.id === screen.entry);
  if (!one) return { title: "Nothing to mark", body: [], main: { words: "Back", go: () => back(app, screen) } };
  const view = screen.view ?? (["belly", "groin", "nipple", "chest", "chin"].includes(one.touch.region) ? "below" : "above");
  const marks = app.session.sitting.marked.filter((mark) => mark.touch.observation === one.id);
  const here = marks.find((mark) => mark.touch.view === view);
  const words = app.round.observation(one.touch);
  const put = (place) => app.act(async () => {
    const size = here?.touch.size_mm ?? (one.touch.unit === "mm" ? one.touch.value : undefined);
    const touch = { kind: "mark", view, observation: one.id, words: words.slice(0, 120), ...(size ? { size_mm: size } : {}), ...place };
    if (here) await app.sayMore(here, place);
    else await app.make(touch);
    app.frame.say(`Marked, seen from ${view}.`);
    app.again();
  });
  return {
    title: "Where on the body?",
    body: [
      h("p.small", {}, words),
      h("div.picks", { role: "group", "aria-label": "Seen from" }, ["above", "below"].map((which) => choice(
        `from ${which}`, which === view, () => app.again({ view: which }), { "data-key": `view-${which}` }))),
      body(view, here?.touch, put),
      here ? h("div.picks", { role: "group", "aria-label": "How large" }, SIZES_MM.map((mm) => choice(`${mm} mm`, Number(here.touch.size_mm) === mm,
        () => app.act(async () => {
          await app.sayMore(here, { size_mm: mm });
          app.again();
        }), { "data-key": `size-${mm}` }))) : h("p.soft.small", {}, "Touch the place. With a keyboard: arrow keys, then Enter."),
    ],
    main: { words: here ? "Done" : "Back without a mark", quiet: !here, go: () => back(app, screen) },
  };
}

function back(app, screen) {
  app.go({ name: "sheet", hold: screen.hold, step: screen.step, region: screen.region, open: screen.entry });
}

function body(view, mark, put) {
  const drawing = document.querySelector(`#outline-${view}`).content.firstElementChild.cloneNode(true);
  drawing.setAttribute("aria-hidden", "true"); // the button round it says what it is
  drawing.querySelector(".outline-side")?.remove(); // and these words stand below it, outside its name
  const place = { x: mark?.x ?? WIDTH / 2, y: mark?.y ?? WIDTH / 2 };
  const spot = document.createElementNS("http://www.w3.org/2000/svg", "g");
  spot.setAttribute("class", mark ? "spot" : "spot spot-faint");
  const circle = document.createElementNS("http://www.w3.org/2000/svg", "circle");
  circle.setAttribute("r", "38");
  spot.append(circle);
  const move = () => spot.setAttribute("transform", `translate(${place.x} ${place.y})`);
  move();
  drawing.append(spot);
  const pad = h("button.outline-pad", {
    "data-key": "outline-pad", "aria-label": `The body seen from ${view}: ${mark ? "marked, touch to move the mark" : "touch the place"}`,
  }, drawing);
  pad.addEventListener("click", (event) => {
    const box = drawing.getBoundingClientRect();
    if (event.detail > 0) {
      place.x = clamp(Math.round(((event.clientX - box.left) / box.width) * WIDTH));
      place.y = clamp(Math.round(((event.clientY - box.top) / box.height) * WIDTH));
    }
    put({ ...place });
  });
  pad.addEventListener("keydown", (event) => {
    const [x, y] = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP] }[event.key] ?? [0, 0];
    if (!x && !y) return;
    event.preventDefault();
    [place.x, place.y] = [clamp(place.x + x), clamp(place.y + y)];
    move();
  });
  const sides = view === "above" ? ["left", "right"] : ["right", "left"];
  return [pad, h("p.outline-sides", {}, sides.map((words) => h("span", {}, words)))];
}

function clamp(value) {
  return Math.min(WIDTH, Math.max(0, value));
}
