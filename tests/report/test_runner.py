"""A notebook with parameters: injected, checked, run here or in a kernel, and failing in one sentence."""

import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from kit.errors import StudyProblems, UnknownChoiceError
from kit.report.layout import BUNDLE
from kit.report.runner import CellError, run_notebook
from kit.report.trace import numbers_table


def notebook(folder, *sources):
    """Write a notebook with a parameters cell and some cells of code."""

    def cell(source, tags=()):
        return {
            "cell_type": "code",
            "metadata": {"tags": list(tags)},
            "source": source,
            "outputs": [],
            "execution_count": None,
        }

    path = folder / "small.ipynb"
    cells = [
        {"cell_type": "markdown", "metadata": {}, "source": "# Small"},
        cell('word = "a"\nnumber = 1', ["parameters"]),
    ]
    path.write_text(
        json.dumps({"cells": [*cells, *map(cell, sources)], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})
    )
    return path


def test_parameters_replace_those_of_the_notebook(tmp_path):
    """What is not given stays as the notebook has it."""
    cells = run_notebook(notebook(tmp_path, "f'{word} {number}'"), {"word": "b"})
    assert [cell.kind for cell in cells] == ["markdown", "code", "code"]
    assert cells[2].shown[0]["text/plain"] == "'b 1'"


def test_unknown_parameters_and_wrong_kinds_are_refused(tmp_path):
    """A misspelt parameter is told with the list; a number is no text."""
    path = notebook(tmp_path, "1")
    with pytest.raises(UnknownChoiceError) as refused:
        run_notebook(path, {"wrod": "b"})
    assert str(refused.value) == "small.ipynb: parameter must be one of 'word', 'number'. Got 'wrod'."
    with pytest.raises(CellError) as refused:
        run_notebook(path, {"word": 3})
    assert str(refused.value) == "small.ipynb: word must be of the kind of 'a'. Got 3, a int."


def test_a_failing_cell_is_one_sentence(tmp_path):
    """Notebook, cell, message; later cells do not run."""
    with pytest.raises(CellError) as refused:
        run_notebook(notebook(tmp_path, "1", "raise ValueError('no such choir')", "0/0"), {})
    assert str(refused.value) == "small.ipynb, cell 3: no such choir"


def test_problems_of_a_study_stay_what_they_are(tmp_path):
    """The list of problems is not flattened into one message."""
    code = "from kit.errors import Problem, StudyProblems\nraise StudyProblems([Problem(why='setting', found='A.', do='B.')])"
    with pytest.raises(StudyProblems) as refused:
        run_notebook(notebook(tmp_path, code), {})
    assert [str(problem) for problem in refused.value.problems] == ["A. B."]


def test_nothing_leaks_from_one_run_to_the_next(tmp_path):
    """A name set by one report is unknown to the next, and __main__ is this program's again."""
    main = sys.modules["__main__"]
    run_notebook(notebook(tmp_path, "secret = 1"), {})
    assert sys.modules["__main__"] is main
    # an earlier run could have left its own module here, which would then be the same one
    assert not hasattr(main, "secret")
    with pytest.raises(CellError) as refused:
        run_notebook(notebook(tmp_path, "secret"), {})
    assert str(refused.value) == "small.ipynb, cell 2: name 'secret' is not defined"


@pytest.mark.filterwarnings("ignore")  # the kernel's own libraries warn of their transport and their event loop
def test_a_kernel_shows_the_same(tmp_path):
    """Isolated or not, the cells show the same."""
    path = notebook(tmp_path, "from IPython.display import HTML\nHTML(f'<p>{word}</p>')")
    here, apart = (run_notebook(path, {"word": "b"}, isolated=isolated) for isolated in (False, True))
    assert here[2].shown[0]["text/html"] == apart[2].shown[0]["text/html"] == "<p>b</p>"


def test_errors_not_written_for_people_are_named(tmp_path):
    """A missing key alone says nothing, so the kind of the error stands before it."""
    with pytest.raises(CellError) as refused:
        run_notebook(notebook(tmp_path, "{}['Treble 9']"), {})
    assert str(refused.value) == "small.ipynb, cell 2: KeyError: 'Treble 9'"


def test_what_a_cell_prints_is_not_lost(tmp_path):
    """Printed text comes first, then what the cell displays; progress on the error stream is no part of a report."""
    cells = run_notebook(notebook(tmp_path, "import sys\nprint('seen')\nprint('hidden', file=sys.stderr)\n1"), {})
    assert [shown["text/plain"] for shown in cells[2].shown] == ["seen", "1"]


