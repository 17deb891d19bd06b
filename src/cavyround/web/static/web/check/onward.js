// On the advice page: what this phone has not sent yet goes on being sent, and the round goes on.
import { Sender } from "./sending.js";
import { openStore } from "./store.js";

for (const link of document.querySelectorAll("[data-next]")) link.href = link.dataset.next;

async function sendOn(page) {
  const words = page.querySelector("[data-waiting]");
  const sender = new Sender(await openStore(), { ...page.dataset }, () => {
    words.hidden = !sender.unsent;
    words.textContent = sender.state === "sign_in"
      ? "Something on this phone is not sent yet. Sign in again; it is kept until then."
      : `${sender.unsent} ${sender.unsent === 1 ? "photo or entry" : "photos and entries"} of this phone not sent yet: being sent now. What is left goes with the next check.`;
  });
  await sender.count();
  if (sender.unsent) sender.now();
}

const page = document.querySelector("[data-touches]");
if (page) sendOn(page);
