"""The de-identified export: tables of a study as CSV and Parquet, with codebook, data package and cautions."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd

from kit import tables as normalised
from kit.codebook import codebook, codebook_page
from kit.datapackage import FILE, data_package
from kit.deidentify import GROUPS, Safe, deidentify, without_consent
from kit.errors import Problem, StudyProblems
from kit.plaintext import escape_formula
from kit.questions import disclosure
from kit.report.build import PersonalDataError
from kit.report.privacy import smallest_group
from kit.report.privacy.names import find_personal
from kit.report.privacy.release import FILE as RELEASES
from kit.report.privacy.release import Release, fingerprint_of, record
from kit.study import PRIVATE, Study

README = "README.md"
TITLE = "De-identified tables of a sight-singing study"
NEVER_BELOW = 3
"""Fewest students of a shown group, whatever is asked for (the absolute minimum of the US Privacy Technical
Assistance Center)."""

INVENTED = "Invented data: no real student, choir or school is in these tables."
CAUTIONS = (
    "Names and ids are gone, but this is not proof that nobody can be recognized. Somebody who knows exact marks or "
    "days of absence of a student can find the row. Have the person who answers for student data in your school or "
    "district decide before you share it.",
    "Follow your local policy, your ethics review board and privacy law. Consent to testing in class is not consent "
    "to research or publication.",
    "Share one export of a study, not two: the difference between two exports can show a single student.",
    "Give nobody reports and this export both: reports name choirs that have numbers here, tell as a range what can be "
    "counted here, and average students who are not here.",
    "Do not join these tables with others in order to find out who somebody is, and ask the same of whoever gets them.",
    "Not for grades, auditions, placement or judging teachers: a short test says little about one singer.",
)  # fmt: skip


def export_study(study: Study, folder: Path, *, smallest: int = 10, audience: str = "public") -> list[Path]:
    """Write a study's tables so that they can be shared after somebody has looked at them.

    Parameters
    ----------
    study : Study
        As read; all its files must be without problems.
    folder : Path
        A new or empty folder.
    smallest : int, optional
        Students that a shown group needs; 3 at least.
    audience : str, optional
        ``"teacher"`` keeps the names of choirs and schools, ``"district"`` and ``"public"`` do not.

    Returns
    -------
    list of Path
        The files: each table as CSV and Parquet, datapackage.json, codebook.csv, CODEBOOK.md, README.md. The record of
        what was given out holds the export too, with a warning where reports are about a few students more.

    Raises
    ------
    StudyProblems
        If files of the study have problems, or the folder holds something.
    PersonalDataError
        If a file would hold a name, a school id, an e-mail address or an id of the study; nothing is written then.
    TooFewError
        If fewer than ``smallest`` students may be shared.
    UnknownChoiceError
        If there is no such audience.
    ValueError
        If ``smallest`` is below 3.
    """
    smallest_group(audience)
    if smallest < NEVER_BELOW:
        raise ValueError(f"export_study: smallest must be {NEVER_BELOW} or more. Got {smallest}.")
    _refuse(study, folder)
    safe = deidentify(study, smallest=smallest, named=audience == "teacher")
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".new-", dir=folder.parent) as temporary:
        _write(Path(temporary), safe, _readme(study, safe, smallest=smallest, audience=audience))
        _scan(Path(temporary), [*study.loaded.personal, *study.students["student"]])
        folder.mkdir(exist_ok=True)
        written = [path.replace(folder / path.name) for path in sorted(Path(temporary).iterdir())]
    _record(study, audience)
    return written


def csv_text(rows: pd.DataFrame) -> str:
    """Write a table as CSV: formulas escaped, dates year-month-day, yes and no as true and false.

    Parameters
    ----------
    rows : DataFrame
        Any table.

    Returns
    -------
    str
    """
    safe = rows.rename(columns=escape_formula)
    for column in safe.columns:
        kind = safe[column].dtype
        plain = pd.api.types.is_numeric_dtype(kind) and not pd.api.types.is_bool_dtype(kind)
        if not plain and not pd.api.types.is_datetime64_dtype(kind):
            values = safe[column].astype(object)
            safe[column] = values.map({value: _cell(value) for value in values.unique()})
    return safe.to_csv(index=False, lineterminator="\n", date_format="%Y-%m-%d")


def _cell(value: object) -> object:
    """Write a cell that is no number and no date."""
    if isinstance(value, str):
        return escape_formula(value)
    return str(value).lower() if isinstance(value, bool | np.bool_) else value


def _refuse(study: Study, folder: Path) -> None:
    """Refuse a study with problems, and a folder that holds something: files of two exports do not fit together."""
    if study.loaded.in_the_way:
        raise StudyProblems(study.loaded.in_the_way)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise StudyProblems([
            Problem(why="setting", file=folder.name, found="The folder for the export is not empty.",
                    do="Name a new folder: every export has new ids, so that files of two do not fit together.")
        ])  # fmt: skip


def _record(study: Study, audience: str) -> None:
    """Write into the record of what was given out about whom the tables are: a report may be about a few more."""
    if study.scores.empty:
        return
    refused, silent = without_consent(study.students)
    shared = study.students[~(refused | silent)]
    scores = study.scores[study.scores["student"].isin(shared["student"])]
    given = replace(study, loaded=replace(study.loaded, students=shared, scores=scores))
    numbers, marks = disclosure.released(given.pairs())
    read = fingerprint_of(study.loaded.fingerprints)
    record(study.folder / PRIVATE / RELEASES, [
        Release(report="export", audience=audience, scope="all", part="", day=date.today().isoformat(), input=read,
                marks=marks, **numbers)
    ])  # fmt: skip


def _write(folder: Path, safe: Safe, readme: str) -> None:
    """Write all files."""
    described = list(safe.described.values())
    for name, rows in safe.tables.items():
        (folder / f"{name}.csv").write_bytes(csv_text(rows).encode())
        rows.to_parquet(folder / f"{name}.parquet", index=False)
    package = data_package(
        described, title=TITLE, description=f"{README} says what was done to the data and what to be careful about."
    )
    (folder / FILE).write_text(json.dumps(package, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
    (folder / "codebook.csv").write_bytes(csv_text(codebook(described)).encode())
    (folder / "CODEBOOK.md").write_text(codebook_page(described), encoding="utf-8")
    (folder / README).write_text(readme, encoding="utf-8")


def _scan(folder: Path, personal: list[str]) -> None:
    """Search every file for what belongs to a person."""
    own = _own_words()
    for path in sorted(folder.iterdir()):
        table = {".csv": _read_csv, ".parquet": pd.read_parquet}.get(path.suffix)
        text = _cells(table(path)) if table else path.read_text(encoding="utf-8")
        found = [word for word in find_personal(text, personal) if word.casefold() not in own]
        if found:
            raise PersonalDataError(
                f"The export was not written: {path.name} would hold {len(found)} names, ids or addresses of the "
                "input. Check the names of occasions, approaches, grades and voice parts in study.toml and in your "
                "files."
            )


def _read_csv(path: Path) -> pd.DataFrame:
    """Read a written table back as it stands."""
    return pd.read_csv(path, dtype=str, keep_default_na=False)


def _cells(rows: pd.DataFrame) -> str:
    """Put headings and every different cell into lines: a name that stands in a thousand cells is looked at once."""
    return "\n".join(dict.fromkeys([*rows.columns, *(str(v) for column in rows for v in rows[column].unique())]))


def _own_words() -> set[str]:
    """List the kit's own words, which may be somebody's name too: a column, a table, a word of a list."""
    columns = [column for table in normalised.NORMALISED for column in table.columns]
    words = {table.name for table in normalised.NORMALISED} | {column.name for column in columns}
    return {part for word in (*words, *(word for c in columns for word in c.allowed)) for part in (word, *word.split())}


def _readme(study: Study, safe: Safe, *, smallest: int, audience: str) -> str:
    """Write what the export is, what was done, and what to be careful about."""
    lines = [f"# {TITLE}", ""]
    lines += [INVENTED, ""] if study.settings.synthetic else []
    lines += _list("## Be careful", CAUTIONS)
    lines += _list("## What was done", _done(safe, smallest=smallest, audience=audience))
    left_out = [_told(words, number, smallest) for words, number in safe.left_out.items()]
    lines += _list("## What was left out", left_out or ["No row was left out."])
    lines += _list("## Files", _files(safe))
    return "\n".join(lines).rstrip() + "\n"


def _done(safe: Safe, *, smallest: int, audience: str) -> Iterator[str]:
    """Say what was done to the data."""
    if safe.students:
        yield "Every student has a new random id, drawn for this export, made from nothing and kept nowhere."
    if audience == "teacher":
        yield "Choirs and schools keep their names: this export is for use inside the school."
    else:
        yield "Choirs and schools have numbers, dealt out by chance."
    yield "Raters and judges have numbers. Names of approaches are kept only where study.toml declares them."
    yield "File, sheet, row, teacher, experience, corrections and all other free text are left out."
    yield "Dates are given as the Monday of their week. Rows are in the order of their content, not of the files."
    if safe.students:
        listed = ", ".join(GROUPS[:-1]).replace("_", " ") + f" and {GROUPS[-1].replace('_', ' ')}"
        yield (
            f"Students who agree in {listed} are at least {smallest}; where they were fewer, the last of these columns "
            "were left empty, and so were those of the next smallest group where its number would have given the "
            f"small one away. The smallest group that is left has {safe.smallest_cell} students."
        )
        yield (
            f"Inside such a group, on one test, a week is shown only where {smallest} students share it; a rater or "
            f"form where {smallest} students have it, also among those whose choir is not shown. A test, a further try "
            f"and a log are left out where fewer than {smallest} students have one, or only some of the choirs of a "
            "school that are not shown; so are the marks of a group in which all are the same or fewer than three "
            "students have one. Other columns were not looked at together: a combination of marks can be one student's "
            "alone."
        )
        yield "Marks are exact: they were neither rounded nor cut off at the top or bottom."


def _told(words: str, number: int, smallest: int) -> str:
    """Say how much was left out; few are not counted exactly."""
    few = f"Fewer than {smallest}"
    if "{number}" in words:
        return f"{words.format(number=f'{few} students' if number < smallest else f'{number} students')}."
    return f"{few if number < smallest else number} {words}."


def _files(safe: Safe) -> Iterator[str]:
    """List the files."""
    for name, table in safe.described.items():
        yield f"{name}.csv and {name}.parquet: one row is {table.row_is}; {len(safe.tables[name])} rows."
    yield f"{FILE}: a Data Package with a Table Schema for each CSV file."
    yield "codebook.csv and CODEBOOK.md: what each column means."
    yield (
        "In CSV files, text that a spreadsheet program could run as a formula has an apostrophe before it; the "
        "Parquet files have the text itself."
    )


def _list(heading: str, sentences: Iterable[str]) -> list[str]:
    """Write a heading and a list."""
    return [heading, "", *(f"- {sentence}" for sentence in sentences), ""]
