"""Every answer that states a figure says what it rests on; each with a script that shows it.

A row is (script, kind of answer, what its figure looks like, how its basis reads). Every answer of
the script that holds the figure must hold the basis as well, and there must be one.
"""

from __future__ import annotations

import re

import pytest

from tests.conversations.script import HERE, read

ROWS = [
    (
        "season",
        "sown, window",
        r"most likely about",
        r"By (the temperature table|a guide's days|days from memory)",
    ),
    ("season", "sown, depth", r"Cover .*\d", r"by the crop table"),
    ("season", "counted", r"\d+ of \d+ up, today", r"\d+%, likely \d+%–\d+%"),
    ("season", "counted, lamp", r"14–16 hours", r"rule of thumb"),
    ("season", "counted, standard", r"Better than|no evidence", r"seed standard of \d+%"),
    ("season", "planted, risk", r"Chance of frost", r"from the dates you gave"),
    ("season", "frost kept", r"One year in ten", r"By the dates given"),
    ("season", "forecast, limit", r"not below 10 °C", r"by the kind of crop"),
    ("leap_day", "one date given", r"One year in ten", r"assumed \(14 days either way"),
    ("leap_day", "read mix", r"Up between .*7 Mar", r"from your readings and what is usual"),
    ("overdue", "none up, read mix", r"nothing up yet", r"from your readings and what is usual"),
    ("resow", "window learned here", r"Up between .*Jul", r"this site's own record"),
    ("resow", "resow date", r"time to resow: until", r"weeks in the tray and your frost dates"),
    ("outside_tested", "window moved", r"now expected", r"by the temperatures you read"),
    ("light_advice", "light measured", r"150 µmol", r"By your light meter"),
    ("light_advice", "light reckoned", r"4,500 lx, 67", r"such a factor is uncertain"),
    ("light_advice", "light aim", r"mol a day", r"growers' advice"),
    ("light_advice", "lamp height", r"To reach it: lamp", r"measured table of tube lamps"),
    (
        "moisture_learning",
        "tray lasts",
        r"Lasts about",
        r"rule of thumb|from \d+ looks? at its mix",
    ),
    ("southern_site", "crop dates", r"Plant out \d", r"Chances rest on the frost dates given"),
    ("units_per_member", "crop card", r"Up in \d", r"by the published tables"),
    ("units_per_member", "crop card, depth", r"Sow .* deep", r"Sources: "),
    (
        "lot_and_howmany",
        "lot",
        r"Expect (about|hardly)",
        r"by (what seed of its kind usually shows|the least its kind must show)",
    ),
    ("lot_and_howmany", "how many", r"more to plant out: \d+% sure", r"Rests on .*rule of thumb"),
    ("compare_two_lots", "two ways", r"Of 100 seeds", r"by tray, quasi-binomial"),
    ("compare_two_lots", "speed", r"by day \d+ with", r"log-rank test"),
    (
        "standard_18_of_24",
        "results",
        r"By lot:",
        r"likely = 19 times in 20 \(Wilson\). Least = .*201\.31",
    ),
    ("standard_18_of_24", "curve", r"up by day \d", r"by your counts.*19 times in 20 \(Wilson\)"),
    ("season_plan", "plan, dates and cells", r"It fits: \d", r"Dates by .* Cells give the number"),
    ("share_out", "share", r"to share out", r"rule of thumb"),
    ("trouble_leggy", "trouble, evidence", r"mol of light a day", r"\(worked out\)"),
    ("trouble_leggy", "trouble, set", r"lamp 10 h a day", r"\(as the shelf is set\)"),
]


def answers(name: str) -> list[str]:
    """Return the text of every answer in a script."""
    script = read(HERE / f"{name}.chat")
    found: list[list[str]] = []
    for step in script.steps:
        for line in script.expected[step.number]:
            if line[0] in "<!":
                found.append([line])
            else:
                found[-1].append(line)
    return ["\n".join(lines) for lines in found if lines[0].startswith("<")]


@pytest.mark.parametrize(("name", "kind", "figure", "basis"), ROWS, ids=[r[1] for r in ROWS])
def test_a_figure_comes_with_its_basis(name: str, kind: str, figure: str, basis: str) -> None:
    stated = [text for text in answers(name) if re.search(figure, text)]
    assert stated, f"no script shows: {kind}"
    bare = [text for text in stated if not re.search(basis, text, re.DOTALL)]
    assert not bare, bare[0]
