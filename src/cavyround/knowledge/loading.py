"""Load the knowledge files strictly, with a rescue's own override on top."""

import hashlib
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from cavyround.knowledge.book import Knowledge, Override
from cavyround.knowledge.dangling import dangling
from cavyround.knowledge.facts_of_trade import (
    ApartRule,
    Caution,
    Infection,
    KeptApart,
    Threshold,
    TradeFact,
)
from cavyround.knowledge.reading import KnowledgeFaultError, read_yaml
from cavyround.knowledge.rules import Definition, Overridden, QuestionAsked, Rule, Source
from cavyround.knowledge.steps import Hold, KitItem, Step
from cavyround.knowledge.vocabulary import Vocabulary

DATA = Path(__file__).parent / "data"
RULE_FILES = ("rules/combinations.yaml", "rules/fallback.yaml")
SECTIONS_BESIDE = {"infections.yaml": ("infections", "quarantine", "quarantine_rules")}
M = TypeVar("M", bound=BaseModel)
RULE_FIELDS_AN_OVERRIDE_MAY_SET = frozenset(
    {"urgency", "do_now", "do_not", "because", "look_again_hours", "isolate", "catching_to_people"}
)


class _Reader:
    """Collects every fault with file and path, so that all can be mended at once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.faults: list[str] = []

    def section(self, file: str, key: str) -> Any:
        """One named section of a file; a file with other sections is a fault."""
        loaded = self._load(self.folder / file)
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
        read = {n: self.value(model, data, f"{file}: {key}.{n}") for n, data in section.items()}
        return {name: value for name, value in read.items() if value is not None}

    def listing(self, model: type[M], file: str, key: str, name: str = "id") -> list[M]:
        """A section that is a list."""
        section = self.section(file, key) or []
        if not isinstance(section, list):
            self.faults.append(f"{file}: {key}: must be a list")
            return []
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
    parts = _read_parts(reader)
    if reader.faults:
        raise KnowledgeFaultError(reader.faults)
    name, parts["rules"] = _overridden(reader, parts["rules"], override)
    book = Knowledge(version=_version(folder, override), override=name, **parts)
    reader.faults.extend(dangling(book))
    if reader.faults:
        raise KnowledgeFaultError(reader.faults)
    return book


def _read_parts(reader: _Reader) -> dict[str, Any]:
    holds, steps = _holds_and_steps(reader)
    rules = [
        rule
        for file in sorted((*_files(reader, "findings"), *RULE_FILES))
        for rule in reader.listing(Rule, file, "rules")
    ]
    questions = reader.listing(QuestionAsked, "rules/questions.yaml", "questions")
    infections = reader.listing(Infection, "infections.yaml", "infections")
    cautions = reader.listing(Caution, "cautions.yaml", "cautions")
    trade = reader.listing(TradeFact, "trade.yaml", "trade")
    for what, ids in (
        ("rule", [rule.id for rule in rules]),
        ("question", [question.id for question in questions]),
        ("step", [step.code for step in steps]),
        ("hold", [hold.code for hold in holds]),
        ("infection", [infection.id for infection in infections]),
        ("caution", [caution.id for caution in cautions]),
        ("trade fact", [fact.id for fact in trade]),
    ):
        twice = [name for name, count in Counter(ids).items() if count > 1]
        reader.faults.extend(
            f"{what} {name!r} is there twice; an id is used once" for name in twice
        )
    return {
        "vocabulary": _vocabulary(reader),
        "sources": reader.mapping(Source, "sources.yaml", "sources"),
        "rules": tuple(rules),
        "definitions": reader.mapping(Definition, "rules/definitions.yaml", "definitions"),
        "questions": tuple(questions),
        "holds": tuple(holds),
        "steps": tuple(steps),
        "kit": reader.mapping(KitItem, "kit.yaml", "kit"),
        "infections": tuple(infections),
        "kept_apart": tuple(reader.listing(KeptApart, "infections.yaml", "quarantine")),
        "apart_rules": tuple(reader.listing(ApartRule, "infections.yaml", "quarantine_rules")),
        "thresholds": reader.mapping(Threshold, "thresholds.yaml", "thresholds"),
        "cautions": tuple(cautions),
        "trade": tuple(trade),
    }


def _files(reader: _Reader, folder: str) -> list[str]:
    return [f"{folder}/{path.name}" for path in (reader.folder / folder).glob("*.yaml")]


def _vocabulary(reader: _Reader) -> Vocabulary | None:
    together: dict[str, Any] = {}
    for path in sorted(reader.folder.glob("vocabulary*.yaml")):
        for section, entries in reader.load_sections(path).items():
            if section in together:
                reader.faults.append(f"{path.name}: {section}: stands in another file too")
            together[section] = entries
    return reader.value(Vocabulary, together, "vocabulary")


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
        for index, data in enumerate(loaded.get("steps", [])):
            step = reader.value(Step, data, _label(file, "steps", "code", index, data))
            if step is not None:
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
