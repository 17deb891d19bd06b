// Say it: the phone's own keyboard microphone writes into this field; what is read so far stands below it.
import { h } from "./dom.js";
import { afterHold } from "./ways.js";
import { groups } from "./told.js";

export function say(app, screen) {
  const { hearing } = app;
  const field = h("textarea", {
    id: "said", "data-key": "said", rows: "6", value: hearing.text, autocapitalize: "sentences", autocomplete: "off", "aria-describedby": "said-hint said-where",
    oninput: () => hearing.heard(field.value),
  });
  const status = h("div.heard", { role: "status", "data-part": "heard" });
  hearing.changed = () => {
    if (!field.value) field.value = hearing.text; // what was typed before a reload
    status.replaceChildren(...[soFar(app)].flat(2));
  };
  hearing.changed();
  return {
    title: "Say it",
    body: [
      h("div.field", {},
        h("label", { for: "said" }, `What you see and feel on ${app.session.animal.name}`),
        h("p.hint", { id: "said-hint" }, "Touch the field and then the microphone on the phone's keyboard, and talk while you check. Typing and pasting do as well."),
        field),
      status,
      h("label.act.act-slim.file", {}, h("input.unseen", {
        type: "file", accept: ".vtt,.srt,.txt,text/plain,text/vtt", "data-key": "said-file",
        onchange: (event) => app.act(async () => {
          const [file] = event.target.files;
          if (!file) return;
          const more = await file.text();
          hearing.heard(hearing.hasWords ? `${hearing.text}\n${more}` : more);
          field.value = hearing.text;
        }),
      }), "Take the text of a recording"),
      h("p.small.soft", { id: "said-where" }, "The words are read on the rescue's own machine and stay in this house. The phone's own dictation may send the sound to its maker: its keyboard settings say so and can turn it off."),
    ],
    main: { words: "Read it back", small: "nothing is recorded yet", key: "read-back", go: () => readBack(app, screen, field) },
  };
}

async function readBack(app, screen, field) {
  const { hearing } = app;
  hearing.heard(field.value);
  if (!hearing.hasWords) return app.go(screen.back ?? afterHold(app, null));
  await hearing.read();
  if (hearing.isRead) return app.go({ name: "readback", back: screen.back });
  if (hearing.state === "offline") return keepForLater(app);
  field.focus();
}

// With no connection the words wait with the check, as every touch does.
export async function keepForLater(app) {
  await app.keepWords();
  app.frame.say("The words are kept with the check, and read when there is a connection.");
  app.go(afterHold(app, null));
}

function soFar(app) {
  const { hearing } = app;
  if (!hearing.hasWords) return h("p.small.soft", {}, "Nothing said yet.");
  if (hearing.state === "offline") {
    return h("p.said.warning", {}, h("strong", {}, "No connection: the words are not read now. Only plain emergency words are heard. "),
      "They are kept on this phone and read when it is back. In an emergency touch the sign, or ring the vet.");
  }
  if (["sign_in", "refused"].includes(hearing.state)) return h("p.fault", {}, `${hearing.why} The words stay in the field.`);
  if (!hearing.reading) return h("p.small.soft", {}, "Reading …");
  const told = groups({ round: app.round, animal: app.session.animal, reading: hearing.reading, mends: {} });
  if (!told.some((one) => one.items.length)) return h("p.small.soft", {}, hearing.isRead ? "Nothing in this is a finding so far." : "Reading …");
  return told.map((group) => h("p.small", {}, h("strong", {}, `${group.who?.name ?? group.name}: `),
    group.items.map((item) => wordsOf(app, item)).join("; ")));
}

export function wordsOf(app, item) {
  const { round } = app;
  const { touch } = item;
  if (item.what === "weight") return touch ? `weight ${Number(touch.grams)} g` : `weight ${item.said}`;
  if (item.what === "weight_change") return `change of weight: ${item.said}`;
  if (!touch) return item.said;
  if (touch.kind === "step_normal") return `${round.steps[touch.step]?.words ?? touch.step}: as it should be`;
  if (touch.kind === "step_skipped") return `${round.steps[touch.step]?.words ?? touch.step}: left out`;
  if (touch.kind === "care") {
    const side = ["L", "R", "B"].includes(touch.side) ? `${round.sides[touch.side]} ` : "";
    return [`${side}${(round.care[touch.care] ?? touch.care).replace(/ \(.*\)$/, "")}`, touch.product, touch.detail, CARE_STATUS[touch.status]].filter(Boolean).join(", ");
  }
  return round.observation(touch);
}

const CARE_STATUS = { done: "done", partly: "partly done", not_done: "not done", planned: "to be done later" };
