"""Emergency signs said of an animal: one sign is enough, before the rest is read."""

from collections.abc import Iterable, Iterator

from cavyround.engines.conditions.single import single_findings
from cavyround.engines.conditions.triggers import OncePerBook
from cavyround.engines.spoken.result import ReadAnimal, RedFlag, SaidFinding
from cavyround.facts.observation import Status
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Seen
from cavyround.knowledge.rules import Rule
from cavyround.knowledge.urgency import Urgency


def _alone(book: Knowledge) -> list[tuple[Rule, Seen]]:
    return [
        (rule, seen)
        for rule in book.rules
        if rule.urgency is Urgency.EMERGENCY and rule.when is not None
        for seen in single_findings(rule.when, book)
    ]


_signs_of = OncePerBook(_alone)


def flags_of(animals: Iterable[ReadAnimal], book: Knowledge) -> Iterator[RedFlag]:
    """The emergency signs of all animals; a doubtful one counts, and is marked."""
    for animal in animals:
        for finding in animal.findings:
            if finding.status is Status.ABSENT:
                continue
            rule = next((rule for rule, seen in _signs_of(book) if _fits(seen, finding)), None)
            if rule is not None:
                yield RedFlag(
                    animal=animal.name,
                    region=finding.region,
                    finding=finding.finding,
                    says=rule.because or rule.says,
                    rule=rule.id,
                    spans=finding.spans,
                    uncertain=finding.status is Status.UNCERTAIN,
                )


def _fits(seen: Seen, finding: SaidFinding) -> bool:
    return (
        finding.finding in seen.finding
        and (not seen.region or finding.region in seen.region)
        and (not seen.kind or bool(finding.kinds & set(seen.kind)))
        and (not seen.kind_said or bool(finding.kinds & set(seen.kind_said)))
        and (not seen.grade or finding.grade in seen.grade)
    )
