// Whoever signs out leaves no page and no photo behind on this phone. What was not sent yet lies in
// another store and stays.
async function forgetPages() {
  if (!("caches" in window)) return;
  try {
    await Promise.all((await caches.keys()).map((name) => caches.delete(name)));
  } catch { /* storage shut off: then nothing was kept either */ }
}
if (document.querySelector("[data-nobody]")) forgetPages();
for (const form of document.querySelectorAll("[data-signs-out]")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    await forgetPages();
    form.submit();
  }, { once: true });
}

// A button beside every password field that shows what was typed: gloves and small keys mistype.
for (const field of document.querySelectorAll("input[type=password]")) {
  const box = document.createElement("div");
  box.className = "with-show";
  const button = document.createElement("button");
  button.type = "button";
  button.className = "act show";
  const label = document.querySelector(`label[for="${field.id}"]`)?.textContent ?? "password";
  const say = (shown) => {
    button.textContent = shown ? "Hide" : "Show";
    button.setAttribute("aria-label", `${shown ? "Hide" : "Show"}: ${label}`);
  };
  say(false);
  button.addEventListener("click", () => {
    const shown = field.type === "password";
    field.type = shown ? "text" : "password";
    say(shown);
  });
  field.before(box);
  box.append(field, button);
  // Never leave a password readable when the form goes.
  field.form?.addEventListener("submit", () => { field.type = "password"; });
}
