"""A YAML file together with the line of every field, so that an error can point at it.

Stricter than YAML allows: no aliases, no repeated keys, no guessed dates, times or yes/no.
"""

from __future__ import annotations

import re
from collections.abc import Hashable, Sequence
from pathlib import Path
from typing import Any

import yaml

from content.errors import Problem

Path_ = tuple[str | int, ...]
MOST_BYTES = 256 * 1024  # a day is a few kilobytes
DEEPEST = 20  # a rung's load is at 7


class _Loader(yaml.SafeLoader):
    """The safe loader with JSON's idea of a scalar: "12:30" and "no" stay text."""


class _FastLoader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """The same in C, ten times as fast, where the library was built with it; it explains less."""


_RESOLVERS: dict[str, list[tuple[str, re.Pattern[str]]]] = {}
for _tag, _pattern, _first in (
    ("bool", r"true|false", "tf"),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?[0-9]+\.[0-9]+", "-+0123456789"),
    ("null", r"null|~|", ["n", "~", ""]),
):
    for _character in _first:
        _resolver = (f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_pattern})$"))
        _RESOLVERS.setdefault(_character, []).append(_resolver)
_Loader.yaml_implicit_resolvers = _FastLoader.yaml_implicit_resolvers = _RESOLVERS


def _refused(text: str, loader: Any) -> tuple[int, str] | None:
    """Give the line of an alias or of too deep nesting, and what to say of it.

    Looks at the events as they come: the parser is slow on thousands of brackets.
    """
    depth = 0
    for event in yaml.parse(text, Loader=loader):
        line = event.start_mark.line + 1 if event.start_mark else 0
        if isinstance(event, yaml.AliasEvent):
            return line, "aliases (*name) are not used; write the value out"
        depth += isinstance(event, yaml.CollectionStartEvent)
        depth -= isinstance(event, yaml.CollectionEndEvent)
        if depth > DEEPEST:
            return line, f"nested more than {DEEPEST} levels deep"
    return None


class Source:
    """One parsed file.

    Attributes:
        data: Plain dicts, lists and scalars; None when the file could not be read.
        problems: What went wrong while reading.
    """

    def __init__(self, file: Path, most_bytes: int = MOST_BYTES) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.data: Any = None
        self._lines: dict[Path_, int] = {}
        try:
            if file.stat().st_size > most_bytes:
                self._problem(0, f"larger than {most_bytes // 1024} KiB; a day is a few KiB")
                return
            text = file.read_text(encoding="utf-8")
        except FileNotFoundError:
            self._problem(0, "there is no such file")
        except UnicodeDecodeError as error:
            self._problem(0, f"not UTF-8 text (byte {error.start}); save the file as UTF-8")
        except OSError as error:
            self._problem(0, f"could not be read: {error.strerror}")
        else:
            self._parse(text)

    def line(self, path: Sequence[str | int]) -> int:
        """Give the line of a field, or of the nearest field around it that exists."""
        for length in range(len(path), -1, -1):
            found = self._lines.get(tuple(path[:length]))
            if found is not None:
                return found
        return 0

    def problem(self, path: Sequence[str | int], message: str) -> Problem:
        """Make a problem that points at a field."""
        field = ".".join(str(part) for part in path)
        return Problem(self.file, self.line(path), field, message)

    def _problem(self, line: int, message: str) -> None:
        self.problems.append(Problem(self.file, line, "", message))

    def _parse(self, text: str, using: Any = _FastLoader) -> None:
        try:
            # The loader is a safe one from above; only its scalars are narrower.
            loader = using(text)
            try:
                if (refused := _refused(text, using)) is not None:
                    self._problem(*refused)
                    return
                node = loader.get_single_node()
            finally:
                loader.dispose()
        except yaml.YAMLError as error:
            if using is _FastLoader:
                self._parse(text, _Loader)
            else:
                self._not_yaml(error)
        else:
            if node is None:
                self._problem(0, "the file is empty")
            else:
                self.data = self._build(node, ())

    def _not_yaml(self, error: yaml.YAMLError) -> None:
        if isinstance(error, yaml.MarkedYAMLError):
            mark = error.problem_mark or error.context_mark
            tab = "; indent with spaces" if "\\t" in (error.problem or "") else ""
            self._problem(mark.line + 1 if mark else 0, f"not valid YAML: {error.problem}{tab}")
        else:
            self._problem(0, f"not valid YAML: {str(error).splitlines()[0]}")

    def _build(self, node: yaml.Node, path: Path_) -> Any:
        self._lines.setdefault(path, node.start_mark.line + 1)
        if isinstance(node, yaml.MappingNode):
            return self._build_mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self._build(child, (*path, i)) for i, child in enumerate(node.value)]
        return self._scalar(node)

    def _build_mapping(self, node: yaml.MappingNode, path: Path_) -> dict[Any, Any]:
        built: dict[Any, Any] = {}
        for key_node, value_node in node.value:
            key = self._scalar(key_node) if isinstance(key_node, yaml.ScalarNode) else None
            line = key_node.start_mark.line + 1
            if not isinstance(key, str | int):
                self._problem(line, "a key must be a plain word")
                continue
            if key in built:
                self.problems.append(
                    Problem(self.file, line, ".".join(map(str, (*path, key))), "said twice")
                )
                continue
            self._lines[*path, key] = line
            built[key] = self._build(value_node, (*path, key))
        return built

    def _scalar(self, node: yaml.Node) -> Hashable:
        kind = node.tag.rpartition(":")[2]
        text = str(node.value)
        match kind:
            case "int":
                return int(text) if len(text) < 19 else text  # noqa: PLR2004 - 64 bits
            case "float":
                return float(text)
            case "bool":
                return text == "true"
            case "null":
                return None
            case "str":
                return text
            case _:
                self._problem(
                    node.start_mark.line + 1, f"tags such as {node.tag} are not used here"
                )
                return text
