// Shows only the fields that go with what was chosen. Without script all of them are there.
const form = document.querySelector("[data-animal-form]");

const chosen = (name) => form.elements[name]?.value ?? "";
const rules = {
  born_on: () => chosen("birth") === "exact",
  born_earliest: () => chosen("birth") === "between",
  born_latest: () => chosen("birth") === "between",
  pregnant: () => chosen("sex") !== "boar" || ["yes", "possible"].includes(chosen("pregnant")),
  due_from: () => ["yes", "possible"].includes(chosen("pregnant")),
};

function fit() {
  for (const [name, wanted] of Object.entries(rules)) {
    const part = form.querySelector(`[data-part="${name}"]`);
    if (part) part.hidden = !(wanted() || part.querySelector(".fault"));
  }
}

if (form) {
  form.addEventListener("change", fit);
  fit();
}
