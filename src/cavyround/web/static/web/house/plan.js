// Drag an animal to another pen: by its dots with a finger, by any part with a mouse. Dropping
// opens the page of the move, which says what speaks against it and asks why; nothing is moved here.
const FAR_ENOUGH = 8;
const EDGE = 90;
const plan = document.querySelector("[data-plan]");
const says = document.getElementById("plan-says");
let held = null;

function penAt(x, y) {
  return document.elementFromPoint(x, y)?.closest(".pen-box") ?? null;
}

function mark(pen) {
  if (held.over === pen) return;
  held.over?.classList.remove("drop-here");
  held.over = pen;
  pen?.classList.add("drop-here");
  if (pen) says.textContent = `Over ${pen.querySelector(".pen-name").firstChild.textContent.trim()}`;
}

function lift() {
  held.carried = held.lodger.cloneNode(true);
  held.carried.classList.add("carried");
  document.body.append(held.carried);
  held.lodger.classList.add("dragged");
}

function put(event) {
  held.carried.style.left = `${event.clientX}px`;
  held.carried.style.top = `${event.clientY}px`;
  mark(penAt(event.clientX, event.clientY));
  if (event.clientY < EDGE) window.scrollBy(0, -14);
  if (event.clientY > window.innerHeight - EDGE) window.scrollBy(0, 14);
}

function letGo() {
  held.carried?.remove();
  held.lodger.classList.remove("dragged");
  held.over?.classList.remove("drop-here");
  held = null;
}

plan?.addEventListener("pointerdown", (event) => {
  const lodger = event.target.closest("[data-animal]");
  const byGrip = event.target.closest(".grip");
  if (!lodger || event.button !== 0 || !(byGrip || event.pointerType === "mouse")) return;
  held = { lodger, id: event.pointerId, x: event.clientX, y: event.clientY, over: null, carried: null };
  if (byGrip) event.preventDefault();
});

window.addEventListener("pointermove", (event) => {
  if (!held || event.pointerId !== held.id) return;
  const far = Math.hypot(event.clientX - held.x, event.clientY - held.y);
  if (!held.carried && far < FAR_ENOUGH) return;
  event.preventDefault();
  if (!held.carried) lift();
  put(event);
}, { passive: false });

window.addEventListener("pointerup", (event) => {
  if (!held || event.pointerId !== held.id) return;
  const { lodger, over, carried } = held;
  letGo();
  if (!carried) return;
  window.addEventListener("click", (click) => click.preventDefault(), { capture: true, once: true });
  if (over && !over.contains(lodger)) window.location.assign(`${lodger.dataset.move}?pen=${over.dataset.pen}`);
});

window.addEventListener("pointercancel", () => held && letGo());
window.addEventListener("keydown", (event) => { if (event.key === "Escape" && held) letGo(); });
plan?.addEventListener("dragstart", (event) => event.preventDefault());
