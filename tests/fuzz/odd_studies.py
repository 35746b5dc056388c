"""Studies that nobody designed for: names that are markup, words of the report or no letters, marks beyond belief."""

from __future__ import annotations

import csv
import random
from collections.abc import Callable, Mapping
from pathlib import Path

from kit.__main__ import main

Choirs = tuple[tuple[str, str, str, int], ...]
PLAIN: Choirs = (
    ("North", "Alto", "ear first", 18), ("North", "Bass", "page first", 17), ("South", "Treble", "ear first", 20),
    ("South", "Mixed", "page first", 16),
)  # fmt: skip
MARKUP: Choirs = (
    ("<b>North</b>", "<script>alert(1)</script>", "ear & first", 18), ("<b>North</b>", 'Bass & "Co" |', "page 'first'", 17),
    ("South", "*Treble* _x_ `y` [a](b)", "ear & first", 20), ("South", "$x^2$ \\alpha {z}", "page 'first'", 16),
)  # fmt: skip
OTHER_LETTERS: Choirs = (
    ("North \U0001f3b5", "Alto \U0001f3b6", "ear \U0001f442", 18), ("North \U0001f3b5", "Bass \U0001f468\u200d\U0001f469", "page \U0001f4c4", 17),
    ("South", "\u062c\u0648\u0642\u0629", "ear \U0001f442", 20), ("South", "\u05de\u05e7\u05d4\u05dc\u05d4", "page \U0001f4c4", 16),
)  # fmt: skip
LONG: Choirs = (
    ("North " + "s" * 190, "Alto " + "x" * 190, "ear " + "e" * 190, 18),
    ("North " + "s" * 190, "Bass " + "y" * 190, "page " + "p" * 190, 17),
    ("South", "word " * 40, "ear " + "e" * 190, 20), ("South", "M" * 200, "page " + "p" * 190, 16),
)  # fmt: skip
WORDS: Choirs = (
    ("tested both times", "total", "all", 18), ("tested both times", "first test", "points", 17),
    ("choirs", "all choirs", "all", 20), ("choirs", "worst case", "points", 16),
)  # fmt: skip
CLAIMS: Choirs = (
    ("Best School", "The best choir", "improves", 18), ("Best School", "worst choir", "works because", 17),
    ("Proof School", "Effect of singing", "improves", 20), ("Proof School", "p-value", "works because", 16),
)  # fmt: skip
ALONE: Choirs = tuple((f"S{at % 5}", f"Choir {at}", ("ear first", "page first")[at % 2], 1) for at in range(40))


def usual(draw: random.Random, test: int) -> int:
    """Draw a mark out of 24."""
    return max(0, min(24, round(draw.gauss(12 + 2 * test, 4))))


STUDIES: Mapping[str, dict] = {
    "markup": {"choirs": MARKUP}, "other letters": {"choirs": OTHER_LETTERS}, "long names": {"choirs": LONG},
    "words of the report": {"choirs": WORDS}, "names that claim": {"choirs": CLAIMS}, "forty of one": {"choirs": ALONE},
    "all the same": {"mark": lambda *_: 12}, "all at the top": {"mark": lambda *_: 24},
    "one student": {"choirs": (("North", "Alto", "ear first", 1),)}, "second test alone": {"tests": ("post",)},
    "days turned round": {"days": ("2026-02-10", "2025-09-10")},
    "above the maximum": {"mark": lambda draw, _: draw.randint(90, 130), "top": 100},
    "below nothing": {"mark": lambda draw, _: draw.randint(-3, 20)},
    "raters at odds": {"raters": ("one", "two")},
}  # fmt: skip
"""Name -> what is odd about it."""


def make(
    folder: Path, *, choirs: Choirs = PLAIN, mark: Callable[[random.Random, int], int] = usual, top: int = 24,
    tests: tuple[str, ...] = ("pre", "post"), days: tuple[str, ...] = ("2025-09-10", "2025-12-10"),
    raters: tuple[str, ...] = ("",),
) -> tuple[Path, int]:  # fmt: skip
    """Write an odd study's files, let the kit propose a study of them, and declare what it asks for.

    Returns
    -------
    study : Path
    code : int
        Of the proposal.
    """
    draw, singer = random.Random(1), 0
    roster, scores = [["Student ID", "School", "Choir", "Approach", "Grade"]], [
        ["Student ID", "Choir", "Occasion", "Date", "Points", "Out of", "Rater"]
    ]  # fmt: skip
    for school, choir, approach, size in choirs:
        for _ in range(size):
            singer += 1
            roster.append([10_000 + singer, school, choir, approach, 7 + singer % 2])
            for at, (test, day) in enumerate(zip(tests, days, strict=False)):
                points = mark(draw, at)
                scores += [[10_000 + singer, choir, test, day, points if rater != "two" else top - points, top, rater]
                           for rater in raters]  # fmt: skip
    for name, rows in (("roster.csv", roster), ("scores.csv", scores)):
        with (folder / name).open("w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows(rows if raters[0] or name == "roster.csv" else [row[:-1] for row in rows])
    study = folder / "study"
    code = main(["new", str(study), "--from", str(folder / "roster.csv"), str(folder / "scores.csv")])
    if code == 0:
        toml = study / "study.toml"
        told = toml.read_text(encoding="utf-8").replace('how = "undeclared"', 'how = "choirs_at_random"')
        rater = f'rater = "{raters[0]}"\n' if raters[0] and "\nrater =" not in told else ""
        toml.write_text(told.replace("title =", f"{rater}title =", 1), encoding="utf-8")
    return study, code
