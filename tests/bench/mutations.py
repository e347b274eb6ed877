"""Change one number at a time and see whether a test notices: a mutation run, by hand.

`python -m tests.bench.mutations --count 100 --seed 1` draws constants of `core` and cells of its
tables by lot, changes each by a quarter (whole numbers by at least one) in a copy of the tree,
runs the tests meant for them there until one fails, and lists the numbers that nobody missed.
A survivor wants an outside check, a property, or a word beside it that it is a choice: a number
whose own comment, docstring or source already says `choice`, `common practice` or `from memory` is
listed as declared.
"""

from __future__ import annotations

import argparse
import ast
import itertools
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("trade", "group", "plan", "due", "trouble", "results")
TESTS = (
    "tests/reference",
    "tests/core/trade",
    "tests/core/group",
    "tests/core/due",
    "tests/core/results",
    "tests/core/trouble",
    "tests/conversations/test_scripts.py",
    "tests/core/handlers",
    "tests/core/plan",
)
"""Quickest and nearest to the figures first: the run of a mutant ends at the first failure."""
NOT_FIGURES = frozenset({"sources.toml", "glossary.toml", "frost_headers.toml"})
_CELL = re.compile(r"(?<![\w.\"-])(\d+(?:\.\d+)?)(?![\w.\"-])")


@dataclass(frozen=True, slots=True)
class Site:
    """One number in a file: its place and what it says."""

    path: Path
    line: int
    start: int
    end: int
    text: str
    about: str

    def changed(self) -> str:
        """Return the number a quarter larger; whole numbers stay whole and move by at least one."""
        if "." in self.text:
            return f"{float(self.text) * 1.25 or 0.25:.6g}"
        return str(int(self.text) + max(1, round(int(self.text) * 0.25)))


def constants() -> Iterator[Site]:
    """Yield the numbers assigned to capital names at the top of core's modules."""
    for room in ROOMS:
        for path in sorted((ROOT / "core" / room).rglob("*.py")):
            lines = path.read_text(encoding="utf-8").splitlines()
            for node in ast.parse("\n".join(lines)).body:
                targets = node.targets if isinstance(node, ast.Assign) else ()
                names = [t.id for t in targets if isinstance(t, ast.Name)]
                if not names or not names[0].strip("_").isupper():
                    continue
                for value in ast.walk(node):
                    if not (isinstance(value, ast.Constant) and type(value.value) in (int, float)):
                        continue
                    text = lines[value.lineno - 1][value.col_offset : value.end_col_offset]
                    if re.fullmatch(r"\d+(\.\d+)?", text):
                        yield Site(
                            path, value.lineno, value.col_offset, value.end_col_offset or 0,
                            text, names[0],
                        )  # fmt: skip


def cells() -> Iterator[Site]:
    """Yield the numbers of core's tables, outside texts."""
    for path in sorted((ROOT / "core" / "data").glob("*.toml")):
        if path.name in NOT_FIGURES:
            continue
        row = ""
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            key, equals, value = line.partition("=")
            if key.strip() in ("id", "crop"):
                row = value.strip(' "')
            if not equals or '"' in value or line.lstrip().startswith("#"):
                continue
            for hit in _CELL.finditer(value):
                at = len(key) + 1
                about = f"{row}.{key.strip()}"
                yield Site(path, number, at + hit.start(), at + hit.end(), hit[1], about)


