// The clocks of a labour, and its taps: kept on this phone first, sent when it can be. When the time
// is over the page says so by itself, with a connection or without.
import { newId } from "../check/ids.js";

const KEPT = "cavyround-labour-taps";
const AGAIN_MS = 4000;
const PATIENCE_MS = 15000;
const REFUSED = 422;
const says = document.querySelector("[data-says]");
const unsentWords = document.querySelector("[data-unsent]");
let memory = null;
let sending = false;
let told = "";
let offset = 0;
let read = null;

const labour = () => document.getElementById("labour");

function kept() {
  if (memory) return memory;
  try {
    return JSON.parse(localStorage.getItem(KEPT) ?? "[]");
  } catch { return []; }
}

function keep(taps) {
  try {
    localStorage.setItem(KEPT, JSON.stringify(taps));
    memory = null;
  } catch { memory = taps; } // storage shut off: held as long as the page is open
  const words = taps.map((tap) => `${tap.words}, ${tap.clock}`).join("; ");
  unsentWords.hidden = taps.length === 0;
  if (taps.length) {
    unsentWords.textContent = `${taps.length} not sent yet: ${words}. Kept on this phone and sent as soon as the network allows.`;
  }
}

function serverNow() {
  const page = labour();
  if (page && page !== read) {
    read = page;
    offset = Date.parse(page.dataset.now) - Date.now();
  }
  return Date.now() + offset;
}

function span(ms) {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor((seconds % 3600) / 60);
  const rest = String(seconds % 60).padStart(2, "0");
  return hours ? `${hours} h ${minutes} min` : `${minutes}:${rest} min`;
}

function tick() {
  const page = labour();
  if (!page) return;
  const now = serverNow();
  for (const clock of page.querySelectorAll("[data-since]")) clock.textContent = span(now - Date.parse(clock.dataset.since));
  for (const clock of page.querySelectorAll("[data-until]")) clock.textContent = span(Date.parse(clock.dataset.until) - now);
  if (!page.dataset.ring) return;
  const isNow = page.dataset.ring === "now" || Date.parse(page.dataset.ringAt) <= now;
  for (const part of page.querySelectorAll("[data-when]")) part.hidden = (part.dataset.when === "now") !== isNow;
  const word = isNow ? "Ring the vet now." : "";
  if (word !== told) says.textContent = told = word;
}

async function send() {
  if (sending) return;
  sending = true;
  let sentSome = false;
  try {
    for (let taps = kept(); taps.length; taps = kept()) {
      const [first] = taps;
      const token = document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";
      const body = new URLSearchParams({ ...first.fields, sent_at: new Date().toISOString(), csrfmiddlewaretoken: token });
      const answer = await fetch(first.address, {
        method: "POST", body, headers: { Accept: "application/json" }, signal: AbortSignal.timeout(PATIENCE_MS),
      });
      if (answer.status === REFUSED) {
        const { why } = await answer.json();
        keep(kept().filter((tap) => tap.fields.entry !== first.fields.entry));
        says.classList.remove("unseen");
        says.textContent = `${first.words}, ${first.clock}, was not kept: ${why}`;
        continue;
      }
      if (!answer.ok || answer.redirected) break; // signed out, or the server is down: it stays kept
      keep(kept().filter((tap) => tap.fields.entry !== first.fields.entry));
      sentSome = true;
    }
  } catch { /* no connection: it stays kept */ }
  sending = false;
  if (sentSome) document.body.dispatchEvent(new CustomEvent("seen"));
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest("[data-tap]");
  const button = event.submitter;
  if (!form || !button) return;
  event.preventDefault();
  const at = new Date();
  const fields = { [button.name]: button.value, entry: newId(), at: at.toISOString() };
  const clock = `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
  keep([...kept(), { address: form.action, fields, words: button.textContent.trim(), clock }]);
  navigator.vibrate?.(30);
  send();
});

keep(kept());
tick();
send();
setInterval(tick, 1000);
setInterval(send, AGAIN_MS);
addEventListener("online", send);
