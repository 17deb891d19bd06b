"""What the sexings of an animal come to, and for which sex it counts until they agree."""

from collections.abc import Sequence
from dataclasses import dataclass

from cavyround.facts.animal import Sex
from cavyround.facts.breeding import Breeder, Sexing, Sure

SECOND_LOOK = "A second person looks too."
SETTLES = frozenset({Sure.TWO_PEOPLE})


@dataclass(frozen=True, slots=True, kw_only=True)
class SexKnown:
    """The sex it counts as (unknown: could be either), whether that is an alarm, and why."""

    sex: Sex
    sure: Sure
    disputed: bool
    words: str
    do: str
    rests_on: tuple[Sexing, ...]

    @property
    def may_be(self) -> frozenset[Sex]:
        """The sexes it may have."""
        return frozenset({Sex.SOW, Sex.BOAR}) if self.sex is Sex.UNKNOWN else frozenset({self.sex})


def sex_of(animal: Breeder) -> SexKnown:
    """For which sex an animal counts.

    Two people who disagree make it count as either, until two people look together
    and agree. What was only told, or written down without how sure, counts as either too.
    """
    looks = _since_settled([one for one in animal.sexings if one.sex is not Sex.UNKNOWN])
    said = {one.sex for one in looks if one.sure is not Sure.TOLD}
    if len(said) > 1:
        return SexKnown(
            sex=Sex.UNKNOWN,
            sure=Sure.UNKNOWN,
            disputed=True,
            words=_disagree(looks),
            do="Two people look again, together, and enter what they agree on. Until then it "
            "counts as either sex: keep it with none of another sex, and from none known.",
            rests_on=tuple(looks),
        )
    if said:
        return _agreed(looks)
    if looks or animal.sure is Sure.TOLD:
        told = looks[-1].sex if looks else animal.sex
        words = f"Only told to be a {told}; nobody here has looked."
        return _either(words, tuple(looks))
    if animal.sex is Sex.UNKNOWN:
        return _either("Nobody has sexed it yet.", ())
    if animal.sure is Sure.UNKNOWN:
        return _either(f"Written down as a {animal.sex}, and nobody said how sure.", ())
    return SexKnown(
        sex=animal.sex,
        sure=animal.sure,
        disputed=False,
        words=f"Written down as a {animal.sex}.",
        do=SECOND_LOOK if animal.sure is Sure.LIKELY else "",
        rests_on=(),
    )


def _since_settled(looks: Sequence[Sexing]) -> list[Sexing]:
    """The looks in their order, from the last one that two people agreed on."""
    ordered = sorted(looks, key=lambda one: (one.at, one.id))
    settled = [place for place, one in enumerate(ordered) if one.sure in SETTLES]
    return ordered[settled[-1] :] if settled else ordered


def _agreed(looks: Sequence[Sexing]) -> SexKnown:
    seen = [one for one in looks if one.sure is not Sure.TOLD]
    people = {one.by for one in seen}
    last = seen[-1]
    surest = Sure.TWO_PEOPLE if len(people) > 1 else last.sure
    return SexKnown(
        sex=last.sex,
        sure=surest,
        disputed=False,
        words=f"A {last.sex}: {' and '.join(sorted(people))} looked"
        + (", two people agreed." if surest is Sure.TWO_PEOPLE else "."),
        do="" if surest in (Sure.SURE, Sure.TWO_PEOPLE) else SECOND_LOOK,
        rests_on=tuple(looks),
    )


def _either(words: str, looks: tuple[Sexing, ...]) -> SexKnown:
    return SexKnown(
        sex=Sex.UNKNOWN,
        sure=Sure.TOLD if looks else Sure.UNKNOWN,
        disputed=False,
        words=words,
        do="Sex it, with a second person. Until then it counts as either sex.",
        rests_on=looks,
    )


def _disagree(looks: Sequence[Sexing]) -> str:
    people = {one.by for one in looks if one.sure is not Sure.TOLD}
    said = "; ".join(
        f"{one.by} on {one.at:%d %B %Y}: {one.sex}" for one in looks if one.sure is not Sure.TOLD
    )
    if len(people) == 1:
        return f"One person looked more than once and said both ({said})."
    return f"Those who looked do not agree ({said})."
