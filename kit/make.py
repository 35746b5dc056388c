"""Reports of a study folder: a notebook for each reader becomes a page with its numbers and the rows left out."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.new import notebook_folder
from kit.report.build import build_report
from kit.study import REPORTS, load_study


def make_reports(
    folder: Path,
    readers: Mapping[str, str],
    *,
    choir: str = "",
    audience: str = "teacher",
    out: Path | None = None,
    isolated: bool = False,
    step: Callable[[str], None] = lambda _: None,
) -> list[Path]:
    """Make the report of each reader.

    Parameters
    ----------
    folder : Path
        The study folder; a notebook in it goes before the kit's own of the same name.
    readers : mapping of str to str
        Reader -> name of the notebook.
    choir : str, optional
        One choir only.
    audience : str, optional
        ``"teacher"`` or ``"public"``.
    out : Path, optional
        Where the reports go; by default ``reports`` in the study folder.
    isolated : bool, optional
        Run the notebook in a kernel of its own.
    step : callable, optional
        Told the name of each step.

    Returns
    -------
    list of Path
        The pages, one for each reader.

    Raises
    ------
    StudyProblems
        With everything that stands in the way.
    UnknownChoiceError
        If there is no such choir.
    """
    study = load_study(folder, step=step).only(choir=choir)
    if study.scores.empty:
        raise StudyProblems([
            Problem(why="no_data", found="The study has no marks of tests, and every report needs some.",
                    do="Add a section [[scores]] or [[items]] to study.toml.")
        ])  # fmt: skip
    pages = []
    for name in readers.values():
        step(name)
        own = folder / name
        parts = [Path(name).stem, choir, "" if audience == "teacher" else audience]
        pages.append(
            build_report(
                own if own.is_file() else notebook_folder() / name,
                {"folder": str(folder.resolve()), "choir": choir, "audience": audience},
                (out or folder / REPORTS) / "-".join(_slug(part) for part in parts if part),
                name=Path(name).stem,
                isolated=isolated,
                personal=study.loaded.personal,
                # single rows are single students: only their teacher may read of them
                left_out=study.loaded.set_aside if audience == "teacher" else None,
            )
        )
    return pages


def _slug(text: str) -> str:
    """Write a name so that every file system takes it."""
    return re.sub(r"[^A-Za-z0-9_]+", "-", text).strip("-")