def test_the_shell_leaves_nothing_behind():
    """A process that ran a notebook leaves no folder of its shell on the disk."""
    code = (
        "import json, pathlib, tempfile\n"
        "from kit.report import runner\n"
        "path = pathlib.Path(tempfile.mkdtemp()) / 'n.ipynb'\n"
        "cell = {'cell_type': 'code', 'metadata': {'tags': ['parameters']}, 'source': 'a = 1'}\n"
        "path.write_text(json.dumps({'cells': [cell]}))\n"
        "runner.run_notebook(path, {})\n"
        "print(runner._shell().ipython_dir)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=Path(__file__).parents[2]
    )
    assert ran.stdout.strip()
    assert not Path(ran.stdout.strip()).exists()


@pytest.mark.filterwarnings("ignore")  # the kernel's own libraries warn of their transport and their event loop
def test_open_intervals_printed_text_and_failures_survive_a_kernel(tmp_path):
    """A notebook's messages carry no infinite number; the object, the print and the sentence arrive all the same."""
    code = (
        "from kit.estimate import Estimate, Interval\nfrom kit.report.layout import text\nfrom math import inf\n"
        "print('seen')\nopen_ = Interval(low=1.0, high=inf, level=.95, method='m', source='student-1908')\n"
        "e = Estimate(about=word, name='mean_gain', value=2.0, unit='points', n=9, source='student-1908', interval=open_)\n"
        "text(['A.'], estimates=[e])"
    )
    path = notebook(tmp_path, code)
    here, apart = (run_notebook(path, {"word": "b"}, isolated=isolated) for isolated in (False, True))
    assert here[2].shown == apart[2].shown
    assert [shown.get("text/plain") for shown in here[2].shown] == ["seen", "A."]
    table = numbers_table(here[2].shown[1][BUNDLE]["estimates"])
    assert (table.low[0], table.high[0]) == (1.0, float("inf"))
    with pytest.raises(CellError) as refused:
        run_notebook(notebook(tmp_path, "1", "{}['x']", "0/0"), {}, isolated=True)
    assert str(refused.value) == "small.ipynb, cell 3: KeyError: 'x'"


@pytest.mark.parametrize(
    ("name", "value"), [("number", math.nan), ("listed", [np.int64(3)]), ("listed", (1, 2)), ("number", np.int64(3))]
)
def test_only_plain_values_are_injected(tmp_path, name, value):
    """What Python would write in another way than a person is refused: no number, NumPy's own numbers, tuples."""
    path = notebook(tmp_path, "1")
    text = path.read_text().replace("number = 1", "number = 1\\nlisted = [1]")
    path.write_text(text)
    with pytest.raises(CellError, match=rf"^small\.ipynb: {name} must be of the kind of "):
        run_notebook(path, {name: value})
    assert run_notebook(path, {"listed": [1, "a", None]})


@pytest.mark.parametrize(
    ("content", "said"),
    [("not json", "This is not a notebook that can be read."), ('{"cells": 3}', "This is not a notebook that can be read."),
     ('{"cells": []}', 'No cell is tagged "parameters".'),
     ('{"cells": [{"cell_type": "code", "source": "%magic", "metadata": {"tags": ["parameters"]}}]}',
      'The cell tagged "parameters" must hold lines such as name = "value".')],
)  # fmt: skip
def test_a_file_that_is_no_template_is_told_so(tmp_path, content, said):
    """Broken files and notebooks without a parameters cell give one sentence."""
    path = tmp_path / "broken.ipynb"
    path.write_text(content)
    with pytest.raises(CellError) as refused:
        run_notebook(path, {})
    assert str(refused.value) == f"broken.ipynb: {said}"


def test_a_file_that_is_not_there_is_told_so(tmp_path):
    """A missing notebook is a sentence too."""
    with pytest.raises(CellError) as refused:
        run_notebook(tmp_path / "none.ipynb", {})
    assert str(refused.value) == "none.ipynb: This is not a notebook that can be read."


def test_a_wish_to_stop_is_obeyed(tmp_path):
    """Ctrl-C in a cell stops the program instead of becoming a failed cell."""
    with pytest.raises(KeyboardInterrupt):
        run_notebook(notebook(tmp_path, "raise KeyboardInterrupt"), {})


def test_cells_run_in_the_folder_of_the_caller(tmp_path, monkeypatch):
    """Paths in a notebook mean what they mean to the person who typed the command."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    shown = run_notebook(notebook(tmp_path, "from pathlib import Path\nPath.cwd().name"), {})[2].shown
    assert shown[0]["text/plain"] == "'here'"
