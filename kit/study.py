"""A study folder -> a study: its settings are checked, its files read, and what stands in the way is told at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from kit.errors import StudyProblems
from kit.load.files import load_files
from kit.load.people.aliases import read_aliases
from kit.load.people.keys import Crosswalk
from kit.questions.both_ways import by_meetings
from kit.settings import read_settings
from kit.study_tables import Study

__all__ = ["PRIVATE", "REPORTS", "Study", "kept", "load_study", "read_study"]

PRIVATE = "private"
REPORTS = "reports"
CROSSWALK = "crosswalk.csv"
_KEPT: dict[Path, Study] = {}
"""Studies that reports are being made of; the tables of one are never changed in place."""


def load_study(folder: str | Path, *, step: Callable[[str], None] = lambda _: None) -> Study:
    """Read a study folder.

    Parameters
    ----------
    folder : str or Path
        The folder with study.toml and the school's files.
    step : callable, optional
        Told the name of each file as it is opened.

    Returns
    -------
    Study

    Raises
    ------
    StudyProblems
        With every problem of the study file, or of all school files, at once.
    """
    if (kept := _KEPT.get(Path(folder).resolve())) is not None:
        return kept
    study = read_study(Path(folder), step=step)
    if study.in_the_way:
        raise StudyProblems(study.in_the_way)
    return study


@contextmanager
def kept(study: Study) -> Iterator[None]:
    """Let `load_study` give this study, without reading its files again, as long as reports of it are made.

    Parameters
    ----------
    study : Study
        As read, not narrowed.
    """
    where = study.folder.resolve()
    _KEPT[where] = study
    try:
        yield
    finally:
        del _KEPT[where]


def read_study(folder: Path, *, step: Callable[[str], None] = lambda _: None) -> Study:
    """Read a study folder even when school files have problems; ``loaded.problems`` then lists them.

    Parameters
    ----------
    folder : Path
        The study folder.
    step : callable, optional
        Told the name of each file as it is opened.

    Returns
    -------
    Study

    Raises
    ------
    StudyProblems
        If study.toml or the alias file has faults.
    """
    settings = read_settings(folder)
    crosswalk = Crosswalk.open(folder / PRIVATE / CROSSWALK)
    rules = settings.rules
    if settings.aliases:
        rules = replace(rules, aliases=read_aliases(folder / settings.aliases))
    loaded = load_files(folder, settings.sources, rules=rules, crosswalk=crosswalk, step=step)
    if settings.comparison.two_choirs == "most_meetings":
        loaded = replace(loaded, students=by_meetings(loaded.students, loaded.attendance))
    return Study(folder, settings, loaded)
