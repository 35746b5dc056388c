"""How long a term review takes from command to file, against its bare parts and against running the notebook the usual way."""

import json
import os
import resource
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import pytest

ROOT = Path(__file__).parents[2]
NOTEBOOK = ROOT / "notebooks" / "term_review.ipynb"
STUDY = ROOT / "synthetic_data" / "one_choir"
FLOOR_TARGET, USUAL_TARGET, ROUNDS = 1.4, 2, 3

FLOOR = """
import sys
from pathlib import Path

from kit.report import drawn, layout

drawings = []
layout.figure = lambda drawing, **words: drawings.append(drawing)
names = {"display": lambda *objects: None}
for source in Path(sys.argv[1]).read_text(encoding="utf-8").split("#%%"):
    exec(compile(source, "cell", "exec"), names)
for number, drawing in enumerate(drawings):
    drawing.savefig(Path(sys.argv[2]) / f"{number}.png", dpi=drawn.DOTS_PER_INCH)
"""
"""The same cells, run without a notebook; their pictures are saved as files; nothing is written about them."""


def with_parameters(study: Path, folder: Path) -> tuple[Path, Path]:
    """Write the notebook, and its code alone, with the study's folder among the parameters."""
    notebook = json.loads(NOTEBOOK.read_text(encoding="utf-8"))
    code = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
    code[0]["source"] = "".join(code[0]["source"]) + f"\nfolder = {str(study)!r}"
    (folder / "same.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    (folder / "same.txt").write_text("#%%".join("".join(cell["source"]) + "\n" for cell in code), encoding="utf-8")
    return folder / "same.ipynb", folder / "same.txt"


def seconds(*words) -> tuple[float, float]:
    """CPU seconds of a process and its children, a kernel included, and wall seconds."""
    began, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *map(str, words)], cwd=ROOT, check=True, capture_output=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return used, time.perf_counter() - began


@pytest.fixture(scope="module")
def study(tmp_path_factory) -> Path:
    """Copy the demo choir, so that nothing is written beside the sources."""
    folder = tmp_path_factory.mktemp("study")
    for path in [path for path in STUDY.iterdir() if path.is_file()]:
        (folder / path.name).write_bytes(path.read_bytes())
    return folder


@pytest.mark.benchmark
def test_report_against_its_parts_and_the_usual_way(study, tmp_path, capsys):
    """Whole processes in turn, CPU seconds, median of three ratios: the command, its bare parts, and nbconvert.

    CPU seconds, since wall time on a shared machine measures the neighbours; the wall is printed beside them.
    """
    notebook, code = with_parameters(study, tmp_path)
    ways = {
        "kit report": ("-m", "kit", "report", study, "--for", "educator", "--out", tmp_path / "out"),
        "bare parts": ("-c", FLOOR, code, tmp_path),
        "nbconvert": ("-m", "nbconvert", "--execute", "--to", "html", "--log-level=ERROR", notebook),
    }
    rounds = [{name: seconds(*words) for name, words in ways.items()} for _ in range(ROUNDS)]
    [page] = (tmp_path / "out").glob("*/*.html")
    # the bare parts drew what the page shows
    assert len(list(tmp_path.glob("*.png"))) == page.read_text(encoding="utf-8").count("<img ") > 0
    assert (tmp_path / "same.html").is_file()
    over_floor, under_usual = (
        median(one["kit report"][0] / one["bare parts"][0] for one in rounds),
        median(one["nbconvert"][0] / one["kit report"][0] for one in rounds),
    )
    lines = [""]
    for name in ways:
        used, wall = (median(one[name][at] for one in rounds) for at in (0, 1))
        lines.append(f"{name:12} {used:5.2f} s CPU {wall:6.2f} s wall")
    lines.append(f"report / bare parts {over_floor:.2f} (target at most {FLOOR_TARGET})")
    lines.append(f"nbconvert / report {under_usual:.2f} (target at least {USUAL_TARGET})")
    with capsys.disabled():
        print(*lines, sep="\n")
    assert over_floor <= FLOOR_TARGET
    assert under_usual >= USUAL_TARGET
