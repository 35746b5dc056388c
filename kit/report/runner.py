"""A notebook with parameters -> what its cells show: in this process, or in a kernel of its own."""

from __future__ import annotations

import ast
import json
import os
import re
import sys
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from kit.errors import StudyProblems, UnknownChoiceError

PLAIN = (str, int, float, bool, type(None), list, dict)
WRITTEN_FOR_PEOPLE = (
    "ValueError", "NameError", "StudyProblems", "TooFewError", "ClaimRefusedError", "UnknownChoiceError", "CellError",
)  # fmt: skip
"""Errors whose text is a sentence already."""
_COLOURS = re.compile(r"\x1b\[[0-9;]*m")


class CellError(ValueError):
    """A cell of a notebook failed; the text says which, and why."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a notebook after it has run: its source, and what it showed by media type."""

    kind: str
    source: str
    shown: list[dict[str, Any]] = field(default_factory=list)


def run_notebook(path: Path, parameters: Mapping[str, object], *, isolated: bool = False) -> list[Cell]:
    """Run a notebook with other parameters than its own.

    Parameters
    ----------
    path : Path
        An .ipynb whose first code cell is tagged ``parameters``.
    parameters : mapping of str to plain value
        Values that replace those of the parameters cell; the others stay.
    isolated : bool, optional
        Run it in a kernel of its own, which takes about three times as long.

    Returns
    -------
    list of Cell
        In the order of the notebook.

    Raises
    ------
    UnknownChoiceError
        If the notebook has no such parameter.
    CellError
        If a cell fails, a parameter is not of the kind of the notebook's own, or the file is no notebook.
    StudyProblems
        If a cell finds that the study cannot be used.
    """
    cells = _read(path)
    injected = _injection(path, cells, parameters)
    run = _run_in_kernel if isolated or _inside_another_shell() else _run_here
    return run(path.name, [(kind, source, injected if "parameters" in tags else "") for kind, source, tags in cells])


def _injection(path: Path, cells: list[tuple], parameters: Mapping[str, object]) -> str:
    """Write the lines that follow the parameters cell, after checking names and kinds."""
    defaults = _defaults(path, cells)
    for name, value in parameters.items():
        if name not in defaults:
            raise UnknownChoiceError(path.name, "parameter", name, tuple(defaults))
        same = type(value) is type(defaults[name]) or defaults[name] is None
        if not _is_plain(value) or not same:
            got = f"{value!r}, a {type(value).__name__}"
            raise CellError(f"{path.name}: {name} must be of the kind of {defaults[name]!r}. Got {got}.")
    return "\n".join(f"{name} = {value!r}" for name, value in parameters.items())


def _read(path: Path) -> list[tuple[str, str, list[str]]]:
    """Read kind, source and tags of every cell."""
    try:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        return [(cell["cell_type"], "".join(cell["source"]), cell["metadata"].get("tags", [])) for cell in cells]
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as fault:
        raise CellError(f"{path.name}: This is not a notebook that can be read.") from fault


def _defaults(path: Path, cells: list[tuple]) -> dict[str, object]:
    """Read the notebook's own parameters, which are plain values."""
    own = next((source for _, source, tags in cells if "parameters" in tags), None)
    if own is None:
        raise CellError(f'{path.name}: No cell is tagged "parameters".')
    try:
        lines = [node for node in ast.parse(own).body if isinstance(node, ast.Assign)]
        return {line.targets[0].id: ast.literal_eval(line.value) for line in lines}
    except (SyntaxError, ValueError, AttributeError) as fault:
        raise CellError(f'{path.name}: The cell tagged "parameters" must hold lines such as name = "value".') from fault


def _is_plain(value: object) -> bool:
    """Say whether a value, with everything in it, is written the same by Python and by people."""
    if isinstance(value, dict):
        return all(map(_is_plain, [*value.keys(), *value.values()]))
    if isinstance(value, list):
        return all(map(_is_plain, value))
    # a NumPy number is a float for isinstance, and is written in another way
    return type(value) in PLAIN and value == value  # noqa: PLR0124 - false for "not a number", which has no name


