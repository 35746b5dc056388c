"""What there is to say of a study that was read: the parts of the check page, for its text and for its HTML."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from itertools import islice

import pandas as pd

from kit.errors import Problem
from kit.load.files import Loaded
from kit.load.log_checks import check_logs
from kit.load.order_checks import unlisted, zeros_where_absent
from kit.load.ratings.panel import rules_disagree
from kit.load.suggest import Suggestion
from kit.plaintext import in_one_line
from kit.reasons import REASONS
from kit.report.spoken import SPOKEN
from kit.settings import KINDS, Settings
from kit.study import Study

LISTED = 12
"""Rows of one reason that are listed by number before the rest are only counted."""
MOST_TESTS = 60
"""Tests that are listed before the rest are only counted."""
TOP = "At the top of study.toml"

_NO_HEADING = re.compile(r"^[\d.,%/ ]+$|[,;\"]")
RULE_WORDS = {
    "median": "middle rating", "mean_round_half_up": "rounded average", "trimmed_mean": "average without the ends",
    "sum_bands": "sum by bands", "lookup_table": "chart",
}  # fmt: skip
"""Rules of panels in words."""
_SETTING = re.compile(r"\b[a-z_]+ = (?:\"[^\"]*\"|\[[^\]]*\]|\{[^}]*\}|\d[\d.]*|true|false)")


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckLine:
    """One thing that the check page says.

    Attributes
    ----------
    text : str
        The whole sentence, as the text page prints it.
    file : str
        The file that it is about; empty: the study.
    cells : tuple of str
        The same in the columns of ``CheckPart.headings``, for a table.
    times : int
        How often, where it was counted.
    within : bool
        Whether it belongs to the line before it.
    type_this : str
        Lines of study.toml that would settle it; empty where there are none to give.
    where : str
        Where in study.toml they go.
    """

    text: str
    file: str = ""
    cells: tuple[str, ...] = ()
    times: int = 0
    within: bool = False
    type_this: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPart:
    """One part of the check page: its title, its lines, and the headings of its table, if it is one."""

    title: str
    lines: tuple[CheckLine, ...]
    headings: tuple[str, ...] = ()


def check_parts(study: Study) -> list[CheckPart]:
    """Say everything that the check page says, in order.

    Parameters
    ----------
    study : Study
        As read by `kit.study.read_study` or `kit.check.check_file`.

    Returns
    -------
    list of CheckPart
        Those that have something to say.
    """
    loaded, settings = study.loaded, study.settings
    parts = [
        _part("What to mend before a report can be made", _problem_lines(study.in_the_way, settings)),
        _part("What was read", _read_lines(loaded)),
        _part("How the columns were understood", _evidence(loaded, settings)),
        _part("What was written another way", _change_lines(loaded.changes), ("What", "How often", "For example")),
        _part("What was set aside", _aside_lines(loaded.set_aside, settings), ("Where", "Why", "What to do")),
    ]
    parts.append(_part("What to look at", _odd_lines(study)))
    if not study.in_the_way and len(study.scores):
        parts += [
            _part("Who has which test", (CheckLine(text=text) for text in _tests(study))),
            _part("What kind of study this is", (CheckLine(text=text) for text in _design(study))),
        ]
    return [part for part in parts if part.lines]


def verdict(problems: tuple[Problem, ...]) -> str:
    """Say in one line whether a report can be made."""
    if not problems:
        return "Nothing stands in the way of a report."
    return f"{counted(len(problems), 'problem')} to mend; the rest was read."


def counted(number: int, noun: str) -> str:
    """Write a number with its noun."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def unread_columns(suggestion: Suggestion, others: Iterable[Suggestion]) -> str:
    """List the columns of a sheet that no reading of it takes, in a sentence; empty where there are none."""
    sheet = (suggestion.source.file, suggestion.sheet)
    same = [set(other.unread) for other in others if (other.source.file, other.sheet) == sheet]
    unread = [heading for heading in suggestion.unread if all(heading in each for each in same)]
    if not unread:
        return ""
    if len(unread) > LISTED or any(map(_NO_HEADING.search, unread)):
        # these are no headings but what belongs below them: marks, and the names of students
        return f"not read: {counted(len(unread), 'column')}"
    listed = ", ".join(f'"{heading[:40]}"' for heading in unread)
    return f"not read: {'column' if len(unread) == 1 else 'columns'} {listed}"


