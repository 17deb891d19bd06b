"""How surely a word stands where a name stands: as owner, announced, at the head with a weight."""

from cavyround.engines.spoken.lexicon import Lexicon
from cavyround.engines.spoken.name_words import NameLists, ends_with
from cavyround.engines.spoken.names import NUMBERISH
from cavyround.engines.spoken.tokens import Token


def _words(said: str) -> frozenset[str]:
    return frozenset(said.split())


# Before these a word is a thing: "the charger's flat", "my ring".
OF_THINGS = _words(
    "a an the my your his her its our their some any no every each these those more much ya two "
    "three four very"
)
OWNS = frozenset({"got", "had", "lost", "been", "still", "not", "put", "left", "right", "both"})
HE = frozenset({"he", "she", "his", "her", "hes", "shes", "hers"})
# What opens a turn: "right, Marlow.", "sorry, Tinker, seven ninety eight".
OPENERS = _words(
    "right okay ok so sorry now next then anyway righto well umm um er erm just oh hello hi one "
    "first last alright anyhow lastly finally poor old on mr and"
)
# "on Comma, he …", "gave Puddle point three": somebody something is done to, or found on.
TO_WHOM = _words(
    "on for with under gave give moved booked weighed checked bathed fed leave about from doing "
    "did poor oh hello see just thats thought think when if skipping weigh over today minute "
    "one off than meant whats calling in say and old"
)
# Whom something is done to may stand before anything: "moved Kiki to isolation".
HANDLED = _words(
    "gave give moved booked weighed checked bathed fed doing did leave brushed washed wiped "
    "treated dosed giving meet got weigh put baby"
)
SCOLDED = frozenset({"little", "old", "daft", "fat", "big", "silly", "cheeky", "naughty"})
WHOSE = frozenset({"ya", "you", "the", "a", "my"})
SMALL = frozenset({"a", "point", "one", "two", "three", "four", "five", "six"})
# Without commas such a word begins what is told of somebody just named.
LEADS_ON = frozenset({"no", "not", "well", "nothing", "all", "both", "i", "then", "is", "today"})
GOES_ON = frozenset({"or", "no", "are", "there", "took", "too", "both", "and"})
SURE = 2
LIKELY = 1


def standing(
    tokens: tuple[Token, ...],
    at: int,
    lexicon: Lexicon,
    lists: NameLists,
    *,
    unbroken: bool = False,
) -> int:
    """0: not as a name; ``LIKELY``: enough for a word nobody knows; ``SURE``: for any word.

    ``unbroken``: the text has no commas, so that a name may begin anywhere.
    """
    before = tokens[at - 1] if at else None
    # A "for" beside a number is heard as "four".
    said = (before.heard or before.word) if before is not None else ""
    if said in OF_THINGS or _is_insult(tokens, at):
        return 0
    head = before is None or before.kind in ("stop", "comma")
    announced = head or _is_opened(tokens, at) or ends_with(tokens, at, lists.announced)
    if _is_sure(tokens, at, lexicon, head=head, announced=announced):
        return SURE
    following = tokens[at + 1] if at + 1 < len(tokens) else None
    to_whom = said in TO_WHOM
    goes_on = to_whom and following is not None and following.word in GOES_ON
    if goes_on or (said in HANDLED and not tokens[at].tail):
        return LIKELY
    if not (announced or to_whom or unbroken):
        return LIKELY if _weighs(tokens, at + 1) else 0
    if following is None or following.kind in ("stop", "comma"):
        alone = head and not _is_called(tokens, at) and not _heads(tokens, at, lexicon)
        return 0 if alone else LIKELY
    if unbroken and (following.word in LEADS_ON or said in LEADS_ON):
        return LIKELY
    return LIKELY if _is_told_of(tokens, at, lexicon, lists) else 0


def _is_sure(
    tokens: tuple[Token, ...], at: int, lexicon: Lexicon, *, head: bool, announced: bool
) -> bool:
    """Where only a name stands, be it a word of every day."""
    if _owns(tokens, at, lexicon):
        return True
    if head and at + 1 < len(tokens) and tokens[at + 1].word in ("weighs", "weighed"):
        return True
    after = _after(tokens, at)
    if not announced or after is None:
        return False
    return _weighs(tokens, after) or _is_he(tokens, at, after)


