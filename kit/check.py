"""The check page: what was read, what was set aside and why, what the design can support, what to mend."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import pandas as pd

from kit.errors import Problem
from kit.load.declared import ScoreSource
from kit.load.files import Loaded, load_files
from kit.reasons import REASONS
from kit.report.spoken import SPOKEN
from kit.settings import Settings
from kit.study import Study

Lines = Iterator[str]
LISTED = 12
"""Rows of one reason that are listed by number before the rest are only counted."""


def check_file(path: Path) -> Study:
    """Read one school file without a study folder, everything recognised from its headings.

    Parameters
    ----------
    path : Path
        A file of marks.

    Returns
    -------
    Study
        ``loaded.problems`` lists what stands in the way.
    """
    source = ScoreSource(file=path.name)
    return Study(path.parent, Settings(title=path.name, scores=(source,)), load_files(path.parent, [source]))


def check_page(study: Study) -> list[str]:
    """Write the check page.

    Parameters
    ----------
    study : Study
        As read by `kit.study.read_study` or `check_file`.

    Returns
    -------
    list of str
        Lines of plain text; headings stand at the left edge, what belongs to them is indented.
    """
    loaded = study.loaded
    parts = [
        _part("What to mend before a report can be made", map(str, loaded.in_the_way)),
        _part("What was read", _read_lines(loaded)),
        _part("How the columns were understood", _evidence(loaded)),
        _part("What was written another way", _change_lines(loaded.changes)),
        _part("What was set aside", _aside_lines(loaded.set_aside)),
    ]
    if not loaded.in_the_way:
        parts += [
            _part("Who has which test", _test_lines(study)),
            _part("What kind of study this is", _design_lines(study)),
        ]
    lines = [line for part in parts for line in part]
    return [*lines, "", _verdict(loaded.in_the_way)]


def _part(heading: str, lines: Iterable[str]) -> list[str]:
    """Put a heading over indented lines; nothing without lines."""
    below = [f"  {line}" for line in lines]
    return ["", heading, *below] if below else []


def _read_lines(loaded: Loaded) -> Lines:
    """Account for the rows of every sheet."""
    for row in loaded.ledger.itertuples():
        place = f'{row.file}, sheet "{row.sheet}"' if row.sheet else row.file
        if row.unread:
            yield f"{place}: not read, it holds no scores ({_counted(row.unread, 'row')})."
            continue
        others = {"title line": row.title, "header row": row.header, "blank row": row.blank, "totals row": row.total}
        rest = ", ".join(_counted(number, kind) for kind, number in others.items() if number)
        yield (
            f"{place}: {_counted(row.data, 'row')} about students = {row.used} used + {row.set_aside} set aside"
            f"{f' ({rest} besides)' if rest else ''}."
        )
        if row.cells_set_aside:
            yield f"  {_counted(row.cells_set_aside, 'single mark')} set aside besides."


def _evidence(loaded: Loaded) -> Lines:
    """Tell once what each kind of sheet was taken to hold."""
    told = set()
    for suggestion in loaded.suggestions:
        for sentence in (*suggestion.evidence, *(f"to decide: {question}" for question in suggestion.decide)):
            line = f"{suggestion.source.file}: {sentence}"
            if line not in told:
                told.add(line)
                yield line


def _change_lines(changes: pd.DataFrame) -> Lines:
    """Count every normalisation, with one example."""
    for row in changes.itertuples():
        example = f", such as {row.before!r} read as {row.after!r} (row {row.row})" if row.before != row.after else ""
        place = f'{row.file}, sheet "{row.sheet}"' if row.sheet else row.file
        yield f"{place}: {row.rule}, {_counted(row.times, 'time')}{example}."


def _aside_lines(set_aside: pd.DataFrame) -> Lines:
    """List what was set aside by reason, with row numbers."""
    for (file, sheet, why, column), rows in set_aside.groupby(["file", "sheet", "why", "column"], sort=False):
        numbers = [str(number) for number in rows["row"]]
        listed = ", ".join(numbers[:LISTED]) + (f" and {len(numbers) - LISTED} more" if len(numbers) > LISTED else "")
        place = ", ".join(part for part in (file, f'sheet "{sheet}"' if sheet else "", column) if part)
        yield f"{place}, {'row' if len(numbers) == 1 else 'rows'} {listed}: {REASONS[why]} {rows['what_to_do'].iloc[0]}"


def _test_lines(study: Study) -> Lines:
    """Count marks by measure and occasion, with the most points that could be earned."""
    for (measure, occasion), marks in study.scores.groupby(["measure", "occasion"], sort=False):
        given = marks[marks["missing_reason"] == ""]
        reasons = marks.loc[marks["missing_reason"] != "", "missing_reason"].value_counts()
        missing = ", ".join(f"{number} {_plain_reason(reason)}" for reason, number in reasons.items())
        most = ", ".join(f"{value:g}" for value in sorted(given["max_points"].dropna().unique()))
        yield (
            f"{measure}, {study.settings.label(occasion)}: {_counted(len(given), 'mark')}"
            f"{f' out of {most}' if most else ', the most points is not known'}"
            f"{f'; no mark: {missing}' if missing else ''}."
        )


def _plain_reason(reason: str) -> str:
    """Write the reason for a missing mark for people."""
    return "no reason given" if reason == "unspecified" else reason.replace("_", " ")


def _design_lines(study: Study) -> Lines:
    """Say what the design is, why, what it can support and what is still to decide."""
    design = study.design()
    spoken = SPOKEN[design.code]
    yield f"{spoken.title}."
    yield from design.because
    yield spoken.can
    yield spoken.cannot
    yield from (f"To decide: {question}" for question in design.open_questions)


def _verdict(problems: tuple[Problem, ...]) -> str:
    """Say in one line whether a report can be made."""
    if not problems:
        return "Nothing stands in the way of a report."
    return f"{_counted(len(problems), 'problem')} to mend; the rest was read."


def _counted(number: int, noun: str) -> str:
    """Write a number with its noun."""
    return f"{number} {noun}{'' if number == 1 else 's'}"
