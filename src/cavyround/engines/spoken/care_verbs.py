"""Care told by what was done to a place: "trimmed them", "gave both ears a clean"."""

from collections.abc import Iterable

from cavyround.engines.spoken.care_telling import Told
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot
from cavyround.knowledge.words import CareWords

PRONOUNS = frozenset({"it", "them", "em", "that", "those", "both", "him", "her"})


def care_by_verb(
    clause: Clause, spots: list[Spot], desk: Desk, told: Told
) -> Iterable[tuple[str, Item]]:
    """Each care a verb tells at a place said here, or at the one spoken of before."""
    here = [spot.region for spot in spots] + [spot.region for spot in desk.pending]
    # "long nails that I did not cut": the sign names its own place.
    here += [
        one.entry.to
        for item in clause.items
        if not item.left_out and not item.has("verb")
        for one in item.of("sign")
        if one.entry.to in ("nails", "grease_gland", "perineal_sac")
    ]
    topic = [spot.region for spot in desk.topic]
    done: set[str] = set()
    for at, item in enumerate(clause.items):
        if item.left_out or not item.has("verb"):
            continue
        if item.has("sign") and not _is_verb_here(clause, at, told):
            continue
        if item.word.startswith("bath") and _all_over(clause, at):
            continue
        nearest = sorted(spots, key=lambda spot: -abs(spot.at - at))
        ordered = [*here, *(spot.region for spot in nearest)]
        for regions in (ordered, topic if _has_object(clause, at) else []):
            fits = _care_at(item, regions)
            if fits is not None and fits.care not in done:
                if fits.needs_sign and not _has_sign(fits.needs_sign, desk):
                    continue
                if (
                    fits.care == "nail_trim"
                    and item.word in ("do", "doing", "did")
                    and (not here)
                    and "em" not in clause.words
                ):
                    continue
                done.add(fits.care)
                yield fits.care, item
                break


def _care_at(item: Item, regions: list[str]) -> CareWords | None:
    for region in reversed(regions):
        for one in item.of("verb"):
            entry: CareWords = one.entry
            if region in entry.places:
                if entry.care == "wound_clean" and region in ("skin", "ear", "nails"):
                    continue
                return entry
    return None


def _has_sign(finding: str, desk: Desk) -> bool:
    return any(filed.finding == finding for _, filed in desk.last)


GIVING = frozenset({"gave", "give", "given", "giving", "had", "needs", "need", "wants", "want"})
BEFORE_A_JOB = frozenset(
    {"a", "quick", "good", "proper", "another", "little", "with", "his", "her"}
)


def _is_verb_here(clause: Clause, at: int, told: Told) -> bool:
    before = clause.items[at - 1].word if at else ""
    if before in BEFORE_A_JOB:
        # "gave both ears a quick clean", "ears need a good clean".
        return bool(GIVING & set(clause.words[:at])) or told.says("to_come")
    if before in ("me", "can", "someone", "somebody", "will", "please"):
        return True
    after = clause.items[at + 1].word.split()[0] if at + 1 < len(clause.items) else ""
    if after in PRONOUNS - {"both"}:
        return True
    return before in (
        "i",
        "ve",
        "have",
        "got",
        "was",
        "been",
        "and",
        "we",
        "then",
        "just",
        "not",
        "did",
        "didnt",
        "havent",
        "to",
        "couldnt",
        "could",
        "managed",
        "ll",
    ) or (at > 0 and clause.items[at - 1].tail in ("ve", "ll"))


def _all_over(clause: Clause, at: int) -> bool:
    """ "bathed him": the whole animal, whatever place was spoken of."""
    following = clause.items[at + 1].word if at + 1 < len(clause.items) else ""
    return (
        following in ("him", "her", "them")
        and not any(one.has("place") or one.has("places") for one in clause.items[at + 2 : at + 4])
        and clause.items[at].has("care", "bath")
    )


def _has_object(clause: Clause, at: int) -> bool:
    words = clause.items[at].word.split()
    if set(words) & PRONOUNS:
        return True
    following = [one.word for one in clause.items[max(0, at - 2) : at + 3]]
    return bool(set(following) & PRONOUNS) or at + 1 >= len(clause.items) or at == 0
