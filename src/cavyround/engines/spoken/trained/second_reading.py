"""The second reading of a text: what the rules made of it, weighed by the network."""

from collections.abc import Sequence
from dataclasses import replace

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.result import ReadNote, RedFlag
from cavyround.engines.spoken.sheets import UNNAMED, Filed, Sheet
from cavyround.engines.spoken.tokens import Token
from cavyround.engines.spoken.trained.answering import Answering
from cavyround.engines.spoken.trained.dose_lists import tell_amounts_apart
from cavyround.engines.spoken.trained.hints import Hints, ReadByRules
from cavyround.engines.spoken.trained.mentions import Lead, called
from cavyround.engines.spoken.trained.owners import Owners
from cavyround.engines.spoken.trained.pieces import pieces_of
from cavyround.engines.spoken.trained.words_answered import Answers, answers_for
from cavyround.facts.observation import Status
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.trained import TrainedWeights

# Some ten seconds of reading on a plain machine. What is longer is read by the rules alone.
MOST_WORDS = 8000
MOST_PIECES = 12_000
LEFT_OUT_FROM = 0.5
ONLY_ONE_DOSE = "a dose that only one of two readings found"
ONLY_RULES = "an emergency sign that only one of two readings found"


def is_short_enough(tokens: Sequence[Token], text: str, weights: TrainedWeights) -> bool:
    """Whether a text is read a second time; one without a word never is."""
    if not 0 < len(tokens) <= MOST_WORDS:
        return False
    words = (text[token.span.start : token.span.end] for token in tokens)
    return sum(len(pieces_of(word, weights.pieces)) for word in words) <= MOST_PIECES


def second_reading(
    reading: ReadByRules,
    ruled: Sequence[Sheet],
    note: ReadNote,
    *,
    text: str,
    pen: Sequence[str],
    checking: str,
    weights: TrainedWeights,
    book: Knowledge,
) -> list[Sheet]:
    """The sheets of a text as the network has them.

    Args:
        reading: the text as the rules have cut and read it.
        ruled: the sheets of the rules.
        note: what the rules made of it all.
        text: the text itself.
        pen: the names of the pen, where they are known.
        checking: the animal on the table; what names nobody is said of it.
        weights: what was learned.
        book: the knowledge.
    """
    hints = Hints(reading, note)
    answers = answers_for(reading.tokens, hints.codes(), text, weights)
    first = sum(1 for token in reading.tokens if token.span.end < reading.lead - 1)
    named = called(
        reading.tokens,
        hints,
        reading.items,
        pen,
        answers,
        book.words.described,
        Lead(checking, first) if reading.lead else None,
    )
    item_of = _item_of_words(hints, reading)
    answering = Answering(
        book=book,
        answers=answers,
        owners=Owners(named, answers, reading.tokens, hints.owners),
        called=named,
        item_of=item_of,
        items=reading.items,
        ruled=ruled,
        nobody=checking or (named.names[0] if len(named.names) == 1 else UNNAMED),
    )
    sheets = answering.write()
    tell_amounts_apart(sheets, named, reading.items, item_of, ruled)
    _keep_alarms(sheets, ruled, note.red_flags, nobody=answering.nobody)
    _keep_doses(sheets, ruled, nobody=answering.nobody)
    sheets = _with_something_said(sheets, named.names)
    _mark_words(reading.items, sheets, item_of, answers)
    return sheets


def _keep_alarms(
    sheets: list[Sheet], ruled: Sequence[Sheet], flags: Sequence[RedFlag], *, nobody: str
) -> None:
    """An emergency sign that only the rules read stays in the list, marked to be looked at.

    The screen tells of it at once: what is then kept must not be without it.
    """
    alarming = {(flag.animal, flag.region, flag.finding) for flag in flags}
    for sheet in ruled:
        same = [one for one in sheets if one.name == sheet.name]
        for filed in sheet.findings:
            if (sheet.name, filed.region, filed.finding) not in alarming:
                continue
            if filed.status is Status.ABSENT or _is_there(filed.finding, same or sheets):
                continue
            if _is_told_of_another(filed, sheets, ruled):
                continue
            whose = next(iter(same), None) or _sheet_of(nobody, sheets)
            # What the network denied at that place is what the rules read as there.
            whose.findings = [
                one
                for one in whose.findings
                if (one.finding, one.region) != (filed.finding, filed.region)
            ]
            whose.file(replace(filed, unsure=filed.unsure or ONLY_RULES))


