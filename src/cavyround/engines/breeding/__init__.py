"""Breeding: sexings, mating risk, days of birth, labour, litters. Nothing here helps to breed."""

from cavyround.engines.breeding.contacts import Contact, contacts_of_all
from cavyround.engines.breeding.expecting import STATE_WORDS, Expecting, State, expecting
from cavyround.engines.breeding.fertile import Fertile, as_dam, as_sire, castrated_wait
from cavyround.engines.breeding.first_litter import FirstLitter, first_litter, possible_first_litter
from cavyround.engines.breeding.labour import Labour, LabourCall, labour, labour_seen
from cavyround.engines.breeding.litters import LitterState, PupState, beside_litter, litter_state
from cavyround.engines.breeding.reasons import Reason
from cavyround.engines.breeding.sexing import SexKnown, sex_of
from cavyround.engines.breeding.window import (
    Conceived,
    Window,
    least_days_on,
    mean_gestation,
    possible_window,
)

__all__ = [
    "STATE_WORDS",
    "Conceived",
    "Contact",
    "Expecting",
    "Fertile",
    "FirstLitter",
    "Labour",
    "LabourCall",
    "LitterState",
    "PupState",
    "Reason",
    "SexKnown",
    "State",
    "Window",
    "as_dam",
    "as_sire",
    "beside_litter",
    "castrated_wait",
    "contacts_of_all",
    "expecting",
    "first_litter",
    "labour",
    "labour_seen",
    "least_days_on",
    "litter_state",
    "mean_gestation",
    "possible_first_litter",
    "possible_window",
    "sex_of",
]
