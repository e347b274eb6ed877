"""String literals of a module, with what they are there for."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SAID = {"say", "say_n", "N_", "told"}
DEVELOPERS = {
    "ValueError",
    "LookupError",
    "RuntimeError",
    "KeyError",
    "TypeError",
    "AssertionError",
}
MARKER = "# not said"


@dataclass(frozen=True, slots=True, kw_only=True)
class Literal:
    """A string as written: where, what, and whether its line says it is never shown."""

    file: str
    line: int
    text: str
    marked: bool

    def __str__(self) -> str:
        return f"{self.file}:{self.line} {self.text!r}"


def loose_literals(path: Path) -> Iterator[Literal]:
    """Return the strings of a module that are no docstring, no argument of a phrase function,
    no message of a developer's error and no key of a subscript."""
    source = path.read_text("utf-8")
    lines = source.splitlines()
    tree = ast.parse(source)
    spared: set[int] = set()
    for node in ast.walk(tree):
        for inner in _spared(node):
            spared.update(id(one) for one in ast.walk(inner))
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in spared
        ):
            yield Literal(
                file=str(path.relative_to(ROOT)),
                line=node.lineno,
                text=node.value,
                marked=any(MARKER in lines[n - 1] for n in range(node.lineno, _end(node) + 1)),
            )


def _spared(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        yield node.value  # a docstring, of a module, class, function or name
    elif isinstance(node, ast.Call) and _name(node.func) in SAID | DEVELOPERS:
        yield from node.args
    elif isinstance(node, ast.keyword) and node.arg == "what":
        yield node.value  # what a part of a picture shows, for tests
    elif isinstance(node, ast.Assert) and node.msg is not None:
        yield node.msg


def _name(function: ast.AST) -> str:
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def _end(node: ast.Constant) -> int:
    return node.end_lineno or node.lineno
