// The words as they came: what was read is underlined, what was left out is not, and says why.
import { h } from "./dom.js";
import { groups, leftOut } from "./told.js";

const WHY = {
  history: "earlier, not now", hypothetical: "if, or in case", general_talk: "of guinea pigs in general", to_animal: "to the animal",
  other_person: "of somebody else", question: "a question", plan: "for later", corrected: "taken back while talking", homophone: "misheard",
  name_pun: "a name", equipment: "of the things around",
};

export function saidText(app, screen, { text, reading, mends }) {
  const lit = groups({ round: app.round, animal: app.session.animal, reading, mends }).flatMap((one) => one.items).find((item) => item.key === screen.lit);
  const isLit = (from) => lit?.spans.some(([start, end]) => start <= from && from < end);
  const parts = [];
  let at = 0;
  for (const [from, to, used] of reading.words) {
    if (from > at) parts.push(text.slice(at, from));
    parts.push(h(isLit(from) ? "mark.word" : "span.word", { "data-used": used ? "yes" : "no" }, text.slice(from, to)));
    at = to;
  }
  parts.push(text.slice(at));
  const block = h("section.card.said-words", { "aria-labelledby": "said-words" },
    h("h2", { id: "said-words" }, "Your words"),
    h("p.small.soft", {}, h("span.word", { "data-used": "yes" }, "Underlined"), " was read; the rest was left out."),
    h("blockquote", {}, parts),
    reading.heard_as.length ? h("p.small", {}, "Heard otherwise: ", reading.heard_as.map(([from, to, meant]) => `“${text.slice(from, to)}” as ${meant}`).join("; ")) : "",
    leftOut(text, reading.words).map(({ why, words }) => h("p.small", {}, h("span.chip", {}, WHY[why] ?? "left out"), ` “${words}”`)));
  if (lit) queueMicrotask(() => block.querySelector("mark")?.scrollIntoView({ block: "center" }));
  return block;
}