def _is_told_of(tokens: tuple[Token, ...], at: int, lexicon: Lexicon, lists: NameLists) -> bool:
    """Whether what follows is said of somebody: a verb, a sign, a place, a number."""
    following = tokens[at + 1]
    if following.word in lists.after or tokens[at].tail in ("s", "ll"):
        return True
    mark = lexicon.longest(tokens, at + 1)
    told = mark is not None and bool(mark.sorts & {"sign", "place", "places", "side", "care"})
    return told or following.word in HE | NUMBERISH or following.kind == "number"


def _is_insult(tokens: tuple[Token, ...], at: int) -> bool:
    """ "you little ratbag": no name."""
    return at > 1 and tokens[at - 1].word in SCOLDED and tokens[at - 2].word in WHOSE


def _heads(tokens: tuple[Token, ...], at: int, lexicon: Lexicon) -> bool:
    """ "Gala, sac impacted", "Pastrami. Bright.": alone at the head of what is told."""
    if at and tokens[at - 1].kind != "stop":
        return False
    if at + 1 < len(tokens) and tokens[at + 1].kind == "stop":
        return True
    marks = [lexicon.longest(tokens, end) for end in range(at + 2, min(at + 5, len(tokens)))]
    return any(m is not None and m.sorts & {"place", "places", "sign", "care"} for m in marks)


def _is_opened(tokens: tuple[Token, ...], at: int) -> bool:
    return bool(at) and tokens[at - 1].word in OPENERS


def _after(tokens: tuple[Token, ...], at: int) -> int | None:
    """Where the next word stands, over one comma or full stop."""
    after = at + 1
    if after < len(tokens) and tokens[after].kind in ("comma", "stop"):
        after += 1
    return after if after < len(tokens) else None


def _weighs(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a number that may be a weight stands there."""
    if at >= len(tokens):
        return False
    token = tokens[at]
    if token.kind == "number":
        return True
    if token.word not in NUMBERISH:
        return False
    following = tokens[at + 1].word if at + 1 < len(tokens) else ""
    if token.word in SMALL:
        return following in NUMBERISH | {"hundred", "pound", "pounds", "kilo", "oh", "thousand"}
    return following in NUMBERISH | {"hundred", "grams", "oh", "thousand", "and"}


def _is_he(tokens: tuple[Token, ...], at: int, after: int) -> bool:
    """ "Marlow. He's …", opened by a word that opens a turn."""
    opened = at > 0 and (tokens[at - 1].word in OPENERS or _opens_over_comma(tokens, at))
    return opened and not tokens[at].tail and after == at + 2 and tokens[after].word in HE


def _opens_over_comma(tokens: tuple[Token, ...], at: int) -> bool:
    return at > 1 and tokens[at - 1].kind == "comma" and tokens[at - 2].word in OPENERS


def _is_called(tokens: tuple[Token, ...], at: int) -> bool:
    """ "Stop nibbling my ring, Sierra.", "the new one, Gala, has …"."""
    if not at or tokens[at - 1].kind != "comma":
        return at == 0
    return at + 1 >= len(tokens) or tokens[at + 1].kind in ("stop", "comma")


def _owns(tokens: tuple[Token, ...], at: int, lexicon: Lexicon) -> bool:
    """ "Puddle's nails", "Gravy's got a weepy left eye": a body, or something it has."""
    if tokens[at].tail != "s":
        return False
    following = tokens[at + 1] if at + 1 < len(tokens) else None
    if following is None:
        return False
    for end in range(at + 1, min(at + 7, len(tokens))):
        mark = lexicon.longest(tokens, end)
        if mark is not None and mark.sorts & {"place", "places"}:
            return True
        goes_on = tokens[end].word in OWNS | {"a", "an", "front", "hind", "back", "old", "no"}
        qualified = mark is not None and "sign" in mark.sorts and following.word in OWNS
        if not goes_on and not qualified:
            return False
    return False
