"""Load the knowledge files strictly, with a rescue's own override on top."""

import hashlib
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from cavyround.knowledge.body_condition import BesideWeight, ConditionScore
from cavyround.knowledge.book import Knowledge, Override
from cavyround.knowledge.contagion import Contagion
from cavyround.knowledge.courses import AfterDose, CareCourse, DoseKind
from cavyround.knowledge.dangling import dangling
from cavyround.knowledge.facts_of_trade import (
    ApartRule,
    Caution,
    Infection,
    KeptApart,
    Threshold,
    TradeFact,
    WeightCourse,
    WeightSign,
)
from cavyround.knowledge.living import Living
from cavyround.knowledge.loading_medicines import FOLDER as MEDICINES
from cavyround.knowledge.loading_medicines import read_medicines
from cavyround.knowledge.loading_words import FOLDER as WORDS
from cavyround.knowledge.loading_words import read_words
from cavyround.knowledge.reading import KnowledgeFaultError, read_yaml
from cavyround.knowledge.rules import Definition, Overridden, QuestionAsked, Rule, Source
from cavyround.knowledge.steps import Hold, KitItem, Step
from cavyround.knowledge.topics import Topic
from cavyround.knowledge.vocabulary import Vocabulary

DATA = Path(__file__).parent / "data"
RULE_FILES = ("rules/combinations.yaml", "rules/fallback.yaml", "rules/weights.yaml")
SECTIONS_BESIDE = {
    "infections.yaml": ("infections", "quarantine", "quarantine_rules"),
    "courses.yaml": ("care_courses", "dose_kinds", "after_dose"),
    "body_condition.yaml": ("condition_scores", "beside_weight"),
    "weight_model.yaml": ("weight_model", "weight_courses", "weight_signs"),
}
# How the entries of a section are called in faults.
CALLED = {
    "rules": "rule",
    "definitions": "definition",
    "questions": "question",
    "infections": "infection",
    "cautions": "caution",
    "trade": "trade fact",
    "thresholds": "threshold",
    "regions": "region",
    "findings": "finding",
    "steps": "step",
    "formulary": "medicine",
    "dangers": "danger",
    "classes": "class",
    "routes": "route",
    "syringes": "syringe",
    "traps": "trap",
    "abbreviations": "abbreviation",
    "care_courses": "care course",
    "dose_kinds": "dose kind",
    "after_dose": "question after a dose",
    "beside_weight": "beside the weight",
    "condition_scores": "condition score",
}
M = TypeVar("M", bound=BaseModel)
RULE_FIELDS_AN_OVERRIDE_MAY_SET = frozenset(
    {"urgency", "do_now", "do_not", "because", "look_again_hours", "isolate", "catching_to_people"}
)


