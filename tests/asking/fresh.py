"""How well questions are brought to whoever answers them: how-to, the records, not ours.

`python -m tests.asking.fresh learn` prints the totals and every miss; `sealed` its totals only.
"""

from __future__ import annotations

import csv
import sys
from dataclasses import dataclass, field
from pathlib import Path

from core.trouble.asked import read_question
from core.trouble.diagnosis import diagnose
from core.trouble.evidence import Evidence
from core.trouble.looked_up import sought_in
from core.trouble.route import Answerer, Routed, routed
from core.trouble.topics import topics_of

HERE = Path(__file__).parent


@dataclass(slots=True, kw_only=True)
class Share:
    """Hits of so many; `misses` as text."""

    hits: int = 0
    of: int = 0
    misses: list[str] = field(default_factory=list)

    def count(self, hit: bool, text: str) -> None:
        self.of += 1
        self.hits += hit
        if not hit:
            self.misses.append(text)

    @property
    def share(self) -> float:
        return self.hits / max(1, self.of)


def rows(name: str, half: str) -> list[dict[str, str]]:
    """Return the rows of one table and half."""
    with (HERE / f"fresh_{name}_{half}.tsv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))


def route_of(text: str) -> Routed | None:
    """Return who answers a question with nothing on record; None = the records."""
    if sought_in(text) is not None:
        return None
    question = read_question(text)
    return routed(text, question, diagnose(question.heard, Evidence()))


def score(half: str) -> dict[str, Share]:
    """Return the shares of one half.

    first, three: the right topic leads, or is among three, by the words alone.
    told: it is told; offered: it is told, or one of the buttons.
    records: the records answer. out: it is said not to be ours.
    """
    names = ("first", "three", "told", "offered", "records", "out")
    found = {name: Share() for name in names}
    for row in rows("howto", half):
        text, right = row["text"], set(row["topic"].replace("-", "_").split("|"))
        ids = [match.topic.id for match in topics_of(text)]
        found["first"].count(bool(right & set(ids[:1])), "")
        found["three"].count(bool(right & set(ids)), "")
        route = route_of(text)
        topic = route.topic.id if route and route.topic else None
        said = f"{text} | {row['topic']} -> {route.by if route else 'records'} {topic or ids[:1]}"
        found["told"].count(topic in right, said)
        near = set(route.near) if route else set()
        found["offered"].count(topic in right or bool(near & right), "")
    for row in rows("records", half):
        found["records"].count(route_of(row["text"]) is None, row["text"])
    for row in rows("out", half):
        route = route_of(row["text"])
        out = route is not None and route.by is Answerer.NOT_OURS
        found["out"].count(out, f"{row['text']} -> {route.by if route else 'records'}")
    return found


def _own(name: str) -> list[str]:
    with (HERE / f"{name}_learn.tsv").open(encoding="utf-8") as file:
        return [row["text"] for row in csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE)]


def own_records() -> Share:
    """Return how many of the questions written by situation the records answer."""
    found = Share()
    for text in _own("records"):
        found.count(sought_in(text) is not None, text)
    return found


def own_out() -> Share:
    """Return how many of the questions of other worlds, by situation, are told to be elsewhere."""
    found = Share()
    for text in _own("out"):
        route = route_of(text)
        found.count(route is not None and route.by is Answerer.NOT_OURS, text)
    return found


def main(half: str) -> None:
    """Print the totals; the misses only of the half that is learnt from."""
    found = score(half)
    out = [f"{half} {name}: {one.hits}/{one.of} = {one.share:.3f}" for name, one in found.items()]
    if half == "learn":
        out += [f"{name} {text}" for name, one in found.items() for text in one.misses if text]
    sys.stdout.write("\n".join(out) + "\n")


if __name__ == "__main__":
    main(sys.argv[1])
