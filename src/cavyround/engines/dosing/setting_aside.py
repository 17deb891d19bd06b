"""Which reasons somebody who may has set aside, with name and, for a vet, the reason."""

from collections.abc import Iterable

from cavyround.engines.dosing.given import SetAside
from cavyround.engines.dosing.said import Reason
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.orders import Order

MAY_SET_ASIDE = {"vet": frozenset({"vet", "carer"}), "carer": frozenset({"carer"})}


def sort_out(
    reasons: Iterable[Reason], said: Iterable[SetAside], order: Order, animal: AnimalFacts
) -> tuple[tuple[Reason, ...], tuple[tuple[Reason, SetAside], ...]]:
    """The reasons that still stand, and those somebody who may has set aside."""
    of_this = sorted(
        (one for one in said if one.order == order.id and one.animal in ("", animal.id)),
        key=lambda one: (one.key, one.role, one.by, one.why),
    )
    left: list[Reason] = []
    aside: list[tuple[Reason, SetAside]] = []
    for reason in reasons:
        by = next(
            (one for one in of_this if reason.is_covered_by(one.key) and _may(one, reason)), None
        )
        if by is None:
            left.append(reason)
        else:
            aside.append((reason, by))
    return tuple(left), tuple(aside)


def _may(said: SetAside, reason: Reason) -> bool:
    if not said.by.strip() or reason.may not in MAY_SET_ASIDE[said.role]:
        return False
    # A vet's decision needs the vet's reason; a carer only confirms what was read back.
    return reason.may != "vet" or bool(said.why.strip())
