"""How long check takes on a large workbook, against reading the same cells with the spreadsheet library alone."""

import resource
import subprocess
import sys
from pathlib import Path
from statistics import median

import numpy as np
import openpyxl
import pytest

ROOT = Path(__file__).parents[2]
STUDENTS = 5_000
ROUNDS = 5

BARE = """
import sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1], data_only=True)
cells = [[cell.value for cell in row] for sheet in book.worksheets for row in sheet.iter_rows()]
"""


def workbook(path: Path) -> Path:
    """Write 5,000 invented students as a district would keep them: ids, choirs, two tests of two measures."""
    rng = np.random.default_rng(11)
    book = openpyxl.Workbook()
    book.active.append(["ID", "Choir", "Grade", "Pitch Fall", "Pitch Spring", "Rhythm Fall", "Rhythm Spring"])
    for number in range(STUDENTS):
        marks = rng.integers(0, 25, 4).tolist()
        marks[1] = f"{marks[1]}/24" if number % 3 else "absent"
        book.active.append([f"{number:06}", f"Choir {number % 160}", 6 + number % 7, *marks])
    book.save(path)
    return path


def seconds(*words) -> float:
    """CPU seconds of a process, its children included."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *map(str, words)], cwd=ROOT, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


@pytest.mark.benchmark
def test_check_against_bare_reading(tmp_path, capsys):
    """Whole processes in turn, CPU seconds, median of five: check takes at most twice the bare reading."""
    path = workbook(tmp_path / "district.xlsx")
    rounds = [(seconds("-m", "kit", "check", path), seconds("-c", BARE, path)) for _ in range(ROUNDS)]
    ratio = median(ours / bare for ours, bare in rounds)
    with capsys.disabled():
        print(f"\ncheck of {STUDENTS} students: {median(r[0] for r in rounds):.2f} s, bare reading "
              f"{median(r[1] for r in rounds):.2f} s, ratio {ratio:.2f} (target 2)")  # fmt: skip
    assert ratio <= 2
