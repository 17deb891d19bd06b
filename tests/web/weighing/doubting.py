"""The cases of a doubt, and what the engine and the phone say of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import yaml

from cavyround.advice.book import book
from cavyround.engines.weight.doubting import doubt_of
from cavyround.engines.weight.said import Band, Doubt, Expected

CASES = Path(__file__).with_name("doubt_cases.yaml")
# What the phone says of a list of asked weights; `doubtOf` is the module's own.
ASK_THE_PHONE = (
    "asked.map(({ grams, expected, mates, bounds }) => doubtOf(grams, expected, mates, bounds))"
)
Bands = Mapping[str, Any]


@dataclass(frozen=True)
class Case:
    """One weight read for an animal in its pen, and what should be said of it."""

    says: str
    grams: str
    expected: Bands
    mates: Mapping[str, Bands]
    reason: str | None
    meant_g: str | None
    fits: str


def cases() -> list[Case]:
    """The table."""
    return [
        Case(
            says=one["says"],
            grams=one["grams"],
            expected=one["expected"],
            mates=one.get("mates", {}),
            reason=one.get("reason"),
            meant_g=one.get("meant_g"),
            fits=one.get("fits", ""),
        )
        for one in yaml.safe_load(CASES.read_text(encoding="utf-8"))["cases"]
    ]


def engine_says(case: Case) -> Doubt | None:
    """The doubt of the engine, with the mates called by their ids' names."""
    mates = {name: _expected(bands) for name, bands in case.mates.items()}
    names = {name: name.title() for name in mates}
    return doubt_of(Decimal(case.grams), _expected(case.expected), mates, book=book(), names=names)


def _expected(bands: Bands) -> Expected:
    likely, plausible = (_band(*bands[name]) for name in ("likely", "plausible"))
    return Expected(likely=likely, plausible=plausible, known=bands["known"])


def _band(low: float, mid: float, high: float) -> Band:
    return Band(float(low), float(mid), float(high))


def asked(case: Case) -> dict[str, Any]:
    """The same case as the phone has it."""
    tub = book().model_span("carrier_g")
    return {
        "grams": float(case.grams),
        "expected": _as_json(case.expected),
        "mates": [
            {"id": name, "name": name.title(), "expected": _as_json(bands)}
            for name, bands in case.mates.items()
        ],
        "bounds": {
            "carrier_g": [float(tub.low), float(tub.high)],
            "asked_beyond": float(book().model_number("asked_beyond")),
            "neighbour_beyond": float(book().model_number("neighbour_beyond")),
        },
    }


def _as_json(bands: Bands) -> dict[str, Any]:
    names = ("low", "mid", "high")
    both = {
        which: dict(zip(names, map(float, bands[which]), strict=True))
        for which in ("likely", "plausible")
    }
    return both | {"known": bands["known"]}


def as_said(doubt: Doubt | None) -> dict[str, Any] | None:
    """A doubt of the engine in the form the phone gives it."""
    if doubt is None:
        return None
    return {
        "reason": doubt.reason,
        "words": doubt.words,
        "meant_g": None if doubt.meant_g is None else float(doubt.meant_g),
        "fits": doubt.fits,
    }
