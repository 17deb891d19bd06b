"""Read the files of words, and find what in them points to nothing."""

from collections.abc import Iterable, Iterator
from typing import Any, Protocol, TypeVar

from pydantic import BaseModel

from cavyround.knowledge.vocabulary import Vocabulary
from cavyround.knowledge.words import Words

M = TypeVar("M", bound=BaseModel)
FOLDER = "words"
# Sections that may stand in several files, one after the other.
LISTS = frozenset({"signs", "places", "care", "misheard", "events", "told_signs", "told_events"})

# Cues that several files may name, each with its own words.
TOLD_CUES = "told_cues"


class Reads(Protocol):
    """What reads files and keeps the faults."""

    faults: list[str]

    def value(self, model: type[M], data: Any, where: str) -> M | None:
        """One typed value."""


def read_words(reader: Reads, files: Iterable[tuple[str, dict[str, Any]]]) -> Words | None:
    """All that stands in the folder ``words``; every file names its source."""
    together: dict[str, Any] = {"sources": {}}
    homes: dict[str, str] = {}
    entries_of: dict[str, list[str]] = {}
    for file, loaded in files:
        source = loaded.pop("source", None)
        if not isinstance(source, str):
            reader.faults.append(f"{file}: source: is missing; a list of words names its source")
            continue
        together["sources"][file] = source
        for section, entries in loaded.items():
            homes[section] = file
            if section not in LISTS | {TOLD_CUES} and section in together:
                reader.faults.append(f"{file}: {section}: stands in another file too")
            elif section in LISTS and not isinstance(entries, list):
                reader.faults.append(f"{file}: {section}: must be a list")
            elif section == TOLD_CUES and isinstance(entries, dict):
                together[section] = _joined(together.get(section, {}), entries)
            elif section in LISTS:
                entries_of.setdefault(section, []).extend(
                    f"{file}: {section}.{index}" for index in range(len(entries))
                )
                together[section] = [*together.get(section, ()), *entries]
            else:
                together[section] = entries
    before = len(reader.faults)
    read = reader.value(Words, together, FOLDER)
    for index, fault in enumerate(reader.faults[before:], before):
        said = fault.removeprefix(f"{FOLDER}.")
        section, _, rest = said.partition(".")
        section = section.partition(":")[0]
        number, _, within = rest.partition(".")
        if section in LISTS and number.isdigit():
            # Counted over all files that hold the list: told is the file and the place in it.
            reader.faults[index] = f"{entries_of[section][int(number)]}.{within}"
        else:
            reader.faults[index] = f"{homes.get(section, FOLDER)}: {said}"
    return read


def _joined(before: dict[str, Any], more: dict[str, Any]) -> dict[str, Any]:
    return {
        **before,
        **{cue: [*before.get(cue, ()), *said] for cue, said in more.items()},
    }


def dangling_words(words: Words, vocabulary: Vocabulary) -> Iterator[str]:
    """Codes of the files of words that the vocabulary does not know."""
    regions = vocabulary.regions
    signs = (*words.signs, *words.told_signs)
    known: tuple[tuple[str, Iterable[str], Iterable[str]], ...] = (
        ("region", (one.region for one in words.places), regions),
        ("finding", (one.finding for one in signs), vocabulary.findings),
        ("finding", (code for one in signs for code in one.also), vocabulary.findings),
        ("region", (one.to for one in signs if one.to), regions),
        ("region", (one.home for one in signs if one.home), regions),
        ("region", (code for group in words.groups.values() for code in group), regions),
        ("region", (code for one in words.care for code in one.places), regions),
        ("kind", (code for one in signs for code in one.kinds), vocabulary.kinds),
        ("kind", words.kinds, vocabulary.kinds),
        ("care", (one.care for one in words.care), vocabulary.care),
        ("event", (one.event for one in words.events), vocabulary.events),
        ("event", (one.event for one in words.told_events), vocabulary.events),
        ("cue", words.told_cues, words.cues),
        ("side", words.sides, vocabulary.sides),
    )
    for what, codes, all_known in known:
        for code in sorted(set(codes) - set(all_known)):
            yield f"words: unknown {what} {code!r}"
    for sign in signs:
        for code in sign.at:
            if code.removeprefix("@") not in (words.groups if code[:1] == "@" else regions):
                yield f"words: signs {sign.finding}: unknown region {code!r}"


def sources_of(words: Words) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Where each source is named."""
    for file, source in words.sources.items():
        yield file, (source,)
    for name, cue in words.cues.items():
        if cue.source:
            yield f"cue {name}", (cue.source,)
