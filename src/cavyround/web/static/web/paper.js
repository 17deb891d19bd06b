// The browser's own dialogue prints; without this file its menu does the same.
for (const button of document.querySelectorAll("[data-print]")) {
  button.addEventListener("click", () => window.print());
}
