"""Looks at a page for what a person would stumble over: axe-core's rules, sideways scrolling."""

from functools import lru_cache
from pathlib import Path

from playwright.sync_api import Page

AXE = Path(__file__).parent / "vendor" / "axe-4.14.1.min.js"
RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa")
COLOUR_RULES = ("color-contrast", "link-in-text-block")
RUN = """
async ([type, values]) => {
  const { violations } = await axe.run(document, {
    runOnly: { type, values }, resultTypes: ["violations"],
  });
  return violations.map((one) => {
    const where = one.nodes.slice(0, 3).map((node) => node.target.join(" ")).join("; ");
    return `${one.id}: ${one.help} (${one.nodes.length}: ${where})`;
  });
}
"""
# What sticks out is named, so that the fault can be found.
SIDEWAYS = """
() => {
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= wide) return [];
  const beyond = (one) => one.getBoundingClientRect().right > wide + 1;
  const out = [...document.querySelectorAll("main *")].filter(
    (one) => beyond(one) && ![...one.children].some(beyond),
  );
  return [`scrolls sideways: ${document.documentElement.scrollWidth} px of ${wide}, ${
    out.slice(0, 3).map((one) => `${one.tagName.toLowerCase()}.${one.className} "${
      one.textContent.trim().slice(0, 40)}"`).join(", ")}`];
}
"""


@lru_cache(maxsize=1)
def _axe() -> str:
    return AXE.read_text()


def faults_on(page: Page) -> list[str]:
    """What axe-core finds, and whether the page scrolls sideways."""
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(_axe())
    found: list[str] = page.evaluate(RUN, ["tag", list(RULES)])
    sideways: list[str] = page.evaluate(SIDEWAYS)
    return found + sideways


def faults_by_day_and_night(page: Page) -> list[str]:
    """The same, and by night what has to do with colour: nothing else changes with the light."""
    found = faults_on(page)
    page.emulate_media(color_scheme="dark")
    # A colour on its way from day to night is neither.
    page.wait_for_function("document.getAnimations().every((one) => one.playState !== 'running')")
    by_night: list[str] = page.evaluate(RUN, ["rule", list(COLOUR_RULES)])
    page.emulate_media(color_scheme="light")
    return found + [f"by night: {one}" for one in by_night]
