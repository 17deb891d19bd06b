"""The words carers use, as data: places, signs, care, cues, misheard words, numbers."""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import AfterValidator

from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.phrases import few_ways, few_ways_a_part

Phrases = tuple[Annotated[Text, AfterValidator(few_ways)], ...]
# Kept as their parts, so that only the ways of each part must be few.
Families = tuple[Annotated[Text, AfterValidator(few_ways_a_part)], ...]


class PlaceWords(Strict):
    """Words for a place; ``needs``: what must stand right before them to be meant so."""

    region: str
    words: Phrases
    many: Phrases = ()
    needs: Phrases = ()


class SignWords(Strict):
    """Words for a finding.

    ``at``: counts only where one of these places is spoken of (``@name``: a group of places);
    ``to``: always filed there; ``home``: filed there where no place is said; ``also``: findings
    that the same words say are there; ``near``: the place must be said in the
    same breath; ``keeps``: the place spoken of before comes first; ``triage``: a code that only
    the triage knows.
    """

    finding: str
    words: Phrases = ()
    at: tuple[str, ...] = ()
    to: str = ""
    home: str = ""
    form: Literal["thing", "quality", "doing"] = "thing"
    status: Literal["present", "absent", "uncertain"] = "present"
    kinds: tuple[str, ...] = ()
    grade: str = ""
    also: tuple[str, ...] = ()
    near: bool = False
    keeps: bool = False
    triage: bool = False


class ToldSignWords(SignWords):
    """Words for a finding in a told case; heard only at a place of ``at``."""

    words: Families


class CueWords(Strict):
    """Words that say how something is meant."""

    words: Phrases
    source: str = ""


class CareWords(Strict):
    """Words for a care item; ``verbs`` count beside ``places``; ``step``: looked at by it.

    ``listed``: in a list of jobs such a place alone means this care; ``sole``: no other small care
    is done there, so that "nails need doing" is enough.
    """

    care: str
    listed: tuple[str, ...] = ()
    sole: bool = False
    words: Phrases = ()
    verbs: Phrases = ()
    places: tuple[str, ...] = ()
    step: str = ""
    needs_sign: str = ""


class MisheardWords(Strict):
    """What a recogniser writes, what was meant, and beside which words."""

    heard: Phrases
    means: Text
    before: Phrases = ()
    after: Phrases = ()
    beside: Phrases = ()


class NumberWords(Strict):
    """Numbers, units and what they are numbers of.

    ``before_one``: after such a word "one" is an animal.
    """

    ones: Mapping[str, int]
    teens: Mapping[str, int]
    tens: Mapping[str, int]
    units: Mapping[str, Phrases]
    before_one: Phrases
    counts: Phrases
    objects: Phrases
    weight_words: Phrases
    lost: Phrases
    gained: Phrases
    equipment: Phrases
    temperature_words: Phrases
    heart_words: Phrases
    breath_words: Phrases
    score_words: Phrases
    sore_words: Phrases


class EventWords(Strict):
    """Words for something that happened to the animal.

    ``by_another``: another animal or a person has it or did it, so that naming one denies nothing.
    """

    event: str
    words: Phrases
    by_another: bool = False


class ToldEventWords(EventWords):
    """Words for something that happened, as a told case has them."""

    words: Families


class NameWords(Strict):
    """What may and may not be a name where the pen's names are not given.

    ``everyday``: no names, with any ending; ``ambiguous``: everyday words that people are called
    by too; ``titles`` begin a name of two words; ``after`` and ``before``: what stands beside a
    name; ``announced``: says who comes next; ``helper_before`` and ``helper_after``: what stands
    beside the name of a person, who is no animal.
    """

    never: Phrases
    likely: Phrases
    everyday: Phrases
    ambiguous: Phrases
    titles: Phrases
    after: Phrases
    before: Phrases
    announced: Phrases
    helper_before: Phrases
    helper_after: Phrases


class DescribedWords(Strict):
    """What tells of an animal without a name.

    ``small`` says nothing of how it looks; ``looks``: colours and the like; ``young``: a pup;
    ``grown``: no pup; ``mother``: the sow of the litter; ``litter``: tells that there are pups;
    ``many``: several at once; ``numbered``: a number follows; ``verbs``:
    how a verb ends; ``anew``: says that it is another one; ``apart``: tells two of one name apart;
    ``counts`` and ``ordinals``: numbers.
    """

    small: Phrases
    looks: Phrases
    young: Phrases
    grown: Phrases
    mother: Phrases
    litter: Phrases
    many: Phrases
    numbered: Phrases
    verbs: Phrases
    anew: Phrases
    apart: Phrases
    counts: Mapping[str, int]
    ordinals: Mapping[str, int]


class Words(Strict):
    """All of it.

    ``plain``: words of every day that are hardly ever names; ``sources``: the source of each file.
    ``told_signs``, ``told_cues`` and ``told_events`` are heard only in a case told place by place,
    where the place is known and a phrase may be looser than in a note.
    """

    places: tuple[PlaceWords, ...]
    sides: Mapping[str, Phrases]
    signs: tuple[SignWords, ...]
    groups: Mapping[str, tuple[str, ...]]
    kinds: Mapping[str, Phrases]
    cues: Mapping[str, CueWords]
    care: tuple[CareWords, ...]
    products: Mapping[str, Phrases]
    given: Phrases
    care_telling: Mapping[str, Phrases]
    sample_kinds: Mapping[str, Phrases]
    product_care: Mapping[str, str]
    misheard: tuple[MisheardWords, ...]
    numbers: NumberWords
    events: tuple[EventWords, ...]
    names: NameWords
    described: DescribedWords
    plain: Phrases = ()
    told_signs: tuple[ToldSignWords, ...] = ()
    told_cues: Mapping[str, Families] = {}
    told_events: tuple[ToldEventWords, ...] = ()
    sources: Mapping[str, str]