def _part(title: str, lines: Iterable[CheckLine], headings: tuple[str, ...] = ()) -> CheckPart:
    """Put a title over lines, each of them one line whatever stands in the school's file."""
    plain = (replace(line, text=in_one_line(line.text), cells=tuple(map(in_one_line, line.cells))) for line in lines)
    return CheckPart(title=title, lines=tuple(plain), headings=headings)


def _problem_lines(problems: Iterable[Problem], settings: Settings) -> Iterator[CheckLine]:
    """Tell every problem, with what to type where a setting settles it."""
    for problem in problems:
        typed, where = problem.type_this, TOP
        if not typed:
            typed, where = _setting(problem.do, problem.file, settings)
        yield CheckLine(text=str(problem), file=problem.file, type_this=typed, where=where if typed else "")


def _read_lines(loaded: Loaded) -> Iterator[CheckLine]:
    """Account for the rows of every sheet."""
    refused = loaded.refused
    for row in loaded.ledger.drop_duplicates().itertuples():  # a sheet may hold both marks and the list of students
        place = _place(row)
        if (row.file, row.sheet) in refused:
            yield CheckLine(text=f"{place}: {counted(row.data, 'row')}, none of them used: see above.", file=row.file)
            continue
        if row.unread:
            text = f"{place}: not read, it holds no scores ({counted(row.unread, 'row')})."
            yield CheckLine(text=text, file=row.file)
            continue
        others = {"title line": row.title, "header row": row.header, "blank row": row.blank, "totals row": row.total}
        rest = ", ".join(counted(number, kind) for kind, number in others.items() if number)
        text = (
            f"{place}: {counted(row.data, 'row')} = {row.used} used + {row.set_aside} set aside"
            f"{f' ({rest} besides)' if rest else ''}."
        )
        yield CheckLine(text=text, file=row.file)
        if row.cells_set_aside:
            text = f"{counted(row.cells_set_aside, 'single mark')} set aside besides."
            yield CheckLine(text=text, file=row.file, within=True)


def _evidence(loaded: Loaded, settings: Settings) -> Iterator[CheckLine]:
    """Tell once what each kind of sheet was taken to hold, and what is to decide."""
    told = set()
    for suggestion in loaded.suggestions:
        file = suggestion.source.file
        for sentence in (*suggestion.evidence, *(f"to decide: {question}" for question in suggestion.decide)):
            line = f"{file}: {sentence}"
            if line not in told:
                told.add(line)
                where = _section(file, settings) if sentence.startswith("to decide: ") else ""
                yield CheckLine(text=line, file=file, where=where)
        unread = f"{file}: {columns}" if (columns := unread_columns(suggestion, loaded.suggestions)) else ""
        if unread and unread not in told:
            told.add(unread)
            yield CheckLine(text=unread, file=file)


def _change_lines(changes: pd.DataFrame) -> Iterator[CheckLine]:
    """Count every normalisation, with one example."""
    for row in changes.drop_duplicates().itertuples():
        shown = f"{row.before!r} read as {row.after!r}" if row.before != row.after else ""
        times = counted(row.times, "time")
        text = f"{_place(row)}: {row.rule}, {times}{f', such as {shown} (row {row.row})' if shown else ''}."
        inside = f'row {row.row} of sheet "{row.sheet}"' if row.sheet else f"row {row.row}"
        example = f"{shown}, {inside}" if shown else ""
        yield CheckLine(text=text, file=row.file, cells=(row.rule, times, example), times=row.times)


def _aside_lines(set_aside: pd.DataFrame, settings: Settings) -> Iterator[CheckLine]:
    """List what was set aside by reason, with row numbers."""
    for (file, sheet, why, column), rows in set_aside.groupby(["file", "sheet", "why", "column"], sort=False):
        numbers = [str(number) for number in rows["row"]]
        listed = ", ".join(numbers[:LISTED]) + (f" and {len(numbers) - LISTED} more" if len(numbers) > LISTED else "")
        listed = f"{'row' if len(numbers) == 1 else 'rows'} {listed}"
        inside = ", ".join(part for part in (f'sheet "{sheet}"' if sheet else "", column) if part)
        do = rows["what_to_do"].iloc[0]
        typed, where = _setting(do, file, settings)
        yield CheckLine(
            text=f"{', '.join(filter(None, (file, inside)))}, {listed}: {REASONS[why]} {do}",
            file=file, cells=(", ".join(filter(None, (inside, listed))), REASONS[why], do), type_this=typed,
            where=where,
        )  # fmt: skip