def drawn(count: int, seed: int) -> list[Site]:
    """Draw sites by lot: half of them constants, half of them cells, no table more than a third."""
    by_lot = random.Random(seed)
    chosen = by_lot.sample(list(constants()), count // 2)
    pool, of_file = list(cells()), dict.fromkeys(NOT_FIGURES, 0)
    by_lot.shuffle(pool)
    for site in pool:
        if len(chosen) == count:
            break
        taken = of_file.get(site.path.name, 0)
        if taken < max(1, count // 6):
            of_file[site.path.name] = taken + 1
            chosen.append(site)
    return chosen


def _said_at_the_head(lines: list[str], key: str) -> bool:
    """Say whether a sentence at the head of a table calls all figures of a key a choice."""
    head = itertools.takewhile(lambda line: not line.startswith("[["), lines)
    said = " ".join(line.lstrip("# ") for line in head)
    return any(
        re.search(rf"(?<!\w){key}(?!\w)", sentence)
        and re.search(r"choice|common.practice|from.memory", sentence)
        for sentence in re.split(r"(?<=[.;:]) (?=[A-Z`])", said)
    )


def _own_words(lines: list[str], at: int) -> str:
    """Return a constant's line and what follows, to the next constant or blank line."""
    own = [lines[at]]
    for line in lines[at + 1 :]:
        if not line.strip() or re.match(r"_?[A-Z][A-Z_0-9]*\b.*=", line):
            break
        own.append(line)
    return " ".join(own)


def declared(site: Site) -> bool:
    """Say whether the number's own words or its row's source call it a choice or a memory."""
    lines = site.path.read_text(encoding="utf-8").splitlines()
    if site.path.suffix == ".py":
        words = r"choice|common practice|from memory"
        return bool(re.search(words, _own_words(lines, site.line - 1), re.IGNORECASE))
    key = re.sub(r"_(min|max|lo|hi)\b", "", lines[site.line - 1].partition("=")[0].strip())
    if _said_at_the_head(lines, lines[site.line - 1].partition("=")[0].strip()):
        return True
    first = site.line - 1
    while first > 0 and not lines[first].startswith("[["):
        first -= 1
    last = site.line
    while last < len(lines) and not lines[last].startswith("[["):
        last += 1
    for line in lines[first:last]:
        name, _, value = line.partition("=")
        of_row = name.strip() in ("source", "basis")
        if (of_row or key in value or key in name) and re.search(
            r"choice|common.practice|from.memory", line
        ):
            return True
    return False


def noticed_by(tree: Path, tests: list[str]) -> str | None:
    """Run the tests in a copy of the tree; return the first that fails, None when all pass."""
    command = [
        sys.executable, "-P", "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider",
        "-k", "not postgresql", *tests,
    ]  # fmt: skip
    env = os.environ | {"PYTHONPATH": str(tree), "PYTHONDONTWRITEBYTECODE": "1"}
    run = subprocess.run(command, cwd=tree, env=env, capture_output=True, text=True, check=False)
    if run.returncode == 0:
        return None
    failed = re.search(r"^(?:FAILED|ERROR) (\S+)", run.stdout, re.MULTILINE)
    return failed[1] if failed else run.stdout[-300:] + run.stderr[-300:]


def tried(site: Site, tree: Path, tests: list[str]) -> str | None:
    """Run the tests with one number changed; return the test that noticed, None when none did."""
    path = tree / site.path.relative_to(ROOT)
    whole = path.read_text(encoding="utf-8")
    lines = whole.splitlines(keepends=True)
    line = lines[site.line - 1]
    lines[site.line - 1] = line[: site.start] + site.changed() + line[site.end :]
    path.write_text("".join(lines), encoding="utf-8")
    try:
        return noticed_by(tree, tests)
    finally:
        path.write_text(whole, encoding="utf-8")


def main() -> None:
    """Run it and print a line for each number, then the survivors and their share."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=100)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--first", type=int, default=0, help="begin at this place of the draw")
    asked.add_argument("tests", nargs="*", default=list(TESTS))
    given = asked.parse_args()
    left: list[Site] = []
    said: list[Site] = []
    sites = drawn(given.count, given.seed)[given.first :]
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        skip = shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache")
        shutil.copytree(ROOT, tree, ignore=skip)
        if (failing := noticed_by(tree, given.tests)) is not None:
            raise SystemExit(f"the tests fail on the tree as it is: {failing}")
        for site in sites:
            by = tried(site, tree, given.tests)
            alive = by is None
            said += [site] if alive and declared(site) else []
            left += [site] if alive and not declared(site) else []
            where = f"{site.path.relative_to(ROOT)}:{site.line} {site.about}"
            word = f"noticed by {by}" if by else "declared" if declared(site) else "SURVIVED"
            sys.stdout.write(f"{where}: {site.text} -> {site.changed()}: {word}\n")
            sys.stdout.flush()
    sys.stdout.write(f"{len(left)} of {len(sites)} survived, {len(said)} more are declared\n")


if __name__ == "__main__":
    main()
