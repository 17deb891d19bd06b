"""How sure a statement about a medicine is, who may set it aside, and that it names a source."""

from typing import Literal

from pydantic import Field

from cavyround.knowledge.conditions import Strict

Sure = Literal["seen", "memory", "unverified"]
# Who may set a reason against a dose aside: nobody; a vet, with name and reason; a carer who
# confirms it. "said": no reason against it, only said.
May = Literal["nobody", "vet", "carer", "said"]


class Sourced(Strict):
    """An entry that names at least one source."""

    sources: tuple[str, ...] = Field(min_length=1)
