"""Notebooks are thin: one parameters cell, no outputs, nothing that belongs in kit, no number typed in prose."""

import ast
import json
import re
from pathlib import Path

import pytest

NOTEBOOKS = sorted((Path(__file__).parents[1] / "notebooks").glob("*.ipynb"))
HEAVY = (ast.FunctionDef, ast.ClassDef, ast.For, ast.While, ast.Lambda, ast.BinOp, ast.ListComp)


def source(cell) -> str:
    """Text of a cell."""
    return "".join(cell["source"])


def complaints(path: Path):
    """Yield everything that does not belong in a template."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    code = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
    tagged = [cell for cell in code if "parameters" in cell["metadata"].get("tags", [])]
    if len(tagged) != 1 or tagged != code[:1]:
        yield "the first code cell, and only it, is tagged parameters"
    for number, cell in enumerate(code, 1):
        if cell["outputs"] or cell["execution_count"] is not None:
            yield f"cell {number} has outputs"
        if len(source(cell).splitlines()) > 8:
            yield f"cell {number} has more than eight lines"
        yield from (f"cell {number}: {fault}" for fault in code_faults(source(cell), plain=cell in tagged))
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown" and re.search(r"\d", source(cell)):
            yield f"a number is typed in prose: {source(cell)[:40]}"
    if [cell["id"] for cell in notebook["cells"]] != [f"c{number:02}" for number in range(len(notebook["cells"]))]:
        yield "cell ids are c00, c01, ..."


def code_faults(text: str, *, plain: bool):
    """Yield what a cell of code should leave to kit."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, HEAVY):
            yield f"{type(node).__name__} belongs in kit"
        if not plain and isinstance(node, ast.Constant) and type(node.value) in (int, float):
            yield f"{node.value} belongs in the parameters cell"
        if plain and isinstance(node, ast.Assign):
            ast.literal_eval(node.value)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.name)
def test_templates_are_thin(path):
    """Load, ask, show, say: nothing else stands in a template."""
    assert list(complaints(path)) == []


def test_there_is_a_template_for_each_reader():
    """Every notebook that the command line names is there."""
    from kit.__main__ import READERS

    assert set(READERS.values()) <= {path.name for path in NOTEBOOKS}


def test_a_bad_notebook_is_caught(tmp_path):
    """The checker names outputs, arithmetic, stray numbers and typed figures."""
    bad = {"cells": [
        {"id": "x", "cell_type": "code", "metadata": {"tags": ["parameters"]}, "source": "a = 1", "outputs": [1],
         "execution_count": None},
        {"id": "c01", "cell_type": "code", "metadata": {}, "source": "b = a * 0.95\nfor c in b: pass", "outputs": [],
         "execution_count": None},
        {"id": "c02", "cell_type": "markdown", "metadata": {}, "source": "Scores rose by 2.4 points."},
    ]}  # fmt: skip
    (tmp_path / "bad.ipynb").write_text(json.dumps(bad))
    assert list(complaints(tmp_path / "bad.ipynb")) == [
        "cell 1 has outputs", "cell 2: For belongs in kit", "cell 2: BinOp belongs in kit",
        "cell 2: 0.95 belongs in the parameters cell", "a number is typed in prose: Scores rose by 2.4 points.",
        "cell ids are c00, c01, ...",
    ]  # fmt: skip
