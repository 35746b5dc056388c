"""Faults are told once, all together, and in a notebook without the inside of the kit."""

import subprocess
import sys
from pathlib import Path

import pytest

from kit.errors import Problem, StudyProblems
from kit.load.ledger import rows_in_words

ROOT = Path(__file__).parents[1]
PROBLEMS = [
    Problem(why="setting", found="There is no study.toml.", do="Write one.", file="study.toml"),
    Problem(why="not_a_mark", found="x is no mark.", do="Correct it.", file="fall.csv", row=3, column="Pre"),
]


def test_all_problems_are_in_the_message():
    """One error holds every fault, each with its place and what to do."""
    with pytest.raises(StudyProblems) as found:
        raise StudyProblems(PROBLEMS)
    assert str(found.value) == (
        "study.toml: There is no study.toml. Write one.\nfall.csv, row 3, column Pre: x is no mark. Correct it."
    )


def test_a_notebook_shows_the_problems_alone():
    """In a notebook the faults stand there without the lines of code that found them."""
    code = (
        "from IPython.core.interactiveshell import InteractiveShell\n"
        "InteractiveShell.instance().run_cell('from kit import load_study\\nload_study(\"no such folder\")')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    told = done.stdout + done.stderr
    assert "1 to mend:" in told
    assert "no such folder: There is no such file or folder." in told
    assert "Traceback" not in told
    assert "load_study" not in told


@pytest.mark.parametrize(
    ("rows", "said"),
    [([3], "row 3"), ([3, 4], "rows 3, 4"), (range(1, 16), "rows 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 3 more")],
)
def test_many_rows_are_counted_after_the_first_twelve(rows, said):
    """A message with a hundred rows stays readable."""
    assert rows_in_words(list(rows)) == said
