"""What is said of a sign more closely: how marked it is, of which kind."""

from cavyround.engines.spoken.beside import GAP
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.facts.observation import Grade
from cavyround.knowledge.book import Knowledge

GRADES = ("healing", "worse", "same", "marked", "moderate", "slight")
FEELS = frozenset({"firm", "soft", "movable", "fixed", "bony"})
DESCRIBED = frozenset({"lump", "cyst", "abscess", "swelling", "discharge", "bite"})


def grade_of(clause: Clause, at: int) -> Grade | None:
    """How marked a sign is, by the nearest word that says so; None where none does."""
    items = clause.items
    for index in range(at - 1, max(-1, at - 5), -1):
        if items[index].has("sign"):
            break
        for grade in GRADES:
            if items[index].cue(grade):
                items[index].used = True
                return Grade(grade)
    for index in range(at + 1, len(items)):
        if items[index].has("sign") and not items[index].has("cue"):
            break
        for grade in GRADES:
            if items[index].cue(grade):
                items[index].used = True
                return Grade(grade)
    return None


def kinds_of(clause: Clause, at: int, finding: str, book: Knowledge) -> set[str]:
    """Words beside the sign that describe it more closely, if it has such kinds."""
    allowed = set(book.vocabulary.findings[finding].kinds)
    kinds: set[str] = set()
    if not allowed:
        return kinds
    for index, item in enumerate(clause.items):
        if item.left_out or abs(index - at) > GAP:
            continue
        if index != at and item.has("sign") and not item.notes.get("kind_of"):
            continue
        for one in item.of("kind"):
            if one.code in allowed:
                kinds.add(one.code)
                item.used = True
    return kinds | _kinds_within(clause.items[at], finding, allowed, book)


def _kinds_within(item: Item, finding: str, allowed: set[str], book: Knowledge) -> set[str]:
    """ "something firm": the words for a lump hold how it feels."""
    if finding != "lump":
        return set()
    words = set(item.word.split())
    return {kind for kind in FEELS & allowed if words & set(book.words.kinds[kind])}


def mark_kinds(clauses: list[Clause], book: Knowledge) -> None:
    """Words that only describe the sign right behind them: "yellow discharge", "hard lump"."""
    for clause in clauses:
        items = clause.items
        for at, item in enumerate(items):
            if not (item.has("kind") and item.has("sign")):
                continue
            for later in items[at + 1 : at + 5]:
                if later.has("place") or later.word in ("and", "is", "are", "but", "or"):
                    break
                if later.has("sign") and not later.has("kind"):
                    codes = {one.code for one in item.of("kind")}
                    if any(
                        codes & set(book.vocabulary.findings[one.code].kinds)
                        for one in later.of("sign")
                    ):
                        item.notes["kind_of"] = "next"
                    break


def describes_last(item: Item, desk: Desk, book: Knowledge) -> bool:
    """ "a lump on her flank, soft, moves about": more is said of what was just found."""
    codes = {one.code for one in item.of("kind")}
    for _, filed in desk.last:
        allowed = set(book.vocabulary.findings[filed.finding].kinds)
        if codes & allowed and filed.finding in DESCRIBED and filed.status != "absent":
            for _, one in desk.last:
                one.kinds |= codes & allowed
                one.items.append(item)
            item.used = True
            return True
    return False
