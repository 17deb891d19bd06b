"""Text of a recording (WebVTT, SubRip): what is no speech is blanked, so that places stay."""

import re

TIMES = re.compile(
    r"^[ \t]*(?:\d+[ \t]*\r?\n)?[ \t]*(?:\d+:)?\d{1,2}:\d{2}[.,]\d{1,3}[ \t]*-->[^\n]*",
    re.MULTILINE,
)
HEADER = re.compile(r"\A\ufeff?WEBVTT[^\n]*")
ASIDE = re.compile(r"^(?:NOTE|STYLE|REGION)\b[^\n]*(?:\n(?!\s*\n)[^\n]*)*", re.MULTILINE)
TAG = re.compile(r"<[^<>\n]{1,80}>")


def is_recording(text: str) -> bool:
    """Whether a text has the time lines of a recording's captions."""
    return "-->" in text and TIMES.search(text) is not None


def words_of_recording(text: str) -> str:
    """The speech of a recording, every other character blanked; other text as it is.

    Line breaks inside a caption are no ends of sentences, so they are blanked as well.
    WebVTT: W3C Candidate Recommendation; SubRip has no standard (common practice).
    """
    if not is_recording(text):
        return text
    asides = (
        (TIMES, TAG)
        if not text.lstrip("\ufeff").startswith("WEBVTT")
        else (HEADER, ASIDE, TIMES, TAG)
    )
    for aside in asides:
        text = aside.sub(_blank, text)
    return text.replace("\n", " ").replace("\r", " ")


def _blank(found: re.Match[str]) -> str:
    return " " * len(found.group())
