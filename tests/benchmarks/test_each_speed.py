"""How long a report takes when every choir of a district gets one, against its bare parts and the usual way."""

import contextlib
import ctypes
import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NOTEBOOK = ROOT / "notebooks" / "term_review.ipynb"
STUDY = ROOT / "synthetic_data" / "two_larches"
SET_CHILD_SUBREAPER = 36
"""From the headers of Linux."""
FLOOR_TARGET, USUAL_TARGET, USUAL_CHOIRS = 1.5, 3, 2

BARE = """
import sys
from pathlib import Path

from kit.report import drawn, layout
from kit.study import kept, load_study

study = load_study(Path(sys.argv[1]))
cells = Path(sys.argv[2]).read_text(encoding="utf-8").split("#%%")
for choir in study.choirs:
    drawings = []
    layout.figure = lambda drawing, **words: drawings.append(drawing)
    names = {"display": lambda *objects: None}
    with kept(study):
        exec(compile(cells[0] + f"\\nfolder, choir = {sys.argv[1]!r}, {choir!r}", "cell", "exec"), names)
        for source in cells[1:]:
            exec(compile(source, "cell", "exec"), names)
    for number, drawing in enumerate(drawings):
        drawing.savefig(Path(sys.argv[3]) / f"{number}.png", dpi=drawn.DOTS_PER_INCH)
print(len(study.choirs))
"""
"""The same cells for every choir, run without a notebook in one process that reads the study once."""


def adopt_orphans():
    """Become the parent of processes whose own has ended, so that their time is counted too (Linux)."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(SET_CHILD_SUBREAPER, 1, 0, 0, 0)


def await_children():
    """Wait until no child is left."""
    with contextlib.suppress(ChildProcessError):
        while True:
            os.waitpid(-1, 0)


def seconds(*words) -> tuple[float, float, str]:
    """CPU seconds of a process, its children and theirs, wall seconds, and what it printed."""
    adopt_orphans()
    began, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, *map(str, words)], cwd=ROOT, check=True, capture_output=True, text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    wall = time.perf_counter() - began
    await_children()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, wall, done.stdout


@pytest.mark.benchmark
def test_a_report_for_every_choir(tmp_path, capsys):
    """A report of many costs at most 1.5 times its bare cells and a third of running its notebook the usual way.

    CPU seconds for one report, everything that is read and started included; the wall is printed beside them.
    """
    study = tmp_path / "study"
    study.mkdir()
    for path in [path for path in STUDY.iterdir() if path.is_file()]:
        (study / path.name).write_bytes(path.read_bytes())
    notebook = json.loads(NOTEBOOK.read_text(encoding="utf-8"))
    code = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
    (tmp_path / "cells.txt").write_text("#%%".join("".join(cell["source"]) + "\n" for cell in code), encoding="utf-8")
    bare, _, choirs = seconds("-c", BARE, study, tmp_path / "cells.txt", tmp_path)
    ours, ours_wall, _ = seconds(
        "-m", "kit", "report", study, "--for", "educator", "--each", "choir", "--out", tmp_path / "out"
    )
    reports = int(choirs)
    assert len(list((tmp_path / "out").rglob("*.html"))) == reports + 1
    usual = usual_wall = 0.0
    parameters = "".join(code[0]["source"])
    made = json.loads((tmp_path / "out" / "made.json").read_text(encoding="utf-8"))["made"]
    for choir in list(made)[:USUAL_CHOIRS]:
        code[0]["source"] = f"{parameters}\nfolder, choir = {str(study)!r}, {choir!r}"
        (tmp_path / "same.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
        used, wall, _ = seconds(
            "-m", "nbconvert", "--execute", "--to", "html", "--log-level=ERROR", tmp_path / "same.ipynb"
        )
        usual, usual_wall = usual + used / USUAL_CHOIRS, usual_wall + wall / USUAL_CHOIRS
    over_floor, under_usual = ours / bare, usual / (ours / reports)
    with capsys.disabled():
        print(f"\n{reports} choirs, for one report: ours {ours / reports:.2f} s CPU, {ours_wall / reports:.2f} s wall; "
              f"bare cells {bare / reports:.2f} s CPU; the usual way {usual:.2f} s CPU, {usual_wall:.2f} s wall")  # fmt: skip
        print(f"ours / bare {over_floor:.2f} (target at most {FLOOR_TARGET}); usual / ours {under_usual:.2f} "
              f"(target at least {USUAL_TARGET})")  # fmt: skip
    assert over_floor <= FLOOR_TARGET
    assert under_usual >= USUAL_TARGET
