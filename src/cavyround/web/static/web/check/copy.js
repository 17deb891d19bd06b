// Copy the words for the vet. Plain http gives a page no clipboard of its own, so the text is selected and copied.
for (const button of document.querySelectorAll("[data-copies]")) {
  const text = document.getElementById(button.dataset.copies);
  const said = button.parentElement.querySelector("[data-copied]");
  button.hidden = false;
  button.addEventListener("click", async () => {
    text.focus();
    text.select();
    try {
      if (navigator.clipboard) await navigator.clipboard.writeText(text.value);
      else if (!document.execCommand("copy")) throw new Error("not copied");
      said.textContent = "Copied.";
    } catch {
      said.textContent = "It is selected: copy it with your phone's menu.";
    }
  });
}
