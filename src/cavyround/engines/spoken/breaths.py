"""Where a comma would stand in a text that has none: something was said, a new subject begins."""

from cavyround.engines.spoken.items import Item

# So many words without a full stop are a recogniser's that writes none.
RUN_ON = 18
OF_PLACE = frozenset(
    [
        "on",
        "in",
        "from",
        "off",
        "of",
        "around",
        "round",
        "under",
        "behind",
        "at",
        "over",
        "near",
        "to",
        "along",
        "by",
        "inside",
        "between",
        "across",
        "above",
        "below",
        "beneath",
        "beside",
        "throughout",
        "down",
        "underneath",
    ]
)
LINKS = OF_PLACE | frozenset(
    [
        "and",
        "or",
        "nor",
        "with",
        "the",
        "his",
        "her",
        "its",
        "their",
        "a",
        "an",
        "left",
        "right",
        "both",
        "no",
        "not",
        "any",
        "either",
        "each",
        "front",
        "back",
        "hind",
        "my",
    ]
)
LEADS = frozenset(
    {"his", "her", "the", "its", "their", "left", "right", "both", "front", "back", "hind"}
)
SPEAKS = frozenset(
    {"he", "she", "it", "i", "they", "we", "that", "there", "ive", "hes", "shes", "this"}
)
AFTER_THESE = frozenset(
    [
        "if",
        "when",
        "that",
        "as",
        "because",
        "and",
        "but",
        "or",
        "than",
        "what",
        "which",
        "while",
        "where",
        "how",
        "do",
        "did",
        "is",
        "are",
        "was",
        "has",
        "have",
        "can",
        "could",
        "will",
        "would",
        "so",
        "like",
        "think",
        "said",
        "says",
        "unless",
        "in",
        "case",
    ]
)
STATES = frozenset(
    {"is", "are", "was", "has", "have", "isnt", "arent", "not", "looks", "feels", "look"}
)
LIGHTEST_WEIGHT = 100
ORDINALS = frozenset({"first", "second", "third", "fourth", "fifth", "sixth", "next", "last"})


def is_run_on(items: list[Item]) -> bool:
    """Whether a text came without full stops."""
    words = sum(1 for item in items if not item.is_break)
    stops = sum(1 for item in items if item.is_break)
    return words > RUN_ON // 2 and words > stops * RUN_ON


def begins_softly(items: list[Item], at: int, so_far: list[Item]) -> bool:
    """Where a comma would stand: something has been said, and a new subject begins."""
    item, last = items[at], so_far[-1]
    if item.cue("resume") and item.word in ("anyway", "anyhow", "okay", "ok", "right so", "now"):
        return True
    following = items[at + 1].word if at + 1 < len(items) else ""
    if item.word in ORDINALS and following in ("is", "one", "up"):
        return True
    if item.cue("to_animal", "hypothetical", "question") and item.word not in AFTER_THESE:
        return last.word not in AFTER_THESE
    if not any(one.has("sign") or one.number or one.has("care") for one in so_far):
        return False
    if item.word.split()[:1] and item.word.split()[0] in SPEAKS:
        return last.word not in AFTER_THESE
    if item.cue("no") and item.word not in ("not", "nor"):
        return last.word not in AFTER_THESE | STATES
    if item.number is not None and item.number.value >= LIGHTEST_WEIGHT:
        return not last.has("about") and last.word not in LINKS | STATES
    return _new_place(items, at, so_far)


def _new_place(items: list[Item], at: int, so_far: list[Item]) -> bool:
    last = so_far[-1]
    if last.word in LINKS or (last.has("side") and last.word != "both"):
        return False
    said_of_me = len(so_far) > 1 and so_far[-2].word == "i"
    if last.has("verb") and (said_of_me or not last.has("sign")):
        # "i trimmed her nails": what was done to it.
        return False
    place = at
    while place < len(items) and items[place].word in LEADS and place < at + 3:
        place += 1
    if place >= len(items) or not (items[place].has("place") or items[place].has("places")):
        return False
    signs = [index for index, one in enumerate(so_far) if one.has("sign") or one.has("verb")]
    placed = [index for index, one in enumerate(so_far) if one.has("place") or one.has("places")]
    if placed and signs and placed[0] < signs[-1]:
        return True
    following = items[place + 1] if place + 1 < len(items) else None
    return following is not None and (
        following.has("sign") or following.word in STATES or items[place].tail == "s"
    )
