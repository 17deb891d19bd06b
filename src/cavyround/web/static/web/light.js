// Day, night or as the phone says: set before the first paint so that nothing flashes.
(() => {
  const read = () => {
    try { return localStorage.getItem("light"); } catch { return null; /* storage may be shut off: follow the phone */ }
  };
  const show = (chosen) => {
    if (chosen === "day" || chosen === "night") document.documentElement.dataset.light = chosen;
    else delete document.documentElement.dataset.light;
  };
  show(read());
  // Another open page on this phone follows at once.
  addEventListener("storage", (event) => { if (event.key === "light") show(event.newValue); });
  addEventListener("DOMContentLoaded", () => {
    const form = document.querySelector("[data-light-choice]");
    if (!form) return;
    form.hidden = false;
    document.querySelector("[data-light-without]")?.remove();
    const chosen = read() ?? "";
    for (const choice of form.elements.light) choice.checked = choice.value === chosen;
    form.addEventListener("change", (event) => {
      const { value } = event.target;
      show(value);
      try {
        if (value) localStorage.setItem("light", value);
        else localStorage.removeItem("light");
      } catch { /* shown now, and asked again next time */ }
    });
  });
})();