def _odd_lines(study: Study) -> Iterator[CheckLine]:
    """Tell what looks odd and was used all the same."""
    zeros = zeros_where_absent(study.scores, study.loaded.attendance)
    if zeros is not None:
        yield CheckLine(text=str(zeros))
    for problem in unlisted(study.loaded.suggestions, study.scores):
        yield CheckLine(text=str(problem), file=problem.file, type_this=problem.type_this, where="In study.toml")
    for finding in check_logs(study.drills, study.settings.no_school):
        place = f"{finding.file}: " if finding.file else ""
        yield CheckLine(text=f"{place}{finding.found} {finding.do}", file=finding.file, times=finding.times)
    for pair in rules_disagree(study.loaded.ratings).itertuples():
        if pair.disagree:
            rules = f"{RULE_WORDS[pair.rule]} and the {RULE_WORDS[pair.other_rule]}"
            text = f"For {pair.disagree} of {counted(pair.panels, 'panel')} the {rules} of the judges differ."
            yield CheckLine(text=f"{text} Say in study.toml by which rule the panel decided.")


def _tests(study: Study) -> Iterator[str]:
    """Count marks by measure and occasion, with the most points that could be earned."""
    tests = study.scores.groupby(["measure", "occasion"], sort=False)
    for (measure, occasion), marks in islice(tests, MOST_TESTS):
        given = marks[marks["missing_reason"] == ""]
        reasons = marks.loc[marks["missing_reason"] != "", "missing_reason"].value_counts()
        missing = ", ".join(f"{number} {_plain_reason(reason)}" for reason, number in reasons.items())
        most = ", ".join(f"{value:g}" for value in sorted(given["max_points"].dropna().unique()))
        yield (
            f"{measure}, {study.settings.label(occasion)}: {counted(len(given), 'mark')}"
            f"{f' out of {most}' if most else ', the most points is not known'}"
            f"{f'; no mark: {missing}' if missing else ''}."
        )
    if tests.ngroups > MOST_TESTS:
        yield f"and {tests.ngroups - MOST_TESTS} more."


def _plain_reason(reason: str) -> str:
    """Write the reason for a missing mark for people."""
    return "no reason given" if reason == "unspecified" else reason.replace("_", " ")


def _design(study: Study) -> Iterator[str]:
    """Say what the design is, why, what it can support and what is still to decide."""
    design = study.design()
    spoken = SPOKEN[design.code]
    yield f"{spoken.title}."
    yield from design.because
    yield spoken.can
    yield spoken.cannot
    yield from (f"To decide: {question}" for question in design.open_questions)


def _place(row: tuple) -> str:
    """Say of which file and sheet a row of a table is."""
    return f'{row.file}, sheet "{row.sheet}"' if row.sheet else row.file


def _setting(advice: str, file: str, settings: Settings) -> tuple[str, str]:
    """Find a setting inside a sentence that says what to do, and where it goes; two empty texts for none."""
    found = [text for text in _SETTING.findall(advice) if _is_setting(text)]
    if not found:
        return "", ""
    top = {field.name for field in fields(Settings)}
    return "\n".join(found), TOP if all(text.split(" = ")[0] in top for text in found) else _section(file, settings)


def _is_setting(text: str) -> bool:
    """Say whether a text is a line that study.toml could have."""
    try:
        return bool(tomllib.loads(text))
    except tomllib.TOMLDecodeError:
        return False


def _section(file: str, settings: Settings) -> str:
    """Say which section of study.toml is about a file."""
    kind = next((kind for kind in KINDS if any(source.file == file for source in getattr(settings, kind))), "")
    return f'In study.toml, in the section [[{kind}]] with file = "{file}"' if kind else TOP
