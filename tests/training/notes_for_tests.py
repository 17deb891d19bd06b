"""A few notes of our own in the compact form."""

from typing import Any

Note = dict[str, Any]

TWO: Note = {
    "t": "Biscuit first, left ear crusty, right one clear, Biscuit's nails clipped. "
    "Mr Toff, eight hundred and ten, down fifteen, no crusts anywhere. "
    "Didn't do his belly. Last week he had a cough.",
    "an": [
        {
            "n": "Biscuit",
            "c": ["Biscuit"],
            "f": ["ear.L.crust.p.slight | crusty", "ear.R.normal.p | right one"],
            "k": ["nail_trim.N.done | clipped"],
            "b": "",
            "s": [],
        },
        {
            "n": "Mr Toff",
            "c": ["Mr Toff"],
            "f": [
                "whole.N.weight.p | eight hundred and ten | v=810 g",
                "whole.N.weight_change.p | down fifteen | v=-15 g",
                "skin.N.crust.a | crusts",
            ],
            "k": [],
            "b": "",
            "s": ["belly | Didn't do his belly"],
        },
    ],
    "x": ["history | had a cough"],
}
ONE: Note = {
    "t": "Nettle, both eyes bright, a bald patch on the left flank. Rest of her is fine.",
    "an": [
        {
            "n": "Nettle",
            "c": ["Nettle"],
            "f": ["eye.B.normal.p | eyes", "flank.L.bald_patch.p | bald patch"],
            "k": [],
            "b": "Rest of her is fine",
            "s": [],
        }
    ],
    "x": [],
}
