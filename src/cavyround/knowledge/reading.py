"""Read YAML strictly: every scalar is text, and a key given twice is a fault."""

from pathlib import Path
from typing import Any

import yaml


class KnowledgeFaultError(ValueError):
    """Faults of the knowledge files, each naming file and path."""

    def __init__(self, faults: list[str]) -> None:
        """Keep all faults: mending one at a time would be tiresome."""
        self.faults = faults
        super().__init__("\n".join(faults))


class _TextLoader(yaml.CSafeLoader):
    """Reads scalars as the text that was written: no guessed dates, numbers or yes and no."""


_TextLoader.yaml_implicit_resolvers = {}


def _mapping(loader: _TextLoader, node: yaml.MappingNode) -> dict[str, Any]:
    seen: dict[str, Any] = {}
    for key_node, value_node in node.value:
        key = loader.construct_object(key_node, deep=True)
        if not isinstance(key, str):
            line = key_node.start_mark.line + 1
            problem = f"a key must be one word (line {line})"
            raise yaml.constructor.ConstructorError(None, None, problem, key_node.start_mark)
        if key in seen:
            line = key_node.start_mark.line + 1
            problem = f"the key {key!r} is given twice (line {line})"
            raise yaml.constructor.ConstructorError(None, None, problem, key_node.start_mark)
        seen[key] = loader.construct_object(value_node, deep=True)
    return seen


_TextLoader.add_constructor(yaml.resolver.BaseResolver.DEFAULT_MAPPING_TAG, _mapping)


def read_yaml_list(path: Path) -> list[Any] | None:
    """The list a file holds; None where it holds named sections.

    Raises KnowledgeFaultError for a file that cannot be read.
    """
    try:
        loaded = yaml.load(path.read_text(encoding="utf-8"), Loader=_TextLoader)  # noqa: S506 -- safe
    except yaml.YAMLError as fault:
        raise KnowledgeFaultError([f"{path.name}: {fault}"]) from None
    return loaded if isinstance(loaded, list) else None


def read_yaml(path: Path) -> dict[str, Any]:
    """Read one file into text, lists and mappings; raises KnowledgeFaultError naming the file."""
    try:
        loaded = yaml.load(path.read_text(encoding="utf-8"), Loader=_TextLoader)  # noqa: S506 -- a SafeLoader
    except UnicodeDecodeError:
        raise KnowledgeFaultError([f"{path.name}: is not text in UTF-8"]) from None
    except yaml.YAMLError as broken:
        raise KnowledgeFaultError([f"{path.name}: {_first_line(broken)}"]) from None
    if not isinstance(loaded, dict):
        raise KnowledgeFaultError([f"{path.name}: the file must hold named sections"])
    return loaded


def _first_line(broken: yaml.YAMLError) -> str:
    mark = getattr(broken, "problem_mark", None)
    where = f" (line {mark.line + 1})" if mark else ""
    problem = getattr(broken, "problem", None) or str(broken)
    return problem if "line" in problem else f"{problem}{where}"
