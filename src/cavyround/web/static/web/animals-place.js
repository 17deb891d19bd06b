// A tap on the outline sets the place; the sliders do the same for keyboard and screen reader.
const EDGE = 1000;
const place = document.querySelector("[data-place]");
const sliders = { x: place.querySelector("[name=x]"), y: place.querySelector("[name=y]") };
const views = [...place.querySelectorAll("[name=view]")];
const figures = [...place.querySelectorAll("figure[data-side]")];
const spot = document.createElementNS("http://www.w3.org/2000/svg", "g");
spot.classList.add("spot", "spot-held");
const lozenge = document.createElementNS("http://www.w3.org/2000/svg", "path");
lozenge.setAttribute("d", "M0-62 62 0 0 62-62 0Z");
spot.append(lozenge);

function draw() {
  const view = views.find((one) => one.checked)?.value ?? "";
  spot.remove();
  for (const figure of figures) {
    const here = figure.dataset.side === view;
    figure.toggleAttribute("data-chosen", here);
    if (here) figure.querySelector("svg").append(spot);
  }
  spot.setAttribute("transform", `translate(${sliders.x.value} ${sliders.y.value})`);
}

const within = (value) => Math.round(Math.min(EDGE, Math.max(0, value)) / 10) * 10;

for (const figure of figures) {
  const svg = figure.querySelector("svg");
  svg.addEventListener("click", (tap) => {
    const at = new DOMPoint(tap.clientX, tap.clientY).matrixTransform(svg.getScreenCTM().inverse());
    sliders.x.value = within(at.x);
    sliders.y.value = within(at.y);
    views.find((one) => one.value === figure.dataset.side).checked = true;
    draw();
  });
}
place.addEventListener("input", draw);
place.addEventListener("change", draw);
draw();
