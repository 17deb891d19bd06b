"""A labour in the story of its animal: each thing that was seen, and what was taken back."""

from collections.abc import Iterator

from cavyround.advice.book import book
from cavyround.record.models import Labour, LabourSeen
from cavyround.web.templatetags.words import moment


def labour_lines(row: Labour) -> Iterator[str]:
    """Each thing that was seen, with who and when."""
    seen = row.seen.select_related("made_by").prefetch_related("taken_back")
    for one in seen.order_by("made_at", "id"):
        back = " (taken back)" if one.taken_back.all() else ""
        yield f"{moment(one.at)}: {seen_words(one)}, {one.made_by}{back}"


def seen_words(seen: LabourSeen) -> str:
    """What was seen, in the words of the knowledge where it is a sign."""
    if seen.what == "sign":
        known = {sign.id: sign.words for sign in book().living.birth_signs}
        return known.get(seen.sign, seen.sign)
    if seen.what == "since" and seen.at is None:
        return "nobody knows since when she strains"
    return str(seen.get_what_display())