def _is_there(finding: str, sheets: Sequence[Sheet]) -> bool:
    return any(
        one.finding == finding and one.status is not Status.ABSENT
        for sheet in sheets
        for one in sheet.findings
    )


def _keep_doses(sheets: list[Sheet], ruled: Sequence[Sheet], *, nobody: str) -> None:
    """A named medicine with its amount that only the rules read as given stays, to be looked at.

    The network was taught few names of medicines. A dose that nobody wrote down is given again.
    """
    known = {id(item) for sheet in sheets for one in sheet.care for item in one.items}
    for sheet in ruled:
        for given in sheet.care:
            whole = given.product and given.value is not None and given.status == "done"
            if not whole or any(id(item) in known for item in given.items if not item.has("unit")):
                continue
            same = next((one for one in sheets if one.name == sheet.name), None)
            whose = same or _sheet_of(nobody, sheets)
            if any(
                one.care == given.care and one.product in ("", given.product) for one in whose.care
            ):
                continue
            whose.care.append(replace(given, unsure=given.unsure or ONLY_ONE_DOSE))


def _is_told_of_another(filed: Filed, sheets: Sequence[Sheet], ruled: Sequence[Sheet]) -> bool:
    """Whether the network gives the same words to an animal the rules did not give them to."""
    return bool(_who_has(filed, sheets) - _who_has(filed, ruled))


def _who_has(filed: Filed, sheets: Sequence[Sheet]) -> set[str]:
    words = {id(item) for item in filed.items}
    return {
        sheet.name
        for sheet in sheets
        for one in sheet.findings
        if one.finding == filed.finding
        and one.status is not Status.ABSENT
        and any(id(item) in words for item in one.items)
    }


def _sheet_of(name: str, sheets: list[Sheet]) -> Sheet:
    found = next((one for one in sheets if one.name == name), None)
    if found is None:
        found = Sheet(name)
        sheets.append(found)
    return found


def _item_of_words(hints: Hints, reading: ReadByRules) -> list[Item | None]:
    item_of: list[Item | None] = [None] * len(reading.tokens)
    for item in reading.items:
        for at in hints.words_in(item.span):
            item_of[at] = item
    return item_of


def _with_something_said(sheets: Sequence[Sheet], named: Sequence[str]) -> list[Sheet]:
    said = [one for one in sheets if one.findings or one.care or one.blanket or one.skipped]
    # Somebody who is only named is shown too, unless nothing was said of anybody.
    return [one for one in sheets if one in said or one.name in named] if said else []


def _mark_words(
    items: Sequence[Item],
    sheets: Sequence[Sheet],
    item_of: Sequence[Item | None],
    answers: Answers,
) -> None:
    """Each word is shown as used, or as left out with the reason where one is known."""
    used: set[int] = set()
    for sheet in sheets:
        used.update(id(item) for one in sheet.findings for item in one.items)
        used.update(id(item) for one in sheet.care for item in one.items)
        used.update(id(item) for item in sheet.blanket)
    for item in items:
        item.used = id(item) in used
        if item.used:
            item.left_out = ""
    shares = answers.share("X")
    kinds = answers.weights.codes["X"]
    for at, of_word in enumerate(item_of):
        best = int(shares[at].argmax())
        silent = of_word is not None and not of_word.used and not of_word.left_out
        if of_word is not None and silent and shares[at, best] >= LEFT_OUT_FROM:
            of_word.left_out = kinds[best]