class _Reader:
    """Collects every fault with file and path, so that all can be mended at once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.faults: list[str] = []
        self.files: dict[str, list[str]] = {}

    def remember(self, key: str, name: object, file: str) -> None:
        """Keep in which file an entry stands, so that a fault found later can name it."""
        self.files.setdefault(f"{CALLED.get(key, key)} {name}", []).append(file)

    def naming_files(self, faults: Iterable[str]) -> list[str]:
        """Faults that begin with an entry, with its file before it."""
        named = []
        for fault in faults:
            files = self.files.get(fault.partition(":")[0], ())
            named.append(
                ": ".join([*([" and ".join(dict.fromkeys(files))] if files else []), fault])
            )
        return named

    def section(self, file: str, key: str) -> Any:
        """One named section of a file; a file with other sections is a fault."""
        before = len(self.faults)
        loaded = self._load(self.folder / file)
        if len(self.faults) > before:
            return None
        for other in sorted(set(loaded) - {key, *SECTIONS_BESIDE.get(file, ())}):
            self.faults.append(f"{file}: unknown section {other!r}; this file holds {key!r}")
        if key not in loaded:
            self.faults.append(f"{file}: the section {key!r} is missing")
        return loaded.get(key)

    def _load(self, path: Path) -> dict[str, Any]:
        try:
            return read_yaml(path)
        except KnowledgeFaultError as fault:
            self.faults.extend(fault.faults)
        except OSError as missing:
            self.faults.append(f"{path.name}: cannot be read ({missing.strerror})")
        return {}

    def load_sections(self, file: Path) -> dict[str, Any]:
        """All sections of a file."""
        return self._load(file)

    def value(self, model: type[M], data: Any, where: str) -> M | None:
        """One typed value, or None with its faults kept."""
        try:
            return model.model_validate(data)
        except ValidationError as refused:
            for error in refused.errors(include_url=False):
                path = ".".join(str(part) for part in error["loc"])
                self.faults.append(f"{where}{'.' + path if path else ''}: {_plain(error)}")
            return None

    def mapping(self, model: type[M], file: str, key: str) -> dict[str, M]:
        """A section of named values."""
        section = self.section(file, key) or {}
        if not isinstance(section, dict):
            self.faults.append(f"{file}: {key}: must hold named entries")
            return {}
        for name in section:
            self.remember(key, name, file)
        read = {n: self.value(model, data, f"{file}: {key}.{n}") for n, data in section.items()}
        return {name: value for name, value in read.items() if value is not None}

    def listing(self, model: type[M], file: str, key: str, name: str = "id") -> list[M]:
        """A section that is a list."""
        section = self.section(file, key) or []
        if not isinstance(section, list):
            self.faults.append(f"{file}: {key}: must be a list")
            return []
        self.files.setdefault(key, [file])
        for data in section:
            if isinstance(data, dict) and name in data:
                self.remember(key, data[name], file)
        return list(self._each(model, section, lambda i, data: _label(file, key, name, i, data)))

    def _each(
        self, model: type[M], section: list[Any], where: Callable[[int, Any], str]
    ) -> Iterator[M]:
        for index, data in enumerate(section):
            value = self.value(model, data, where(index, data))
            if value is not None:
                yield value


def _label(file: str, key: str, name: str, index: int, data: Any) -> str:
    named = data.get(name) if isinstance(data, dict) else None
    return f"{file}: {key}[{named or index}]"


def _plain(error: Any) -> str:
    if error["type"] == "extra_forbidden":
        return "unknown key"
    if error["type"] == "missing":
        return "is missing"
    return str(error["msg"]).removeprefix("Value error, ")


def load_knowledge(folder: Path = DATA, override: Path | None = None) -> Knowledge:
    """Read all files of ``folder``; raises KnowledgeFaultError with every fault found.

    ``override`` is a rescue's own vet's file, laid on top, named and dated.
    """
    reader = _Reader(folder)
    parts = _read_parts(reader) | {"living": _living(reader)}
    _refuse_faults(reader.faults)
    name, parts["rules"] = _overridden(reader, parts["rules"], override)
    _refuse_faults(reader.faults)
    book = Knowledge(version=_version(folder, override), override=name, **parts)
    _refuse_faults(reader.naming_files(dangling(book)))
    return book


def _refuse_faults(faults: list[str]) -> None:
    if faults:
        raise KnowledgeFaultError(list(dict.fromkeys(faults)))


# What has an id that is used once: how a fault calls it, the part it is in, the field of the id.
USED_ONCE = (
    ("rule", "rules", "id"),
    ("question", "questions", "id"),
    ("step", "steps", "code"),
    ("hold", "holds", "code"),
    ("infection", "infections", "id"),
    ("caution", "cautions", "id"),
    ("trade fact", "trade", "id"),
    ("care course", "care_courses", "id"),
    ("question after a dose", "after_dose", "id"),
    ("beside the weight", "beside_weight", "id"),
)


def _read_parts(reader: _Reader) -> dict[str, Any]:
    parts = {
        "vocabulary": _vocabulary(reader),
        "sources": reader.mapping(Source, "sources.yaml", "sources"),
        **_parts_of_the_check(reader),
        **_parts_of_the_weight(reader),
        **_parts_of_infections(reader),
        **_parts_of_care(reader),
        "words": read_words(
            reader,
            [(f, reader.load_sections(reader.folder / f)) for f in sorted(_files(reader, WORDS))],
        ),
    }
    for what, part, field in USED_ONCE:
        _refuse_twice(reader, what, [getattr(one, field) for one in parts[part]])
    return parts


def _parts_of_the_check(reader: _Reader) -> dict[str, Any]:
    """What is looked at, what is asked, and what follows from it."""
    holds, steps = _holds_and_steps(reader)
    rules = [
        rule
        for file in sorted((*_files(reader, "findings"), *RULE_FILES))
        for rule in reader.listing(Rule, file, "rules")
    ]
    return {
        "rules": tuple(rules),
        "definitions": reader.mapping(Definition, "rules/definitions.yaml", "definitions"),
        "questions": tuple(reader.listing(QuestionAsked, "rules/questions.yaml", "questions")),
        "holds": tuple(holds),
        "steps": tuple(steps),
        "kit": reader.mapping(KitItem, "kit.yaml", "kit"),
        "thresholds": reader.mapping(Threshold, "thresholds.yaml", "thresholds"),
        "cautions": tuple(reader.listing(Caution, "cautions.yaml", "cautions")),
        "trade": tuple(reader.listing(TradeFact, "trade.yaml", "trade")),
        "topics": reader.mapping(Topic, "topics.yaml", "topics"),
    }


def _parts_of_the_weight(reader: _Reader) -> dict[str, Any]:
    """How a weight is judged, and the body's condition beside it."""
    model, condition = "weight_model.yaml", "body_condition.yaml"
    return {
        "weight_model": reader.mapping(Threshold, model, "weight_model"),
        "weight_courses": tuple(reader.listing(WeightCourse, model, "weight_courses", "code")),
        "weight_signs": tuple(reader.listing(WeightSign, model, "weight_signs", "sign")),
        "condition_scores": tuple(
            reader.listing(ConditionScore, condition, "condition_scores", "score")
        ),
        "beside_weight": tuple(reader.listing(BesideWeight, condition, "beside_weight")),
    }


