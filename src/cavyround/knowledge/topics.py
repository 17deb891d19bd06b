"""Topics of advice lines: which say the same, which come first, which are silenced by others."""

from collections.abc import Mapping

from pydantic import Field

from cavyround.knowledge.conditions import Condition, Strict, Text


class Topic(Strict):
    """The lines of one act.

    ``say`` is the one line all become at an urgency; ``first`` puts it on top.
    ``silenced_by`` names topics beside which these lines would harm or contradict,
    ``silenced_when`` a condition in which they would.
    """

    lines: tuple[Text, ...] = Field(min_length=1)
    say: Mapping[str, Text] = {}
    first: bool = False
    silenced_by: tuple[str, ...] = ()
    silenced_when: Condition | None = None
