"""Holds, steps and kit: what is looked at, how, and what lies ready."""

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from cavyround.knowledge.conditions import Condition, Strict, Text


class NotFor(Strict):
    """When a hold or step is left out, and the words that say why."""

    when: Condition
    words: Text


class Hold(Strict):
    """How the animal is held for a group of steps."""

    code: Text
    words: Text
    how: Text
    order: int
    cautions: tuple[Text, ...] = ()
    not_for: tuple[NotFor, ...] = ()
    sources: tuple[str, ...] = Field(min_length=1)


class Varies(Strict):
    """How the normal look differs, and with what."""

    with_: Text = Field(alias="with")
    words: Text


class MattersMore(Strict):
    """When a step matters more, and why.

    ``foremost`` ones are said on the check screen itself. So are those that rest on
    what was found, what happened or where the animal lives; the rest stand under help,
    so that an old animal's screen is not all warnings.
    """

    when: Condition
    words: Text
    foremost: bool = False


class CareAtStep(Strict):
    """Small care that goes with a step, offered when one of the findings is seen."""

    care: Text
    words: Text
    when_found: tuple[str, ...] = ()


class Step(Strict):
    """One step of the check."""

    code: Text
    hold: str = ""
    words: Text
    words_for: Mapping[Literal["sow", "boar"], Text] = {}
    why: Text
    look: tuple[Text, ...] = ()
    feel: tuple[Text, ...] = ()
    smell: tuple[Text, ...] = ()
    normal: tuple[Text, ...] = ()
    normal_for: Mapping[Literal["sow", "boar"], tuple[Text, ...]] = {}
    varies: tuple[Varies, ...] = ()
    fits: Condition | None = None
    not_for: tuple[NotFor, ...] = ()
    matters_more: tuple[MattersMore, ...] = ()
    care: tuple[CareAtStep, ...] = ()
    never: tuple[Text, ...] = ()
    kit: tuple[str, ...] = ()
    offers: Mapping[str, tuple[str, ...]] = {}
    sources: tuple[str, ...] = Field(min_length=1)


class KitItem(Strict):
    """Something laid out before a check."""

    words: Text
    for_steps: tuple[str, ...] = ()
    always: bool = False
    when: Condition | None = None
    sources: tuple[str, ...] = ()