def _parts_of_infections(reader: _Reader) -> dict[str, Any]:
    """What is passed on, who is kept apart, and how an outbreak goes."""
    file = "infections.yaml"
    return {
        "infections": tuple(reader.listing(Infection, file, "infections")),
        "kept_apart": tuple(reader.listing(KeptApart, file, "quarantine")),
        "apart_rules": tuple(reader.listing(ApartRule, file, "quarantine_rules")),
        "contagion": reader.value(
            Contagion, reader.load_sections(reader.folder / "contagion.yaml"), "contagion.yaml"
        ),
    }


def _parts_of_care(reader: _Reader) -> dict[str, Any]:
    """What is given and done, once or in a course."""
    file = "courses.yaml"
    return {
        "medicines": read_medicines(reader, _files(reader, MEDICINES)),
        "care_courses": tuple(reader.listing(CareCourse, file, "care_courses")),
        "dose_kinds": reader.mapping(DoseKind, file, "dose_kinds"),
        "after_dose": tuple(reader.listing(AfterDose, file, "after_dose")),
    }


def _living(reader: _Reader) -> Living | None:
    file = "living.yaml"
    return reader.value(Living, reader.load_sections(reader.folder / file), file)


def _refuse_twice(reader: _Reader, what: str, ids: list[str]) -> None:
    twice = [name for name, count in Counter(ids).items() if count > 1]
    reader.faults += reader.naming_files(
        f"{what} {name}: is there twice; an id is used once" for name in twice
    )


def _files(reader: _Reader, folder: str) -> list[str]:
    return [f"{folder}/{path.name}" for path in (reader.folder / folder).glob("*.yaml")]