def _run_here(name: str, cells: list[tuple[str, str, str]]) -> list[Cell]:
    """Run the cells in IPython's own shell inside this process: no kernel, no socket, a third of the time."""
    from IPython.utils.capture import capture_output  # noqa: PLC0415 - only when a report is made

    used = _shell.cache_info().currsize
    shell = _shell()
    if used:
        shell.reset(new_session=True)
    done, number, main = [], 0, sys.modules["__main__"]
    try:
        # the shell puts its own module in the place of __main__, which would break worker processes later
        sys.modules["__main__"] = shell.user_module
        for kind, source, injected in cells:
            if kind != "code":
                done.append(Cell(kind, source))
                continue
            number += 1
            with capture_output() as captured:
                # what a cell ends with is caught like what it displays
                shell.display_trap.hook = sys.displayhook
                result = shell.run_cell(f"{source}\n{injected}", store_history=False)
            if not result.success:
                _raise(name, number, result.error_in_exec or result.error_before_exec)
            done.append(Cell(kind, source, _printed(captured.stdout) + [dict(out.data) for out in captured.outputs]))
    finally:
        sys.modules["__main__"] = main
    return done


@cache
def _shell() -> Any:  # noqa: ANN401 - a class of IPython that is imported late
    """Make the one shell of this process, without history, windows, and files in the user's home."""
    from IPython.core.interactiveshell import InteractiveShell  # noqa: PLC0415
    from traitlets.config import Config  # noqa: PLC0415

    # a drawing that a user adds must not open a window and wait
    os.environ.setdefault("MPLBACKEND", "agg")
    quiet = Config()
    quiet.HistoryManager.enabled = False
    main = sys.modules["__main__"]
    home = tempfile.TemporaryDirectory(prefix="kit-")
    shell = InteractiveShell.instance(config=quiet, ipython_dir=home.name)
    # removed with the process
    shell.kit_home = home
    sys.modules["__main__"] = main
    shell.showtraceback = lambda *_, **__: None
    return shell


def _inside_another_shell() -> bool:
    """Say whether this code itself runs in a notebook, whose shell must not be used."""
    loaded = sys.modules.get("IPython.core.interactiveshell")
    return bool(loaded and loaded.InteractiveShell.initialized() and _shell.cache_info().currsize == 0)


def _raise(name: str, number: int, error: BaseException) -> None:
    """Turn the error of a cell into a sentence; problems of the study, and a wish to stop, stay what they are."""
    if isinstance(error, StudyProblems | KeyboardInterrupt):
        raise error
    raise CellError(_sentence(name, number, type(error).__name__, str(error))) from error


def _sentence(name: str, number: int, error: str, text: str) -> str:
    """Say where a notebook stopped; the name of an error helps only where its text was not written for people."""
    plain = _COLOURS.sub("", text).strip()
    said = plain if error in WRITTEN_FOR_PEOPLE and plain else f"{error}: {plain}".removesuffix(": ")
    return f"{name}, cell {number}: {said}"


def _printed(text: str) -> list[dict[str, Any]]:
    """Take what a cell prints as the first thing it shows."""
    return [{"text/plain": text.rstrip()}] if text.strip() else []


def _run_in_kernel(name: str, cells: list[tuple[str, str, str]]) -> list[Cell]:
    """Run the cells in a kernel of their own."""
    # jsonschema compiles a large grammar for one format check when it is imported; it does without when blocked
    sys.modules.setdefault("rfc3987_syntax", None)
    import nbformat  # noqa: PLC0415 - only for an isolated run
    from nbclient import NotebookClient  # noqa: PLC0415
    from nbclient.exceptions import CellExecutionError  # noqa: PLC0415

    new = nbformat.v4.new_notebook()
    for at, (kind, source, injected) in enumerate(cells):
        make = nbformat.v4.new_code_cell if kind == "code" else nbformat.v4.new_markdown_cell
        new.cells.append(make(f"{source}\n{injected}" if injected else source, id=f"c{at:02}"))
    try:
        NotebookClient(new, kernel_name="python3", timeout=None).execute()
    except CellExecutionError as failed:
        number = sum(cell.cell_type == "code" and cell.execution_count is not None for cell in new.cells)
        raise CellError(_sentence(name, number, failed.ename, failed.evalue)) from failed
    return [
        Cell(cell.cell_type, source, _shown(cell.get("outputs", ())))
        for cell, (_, source, _) in zip(new.cells, cells, strict=True)
    ]


def _shown(outputs: list) -> list[dict[str, Any]]:
    """Take what a cell of a kernel printed and displayed, as the shell of this process gives it."""
    text = "".join(out.text for out in outputs if out.output_type == "stream" and out.name == "stdout")
    return _printed(text) + [dict(out.data) for out in outputs if "data" in out]
