"""Reports of a study folder: a notebook for each reader becomes a page with its numbers and the rows left out."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from kit.errors import Problem, StudyProblems
from kit.new import notebook_folder
from kit.report.build import build_report
from kit.study import REPORTS, Study, kept, load_study

AUDIENCE: Mapping[str, str] = {"educator": "teacher", "district": "public", "researcher": "public"}
"""Reader -> whose copy is made unless another is asked for: a grant report and a thesis leave the school."""


def make_reports(
    folder: Path,
    readers: Mapping[str, str],
    *,
    choir: str = "",
    school: str = "",
    audience: str = "",
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
    choir, school : str, optional
        One choir or one school only.
    audience : str, optional
        ``"teacher"``, ``"district"`` or ``"public"``; empty: each reader's own, see `AUDIENCE`.
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
        If there is no such choir or school.
    """
    study = load_study(folder, step=step)
    options = {"choir": choir, "school": school, "audience": audience, "isolated": isolated}
    with kept(study):
        return [*make_of(study, readers, out=out or folder / REPORTS, step=step, **options)]


def make_of(
    study: Study,
    readers: Mapping[str, str],
    *,
    choir: str,
    school: str,
    audience: str,
    out: Path,
    isolated: bool = False,
    step: Callable[[str], None] = lambda _: None,
) -> Iterator[Path]:
    """Make the report of each reader from a study that is read already; see `make_reports`."""
    narrow = study.only(choir=choir, school=school)
    if narrow.scores.empty:
        raise StudyProblems([
            Problem(why="no_data", found="The study has no marks of tests, and every report needs some.",
                    do="Add a section [[scores]] or [[items]] to study.toml.")
        ])  # fmt: skip
    for reader, name in readers.items():
        step(name)
        own, copy = study.folder / name, audience or AUDIENCE[reader]
        parts = [Path(name).stem, school, choir, "" if copy == AUDIENCE[reader] else copy]
        yield build_report(
            own if own.is_file() else notebook_folder() / name,
            {"folder": str(study.folder.resolve()), "choir": choir, "school": school, "audience": copy},
            out / "-".join(_slug(part) for part in parts if part),
            name=Path(name).stem,
            isolated=isolated,
            personal=study.loaded.personal,
            # single rows are single students: only their teacher may read of them
            left_out=study.loaded.set_aside if copy == "teacher" else None,
        )


def _slug(text: str) -> str:
    """Write a name so that every file system takes it."""
    return re.sub(r"[^A-Za-z0-9_]+", "-", text).strip("-")