def _vocabulary(reader: _Reader) -> Vocabulary | None:
    together: dict[str, Any] = {}
    files: dict[str, str] = {}
    for path in sorted(reader.folder.glob("vocabulary*.yaml")):
        for section, entries in reader.load_sections(path).items():
            if section in together:
                reader.faults.append(f"{path.name}: {section}: stands in another file too")
            together[section] = entries
            files[section] = path.name
            for code in entries if isinstance(entries, dict) else ():
                reader.remember(section, code, path.name)
    before = len(reader.faults)
    read = reader.value(Vocabulary, together, "vocabulary")
    for index, fault in enumerate(reader.faults[before:], before):
        path_in_file = fault.removeprefix("vocabulary.")
        section = path_in_file.partition(":")[0].partition(".")[0]
        reader.faults[index] = f"{files.get(section, 'vocabulary.yaml')}: {path_in_file}"
    return read


def _holds_and_steps(reader: _Reader) -> tuple[list[Hold], list[Step]]:
    holds: list[Hold] = []
    steps: list[Step] = []
    for file in sorted(_files(reader, "steps")):
        loaded = reader.load_sections(reader.folder / file)
        for other in sorted(set(loaded) - {"hold", "steps"}):
            reader.faults.append(f"{file}: unknown section {other!r}")
        hold = reader.value(Hold, loaded.get("hold", {}), f"{file}: hold")
        if hold is None:
            continue
        holds.append(hold)
        reader.remember("hold", hold.code, file)
        for index, data in enumerate(loaded.get("steps", [])):
            step = reader.value(Step, data, _label(file, "steps", "code", index, data))
            if step is not None:
                reader.remember("steps", step.code, file)
                steps.append(step.model_copy(update={"hold": hold.code}))
    return sorted(holds, key=lambda hold: hold.order), steps


def _overridden(
    reader: _Reader, rules: tuple[Rule, ...], path: Path | None
) -> tuple[Override | None, tuple[Rule, ...]]:
    if path is None:
        return None, rules
    loaded = reader.load_sections(path)
    for other in sorted(set(loaded) - {"override", "replaces"}):
        reader.faults.append(f"{path.name}: unknown section {other!r}")
    name = reader.value(Override, loaded.get("override", {}), f"{path.name}: override")
    by_id = {rule.id: rule for rule in rules}
    for index, change in enumerate(loaded.get("replaces") or []):
        where = _label(path.name, "replaces", "id", index, change)
        changed = _replaced(reader, by_id, change, where, name)
        if changed is not None:
            by_id[changed.id] = changed
    return name, tuple(by_id.values())


def _replaced(
    reader: _Reader, by_id: dict[str, Rule], change: Any, where: str, name: Override | None
) -> Rule | None:
    if not isinstance(change, dict) or set(change) != {"id", "why", "set"} or not change["why"]:
        reader.faults.append(f"{where}: an override has exactly `id`, `why` and `set`")
        return None
    if not isinstance(change["id"], str) or not isinstance(change["set"], dict):
        reader.faults.append(f"{where}: `id` is one word, and `set` holds what is set")
        return None
    rule = by_id.get(change["id"])
    if rule is None:
        reader.faults.append(f"{where}: there is no rule {change['id']!r} to override")
        return None
    for key in sorted(set(change["set"]) - RULE_FIELDS_AN_OVERRIDE_MAY_SET):
        reader.faults.append(f"{where}.set.{key}: an override may not set this")
    if name is None:
        return None
    said = Overridden(by=name.by, on=name.on, why=change["why"])
    data = {**rule.model_dump(by_alias=True, exclude_unset=True), **change["set"]}
    return reader.value(Rule, {**data, "overridden": said.model_dump()}, where)


def _version(folder: Path, override: Path | None) -> str:
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.yaml")):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    version = f"2026.1+{digest.hexdigest()[:12]}"
    if override is not None:
        version += f"+vet.{hashlib.sha256(override.read_bytes()).hexdigest()[:8]}"
    return version
