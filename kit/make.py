"""Reports of a study folder: a notebook for each reader becomes a page with its numbers and the rows left out."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path
from zlib import crc32

from kit.errors import Problem, StudyProblems
from kit.new import notebook_folder
from kit.questions import disclosure
from kit.report.build import build_report
from kit.report.document import Forms
from kit.report.document.style import REFERENCE
from kit.report.privacy import smallest_group
from kit.report.privacy.release import FILE, Release, fingerprint_of, record
from kit.study import PRIVATE, REPORTS, Study, kept, load_study

AUDIENCE: Mapping[str, str] = {"educator": "teacher", "district": "public", "researcher": "public"}
"""Reader -> whose copy is made unless another is asked for: a grant report and a thesis leave the school."""
LONGEST_NAME = 60
"""Letters of a name that a folder is called by."""


class SmallCopyError(ValueError):
    """A copy about one choir or school was not made, since too few students stand behind it."""


def make_reports(
    folder: Path,
    readers: Mapping[str, str],
    *,
    choir: str = "",
    school: str = "",
    audience: str = "",
    out: Path | None = None,
    isolated: bool = False,
    forms: Forms = Forms(),  # noqa: B008 - it cannot be changed
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
    forms : Forms, optional
        What is written beside the pages: for Word, as PDF. A `REFERENCE` in the study folder gives the styles for Word
        unless others are named.
    step : callable, optional
        Told the name of each step.

    Returns
    -------
    list of Path
        The page of each reader, each followed by what was written beside it for Word and as PDF.

    Raises
    ------
    StudyProblems
        With everything that stands in the way.
    UnknownChoiceError
        If there is no such choir or school.
    SmallCopyError
        If too few students stand behind a copy for readers beyond the school; the other copies are made.
    """
    study = load_study(folder, step=step)
    options = {"choir": choir, "school": school, "audience": audience, "isolated": isolated,
               "forms": forms}  # fmt: skip
    with kept(study):
        pages = [*make_of(study, readers, out=out or folder / REPORTS, step=step, **options)]
    record(folder / PRIVATE / FILE, released(study, readers, choir=choir, school=school, audience=audience))
    return pages


def released(study: Study, readers: Mapping[str, str], *, choir: str, school: str, audience: str) -> list[Release]:
    """Describe the copies that `make_of` makes, for the record of what was given out."""
    numbers, marks = disclosure.released(study.only(choir=choir, school=school).pairs())
    read = fingerprint_of(study.loaded.fingerprints)
    scope, name = ("choir", choir) if choir else ("school", school) if school else ("all", "")
    return [
        Release(
            report=Path(notebook).stem, audience=audience or AUDIENCE[reader], scope=scope,
            part=sha256(name.encode()).hexdigest()[:12] if name else "", day=date.today().isoformat(),
            input=read, marks=marks, **numbers,
        )
        for reader, notebook in readers.items()
    ]  # fmt: skip


def make_of(
    study: Study,
    readers: Mapping[str, str],
    *,
    choir: str,
    school: str,
    audience: str,
    out: Path,
    isolated: bool = False,
    forms: Forms = Forms(),  # noqa: B008 - it cannot be changed
    step: Callable[[str], None] = lambda _: None,
) -> Iterator[Path]:
    """Make the report of each reader from a study that is read already; see `make_reports`."""
    narrow = study.only(choir=choir, school=school)
    if narrow.scores.empty:
        raise StudyProblems([
            Problem(why="no_data", found="The study has no marks of tests, and every report needs some.",
                    do="Add a section [[scores]] or [[items]] to study.toml.")
        ])  # fmt: skip
    if forms.styles is None and (study.folder / REFERENCE).is_file():
        forms = replace(forms, styles=study.folder / REFERENCE)
    refused = _refused(study, readers, choir=choir, school=school, audience=audience)
    for reader, name in readers.items():
        if reader in refused:
            continue
        step(name)
        own, copy = study.folder / name, audience or AUDIENCE[reader]
        parts = [Path(name).stem, school, choir, "" if copy == AUDIENCE[reader] else copy]
        page = build_report(
            own if own.is_file() else notebook_folder() / name,
            {"folder": str(study.folder.resolve()), "choir": choir, "school": school, "audience": copy},
            out / "-".join(_slug(part) for part in parts if part),
            name=Path(name).stem,
            isolated=isolated,
            personal=study.loaded.personal,
            # single rows are single students: only their teacher may read of them
            left_out=study.loaded.set_aside if copy == "teacher" else None,
            forms=forms,
        )
        yield from (page.with_suffix(f".{ending}") for ending in forms.formats)
    if refused:
        listed = " and ".join(Path(readers[reader]).stem.replace("_", " ") for reader in refused)
        raise SmallCopyError(
            f'No copy about "{choir or school}" is made for readers beyond the school ({listed}): fewer than '
            f"{max(refused.values())} students stand behind it, or behind another group whose numbers would follow "
            "from it. Its teacher may have one: --audience teacher."
        )


def _refused(study: Study, readers: Mapping[str, str], *, choir: str, school: str, audience: str) -> dict[str, int]:
    """Find the readers who may have no copy about a choir or school, with the students that they would have to see."""
    least = {reader: smallest_group(audience or AUDIENCE[reader]) for reader in readers}
    pairs = study.pairs()
    return {reader: number for reader, number in least.items()
            if disclosure.refused(pairs, smallest=number, choir=choir, school=school)}  # fmt: skip


def _slug(text: str) -> str:
    """Write a name so that every file system takes it, and no two names alike."""
    plain = re.sub(r"\W+", "-", text).strip("-")[:LONGEST_NAME]
    whole = re.fullmatch(r"\w+( \w+)*", text) and len(text) <= LONGEST_NAME
    return plain if whole else f"{plain}-{crc32(text.encode()):08x}".lstrip("-")
