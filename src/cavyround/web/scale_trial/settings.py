"""The numbers by which the browser decides that a weight has settled."""

from typing import Any

from django.urls import reverse

from cavyround.advice.book import book

# What the browser calls a number, and the threshold it is.
NUMBERS = {
    "within_pct": "scale_within_pct",
    "accuracy_g": "scale_accuracy_g",
    "step_pct": "scale_step_pct",
    "hold_s": "scale_hold_s",
    "block_s": "scale_block_s",
    "least_blocks": "scale_least_blocks",
    "far_pct": "scale_far_pct",
    "drift_pct": "scale_drift_pct",
    "levels_apart_pct": "scale_levels_apart_pct",
    "contradicted_s": "scale_contradicted_s",
    "nought_g": "scale_nought_within_g",
    "empty_s": "scale_empty_s",
    "silent_s": "scale_silent_s",
    "lone_s": "scale_lone_s",
}


def scale_settings() -> dict[str, Any]:
    """What the bar of a scale is given as ``settings``: numbers of the knowledge, and the trial."""
    window = book().span("scale_window_s")
    return {
        **{name: float(book().number(key)) for name, key in NUMBERS.items()},
        "window_s": [float(window.low), float(window.high)],
        # Lighter than the lightest newborn is no animal.
        "lightest_g": float(book().span("plausible_g").low),
        "trial": reverse("scale-trial"),
    }
