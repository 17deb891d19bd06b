// What was not sent yet, why, and what the server would not take.
import { h } from "./dom.js";

export function unsentWords(sender) {
  const parts = [];
  if (sender.refused.length) parts.push(`${sender.refused.length} refused`);
  if (sender.unsent) parts.push(`${sender.unsent} not sent`);
  if (!parts.length) parts.push("all sent");
  if (sender.state === "sign_in") parts.push("sign in again");
  return parts.join(", ");
}

// What is said when the browser's storage was cleared while somebody worked.
export function clearedWords({ photosGone, lasting }) {
  const words = ["This browser's storage was cleared just now. What was entered is put back from this page: go on."];
  if (photosGone) words.push(`${photosGone} ${photosGone === 1 ? "photo that was not sent is gone: take it" : "photos that were not sent are gone: take them"} again.`);
  if (!lasting) words.push("It keeps nothing from now on: leave this page open until all is sent.");
  return words.join(" ");
}

export function sending(app, screen) {
  const { sender } = app;
  const words = {
    idle: sender.unsent ? "Sending now." : sender.refused.length ? "Everything else on this phone has been sent." : "Everything on this phone has been sent.",
    offline: `${sender.why} It is tried again by itself; nothing is lost.`,
    sign_in: sender.why,
    turned_away: `${sender.why} Everything is kept on this phone.`,
  }[sender.state];
  return {
    title: "What was sent",
    body: [
      h("p", { role: "status" }, words),
      h("p", {}, sender.unsent ? `${sender.unsent} ${sender.unsent === 1 ? "entry is" : "entries are"} on this phone and not sent yet.` : ""),
      sender.state === "sign_in" ? h("div.buttons", {}, h("a.act.act-main", {
        href: `${app.addresses.signIn}?next=${encodeURIComponent(app.addresses.shell)}`,
      }, "Sign in again")) : "",
      sender.refused.length ? h("section.card", { "aria-labelledby": "refused" },
        h("h2", { id: "refused" }, "Refused, and kept here"),
        h("ul", {}, sender.refused.map((made) => h("li", {}, h("strong", {}, about(app, made)), `: ${made.why}`))),
        h("div.buttons", {}, h("button.act", {
          "data-key": "try-again",
          onclick: () => app.act(async () => { await sender.tryAgain(); await sender.now(); app.again(); }),
        }, "Send these again"))) : "",
      h("div.buttons", {}, h("button.act", {
        "data-key": "send-now",
        onclick: () => app.act(async () => { await sender.now(); app.again(); }),
      }, "Send now")),
    ],
    main: { words: "Back", go: () => app.go(screen.back ?? { name: "choose" }) },
  };
}

function about(app, made) {
  const id = made.check?.animal ?? made.animal;
  const animal = app.round.animal(id)?.name ?? "an animal";
  if (!made.touch) return `${animal}, a photo`;
  if (made.touch.kind === "observation") return `${animal}, ${app.round.observation(made.touch)}`;
  if (made.touch.kind === "weight") return `${animal}, weight ${made.touch.grams} g`;
  return `${animal}, ${made.touch.kind.replaceAll("_", " ")}`;
}
