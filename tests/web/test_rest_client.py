"""How long what has come up rests: past a double touch, no longer than an honest thumb waits."""

import pytest

from tests.web.client import say

# Touches and changes of the screen at their moments, in ms; which of the touches count.
COUNTED = """
let now = 0;
const timers = new Map();
globalThis.performance = { now: () => now };
globalThis.setTimeout = (work, millis) => { timers.set(work, now + millis); return work; };
globalThis.clearTimeout = (work) => timers.delete(work);
const heard = {};
const root = { dataset: {}, addEventListener: (name, listener) => { heard[name] = listener; } };
const { Rest } = await use("rest");
const rest = new Rest(root);
const counted = [];
for (const [moment, what] of happens) {
  now = moment;
  for (const [work, due] of [...timers]) if (due <= now) { timers.delete(work); work(); }
  if (what === "changes") rest.begin();
  else {
    let stopped = false;
    heard.click({ preventDefault() {}, stopImmediatePropagation() { stopped = true; } });
    if (!stopped) counted.push(moment);
  }
}
return counted;
"""


@pytest.mark.parametrize(
    ("happens", "counted"),
    [
        # The screen changes at once: a touch from 350 ms after the first on is meant.
        ([(1000, "touch"), (1010, "changes"), (1060, "touch")], [1000]),
        ([(1000, "touch"), (1010, "changes"), (1300, "touch")], [1000]),
        ([(1000, "touch"), (1010, "changes"), (1351, "touch")], [1000, 1351]),
        # What was ignored does not make the rest longer, however often it is touched.
        (
            [(1000, "touch"), (1010, "changes"), (1120, "touch"), (1240, "touch"), (1360, "touch")],
            [1000, 1360],
        ),
        # A slow phone: nobody has read in a fifth of a second what has only just come up.
        ([(1000, "touch"), (1400, "changes"), (1500, "touch"), (1601, "touch")], [1000, 1601]),
        # What comes up by itself under the thumb.
        ([(5000, "changes"), (5100, "touch"), (5201, "touch")], [5201]),
        # A pad that does not change takes digits as fast as they come.
        ([(1000, "touch"), (1080, "touch"), (1160, "touch")], [1000, 1080, 1160]),
    ],
)
def test_a_touch_counts_where_it_was_meant(
    happens: list[tuple[int, str]], counted: list[int]
) -> None:
    assert say(COUNTED, happens=happens) == counted
