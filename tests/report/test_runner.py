"""A notebook with parameters: injected, checked, run here or in a kernel, and failing in one sentence."""

import json
import sys

import pytest

from kit.errors import StudyProblems, UnknownChoiceError
from kit.report.runner import CellError, run_notebook


def notebook(folder, *sources):
    """Write a notebook with a parameters cell and some cells of code."""
    def cell(source, tags=()):
        return {"cell_type": "code", "metadata": {"tags": list(tags)}, "source": source, "outputs": [], "execution_count": None}

    path = folder / "small.ipynb"
    cells = [{"cell_type": "markdown", "metadata": {}, "source": "# Small"}, cell('word = "a"\nnumber = 1', ["parameters"])]
    path.write_text(json.dumps({"cells": [*cells, *map(cell, sources)], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}))
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
    with pytest.raises(CellError) as refused:
        run_notebook(notebook(tmp_path, "secret"), {})
    assert str(refused.value) == "small.ipynb, cell 2: name 'secret' is not defined"


@pytest.mark.filterwarnings("ignore")  # the kernel's own libraries warn of their transport and their event loop
def test_a_kernel_shows_the_same(tmp_path):
    """Isolated or not, the cells show the same."""
    path = notebook(tmp_path, "from IPython.display import HTML\nHTML(f'<p>{word}</p>')")
    here, apart = (run_notebook(path, {"word": "b"}, isolated=isolated) for isolated in (False, True))
    assert here[2].shown[0]["text/html"] == apart[2].shown[0]["text/html"] == "<p>b</p>"
