"""Pages to look at: a small study with everything that a report has a part for, and what its notebooks show."""

import base64
import random
from pathlib import Path

import pytest

from kit.report import layout
from kit.report.build import page_of
from kit.report.runner import run_notebook

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
READERS = ("term_review", "grant_report", "classroom_replication", "drill_review")
WORKBENCHES = {"study_planning": {}, "method_checks": {"draws": 50}}
"""Notebooks that need no study, with parameters that make them quick."""
TONES = ("do", "re", "mi", "fa", "so")
PATTERNS = ("do re mi", "mi re do", "do mi so", "so fa mi")
DOT = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
STUDY = """
title = "Two ways of beginning"
synthetic = true
[assignment]
how = "choirs_at_random"
[[scores]]
file = "scores.csv"
student = "ID"
choir = "Choir"
[[scores.marks]]
column = "Pre"
occasion = "pre"
measure = "total"
max_points = 20
[[scores.marks]]
column = "Post"
occasion = "post"
measure = "total"
max_points = 20
[[rosters]]
file = "scores.csv"
student = "ID"
choir = "Choir"
approach = "Approach"
[[drills]]
file = "log.csv"
date = "Date"
student = "ID"
choir = "Choir"
minutes = "Minutes"
target = "Asked"
sung = "Sung"
attempt = "Try"
pitch_right = "Right"
[repeats.printed]
study = "an invented earlier study"
design = "two_groups"
n = [38, 38]
direction = "higher"
means = ["13.2", "11.6"]
sds = ["4.1", "4.3"]
"""


def small_study(folder: Path) -> Path:
    """Write a study of two approaches in eight choirs, with a drill log and an earlier study that it repeats."""
    draw = random.Random(7)
    students = [(f"s{n:03}", f"Choir {n % 8}", ("by ear", "by page")[n % 2]) for n in range(104)]
    scores = [
        f"{student},{choir},{approach},{(pre := draw.randint(2, 14))},{'' if n % 17 == 3 else pre + draw.randint(-1, 6)}"
        for n, (student, choir, approach) in enumerate(students)
    ]
    log = []
    for day in range(1, 29, 3):
        for student, choir, _ in students[:: 1 + day % 3]:
            asked = PATTERNS[draw.randrange(4)]
            right = draw.random() < 0.6
            sung = asked if right else " ".join([*asked.split()[:2], TONES[draw.randrange(5)]])
            log.append(f"2025-10-{day:02},{student},{choir},5,{asked},{sung},1,{int(sung == asked)}")
    for name, head, rows in (
        ("scores.csv", "ID,Choir,Approach,Pre,Post", scores),
        ("log.csv", "Date,ID,Choir,Minutes,Asked,Sung,Try,Right", log),
    ):
        (folder / name).write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    return folder


def pages_of(folder: Path, audiences=("teacher", "public")) -> dict[str, str]:
    """Make the page of every notebook for every audience; drawings become a dot, since nobody looks at them here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(layout, "png_of", lambda _: DOT)
        patch.setattr(layout, "svg_of", lambda _: "<svg/>")
        made = {
            f"{name}, {audience}": page_of(
                run_notebook(NOTEBOOKS / f"{name}.ipynb", {"folder": str(folder), "audience": audience})
            )
            for name in READERS
            for audience in audiences
        }
        for name, parameters in WORKBENCHES.items():
            made[name] = page_of(run_notebook(NOTEBOOKS / f"{name}.ipynb", parameters))
    return made
