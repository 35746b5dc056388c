"""Files of marks -> the scores table."""

from __future__ import annotations

import re
from collections import Counter
from datetime import datetime

import pandas as pd

from kit.load.cells import Book, Value
from kit.load.columns import named_occasion, occasion_rank, plain
from kit.load.declared import MarkColumn, Rules, Scale, ScoreSource, names_of
from kit.load.ledger import Account
from kit.load.marks import Mark, read_mark, settle
from kit.load.sheets import Row, SheetRead, choir_reader, data_rows, open_sheets, text_of
from kit.load.suggest import Suggestion, suggest_scores
from kit.tables import REASONS, SCORES, conform

_FIELDS = ("occasion", "date", "form", "rater", "attempt", "max_points")
MANY_OVER_MAXIMUM = 0.05
"""Share of marks above the maximum beyond which the maximum itself must be wrong (our own rule)."""

_DO = {
    "not_a_mark": "Write the points, or a word such as absent.",
    "unclear_mark": "Write the points alone, or points/maximum.",
    "over_maximum": "Correct the mark, or the maximum in study.toml.",
    "below_zero": "Correct the mark.",
    "formula_error": "Correct the formula, or type the mark.",
}


def read_scores(book: Book, source: ScoreSource, rules: Rules) -> tuple[list[Row], list[Account], list[Suggestion]]:
    """Read one file of marks.

    Parameters
    ----------
    book : Book
        The file.
    source : ScoreSource
        What is declared about it; the rest is recognised from the headings.
    rules : Rules
        What holds for the whole study.

    Returns
    -------
    rows : list of Row
        Every data row with its marks; persons are not yet known.
    accounts : list of Account
        One for each sheet, problems included.
    suggestions : list of Suggestion
        How each sheet was understood.
    """
    declared = [source.student, source.choir, source.occasion, source.date, source.form, source.rater, source.attempt]
    declared += [*names_of(source), *(mark.column for mark in source.marks)]
    rows, accounts, suggestions = [], [], []
    sheets = list(open_sheets(book, source, [heading for heading in declared if heading], suggest_scores))
    reads = [sheet for sheet in sheets if isinstance(sheet, SheetRead)]
    for sheet in sheets:
        account = sheet if isinstance(sheet, Account) else sheet.account
        accounts.append(account)
        if isinstance(sheet, SheetRead):
            suggestions.append(sheet.suggestion)
            rows += _sheet_rows(sheet, rules, several=len(reads) > 1)
    _refuse_many_over_maximum(accounts, rows)
    return rows, accounts, suggestions


def settle_attempts(rows: list[Row], rules: Rules) -> None:
    """Decide which mark counts where a student has several of one occasion, measure and rater.

    Parameters
    ----------
    rows : list of Row
        Rows whose students are known; marks that do not count are taken out and set aside.
    rules : Rules
        ``attempts`` says which one counts; with ``"mean"`` all stay, numbered.
    """
    seen: dict[tuple, list[tuple[Row, MarkColumn, Mark]]] = {}
    for row in rows:
        if row.open and _repeats_earlier_row(row, seen):
            row.account.set_row_aside(
                row.index, why="same_row_twice", found="The row says the same as an earlier one.", do="Delete one."
            )
            continue
        for column, mark in row.marks if row.open else ():
            seen.setdefault(_test_of(row, column), []).append((row, column, mark))
    for taken in seen.values():
        marked = [entry for entry in taken if not entry[2].missing_reason]
        if len(taken) > 1:
            _keep_one(taken, marked, rules)


def score_table(rows: list[Row]) -> pd.DataFrame:
    """Lay the marks out as the scores table.

    Parameters
    ----------
    rows : list of Row
        Rows whose students are known.

    Returns
    -------
    DataFrame
        One row for each mark, missing ones included with their reason.
    """
    table = []
    attempts: Counter = Counter()
    for row in rows:
        for column, mark in row.marks if row.open else ():
            test = _test_of(row, column)
            attempts[test] += 1
            table.append({
                "student": row.student, "choir": row.choir, "occasion": column.occasion,
                "date": _day(row.values["date"]), "measure": column.measure,
                "form": text_of(row.values["form"]) or column.form,
                "rater": text_of(row.values["rater"]) or column.rater, "attempt": attempts[test],
                "points": mark.points, "max_points": mark.max_points, "share": mark.share,
                "missing_reason": mark.missing_reason, **row.account.place(row.index, column.column),
            })  # fmt: skip
    return conform(table, SCORES)


def _sheet_rows(read: SheetRead, rules: Rules, *, several: bool) -> list[Row]:
    """Read the data rows of one sheet with their marks."""
    account, source = read.account, read.source
    if not source.marks:
        found = "; ".join(read.suggestion.decide) or "no column of marks was recognised"
        account.refuse(
            why="occasion_order" if read.suggestion.decide else "wrong_columns", index=read.header.index,
            found=f"{found[0].upper()}{found[1:]}.",
            do="Add the columns of marks to study.toml, each with its occasion.",
        )  # fmt: skip
        return []
    rows = data_rows(read, _FIELDS, choir_reader(read, several))
    decimal = source.decimal or _decimal_sign(read, rows)
    for column in source.marks:
        _read_column(read, column, rows, decimal)
    if source.occasion:
        _name_occasions(rows, rules)
    for row in rows:
        _set_faulty_aside(row)
    return rows


def _decimal_sign(read: SheetRead, rows: list[Row]) -> str:
    """Find the decimal sign of the file; a mixture is refused with one row of each."""
    comma, point = [], []
    for row in rows:
        for column in read.source.marks:
            value = read.cell(row.index, column.column)
            if isinstance(value, str):
                comma += [row.index] if re.fullmatch(r"\s*\d+,\d+\s*(?:/\s*\d+\s*)?", value) else []
                point += [row.index] if re.fullmatch(r"\s*\d+\.\d+\s*(?:/\s*\d+\s*)?", value) else []
    if comma and point:
        numbers = read.account.sheet.numbers
        read.account.refuse(
            why="decimals_mixed", index=comma[0],
            found=f"Row {numbers[comma[0]]} has a decimal comma and row {numbers[point[0]]} a decimal point.",
            do="Write all numbers of the file the same way.",
        )  # fmt: skip
    if comma:
        read.account.change("decimal comma", comma[0], "17,5", "17.5")
    return "," if comma else "."


def _read_column(read: SheetRead, column: MarkColumn, rows: list[Row], decimal: str) -> None:
    """Read one column of marks into the rows, settled by what the whole column tells."""
    account, source, at = read.account, read.source, read.at(column.column)
    if at is None:
        return
    marks = []
    for row in rows:
        value = read.cell(row.index, column.column)
        mark = read_mark(value, account.sheet.formats.get((row.index, at), ""), decimal=decimal, dash=source.dash)
        marks.append((row, value, mark))
    most = column.max_points or _possible_points(read, at)
    only = most or _only_maximum(marks)
    dates_fit = all(
        mark.max_points == only for _, value, mark in marks if isinstance(value, datetime)
    )
    scale = source.scale or _scale(account, column, marks, only)
    for row, value, mark in marks:
        if isinstance(value, datetime) and not (only and dates_fit):
            mark = Mark(fault="unclear_mark")
        own = _as_number(row.values["max_points"])
        settled = settle(mark, max_points=own or most or (only if not scale else None), scale=scale)
        row.marks.append((column, settled))
        if settled.rule:
            account.change(settled.rule, row.index, "(private)" if settled.private else value, _shown(settled))


def _possible_points(read: SheetRead, at: int) -> float | None:
    """Read the maximum from a totals row such as "Points possible", as course platforms export it."""
    account = read.account
    for index, kind in account.kinds.items():
        cells = account.sheet.rows[index]
        words = {plain(cell) for cell in cells if isinstance(cell, str)}
        if kind == "total" and words & {"points possible", "maximum", "max"} and at < len(cells):
            most = _as_number(cells[at])
            if most:
                account.change("most points taken from the sheet", index, cells[at], most)
            return most
    return None


def _only_maximum(marks: list[tuple[Row, Value, Mark]]) -> float | None:
    """Find the maximum that all text cells of a column agree on, such as 20 in ``17/20``."""
    named = {mark.max_points for _, value, mark in marks if mark.max_points and not isinstance(value, datetime)}
    return named.pop() if len(named) == 1 else None


def _scale(account: Account, column: MarkColumn, marks: list[tuple[Row, Value, Mark]], most: float | None) -> Scale:
    """Tell points from shares where the column alone can tell; a mixture is refused with its counts."""
    bare = [mark for _, _, mark in marks if mark.points is not None and mark.max_points is None]
    parts = [mark for mark in bare if 0 < mark.points < 1 and (mark.points * 4) % 1]
    wholes = [mark for mark in bare if mark.points > 1]
    percents = [mark for _, _, mark in marks if mark.share is not None]
    if parts and wholes or (percents and bare and not most):
        account.refuse(
            why="scale_mixed", column=column.column,
            found=f"{len(parts)} marks are shares such as 0.85, {len(wholes)} are whole numbers such as 85, "
            f"{len(percents)} have a percent sign.",
            do='Write them all one way, or declare scale = "points", "percent" or "share".',
        )  # fmt: skip
    return "share" if parts and not wholes and not most else ""


def _name_occasions(rows: list[Row], rules: Rules) -> None:
    """Put the occasion of the long layout into the marks; rows with an unknown one are set aside."""
    names = {plain(word): name for name, words in rules.occasions.items() for word in (name, *words)}
    words = {plain(row.values["occasion"]) for row in rows if text_of(row.values["occasion"])}
    names = names or _ordered_occasions(words)
    for row in rows:
        occasion = names.get(plain(row.values["occasion"] or ""), "")
        if not occasion:
            row.account.set_row_aside(
                row.index, why="unknown_occasion", found=f'The occasion is "{text_of(row.values["occasion"])}".',
                do="Correct it, or add the word under [occasions] in study.toml.",
            )  # fmt: skip
        elif occasion != text_of(row.values["occasion"]):
            row.account.change("occasion renamed", row.index, text_of(row.values["occasion"]), occasion)
        row.marks = [
            (MarkColumn(column=c.column, occasion=occasion, measure=c.measure, form=c.form, rater=c.rater), mark)
            for c, mark in row.marks
        ]


def _ordered_occasions(words: set[str]) -> dict[str, str]:
    """Name undeclared occasions by their order in time, where their words tell it."""
    ranks = {word: rank for word in words if (rank := occasion_rank(word))}
    orders = sorted(set(ranks.values()))
    if {family for family, _ in orders} == {"named"}:
        return {word: named_occasion(rank) for word, rank in ranks.items()}
    if len({family for family, _ in orders}) != 1 or len(orders) > 3:
        return {}
    names = dict(zip(orders, ("pre", "post") if len(orders) < 3 else ("pre", "mid", "post"), strict=False))
    return {word: names[rank] for word, rank in ranks.items()}


def _set_faulty_aside(row: Row) -> None:
    """Set faulty marks aside, and the whole row where nothing else is left of it."""
    faulty = [(column, mark) for column, mark in row.marks if mark.fault]
    row.marks = [(column, mark) for column, mark in row.marks if not mark.fault]
    for at, (column, mark) in enumerate(faulty):
        found = {"why": mark.fault, "found": REASONS[mark.fault], "do": _DO[mark.fault]}
        if not row.marks and at == 0:
            row.account.set_row_aside(row.index, column=column.column, **found)
        else:
            row.account.set_cell_aside(row.index, column.column, **found)


def _refuse_many_over_maximum(accounts: list[Account], rows: list[Row]) -> None:
    """Refuse a file in which too many marks are above the maximum: the maximum is wrong, not the marks."""
    for account in accounts:
        aside = [*account.aside.values(), *account.cells_aside]
        over = [problem for problem in aside if problem.why == "over_maximum"]
        marks = len(over) + sum(not mark.missing_reason for row in rows if row.account is account for _, mark in row.marks)
        if marks and len(over) > MANY_OVER_MAXIMUM * marks and len(over) > 1:
            listed = ", ".join(str(problem.row) for problem in over)
            account.refuse(
                why="many_over_maximum", column=over[0].column,
                found=f"{len(over)} of {marks} marks are above the most points (rows {listed}).",
                do="Correct max_points in study.toml, or the marks.",
            )  # fmt: skip


def _test_of(row: Row, column: MarkColumn) -> tuple:
    """Key of one test of one student."""
    rater = text_of(row.values["rater"]) or column.rater
    return row.student, column.occasion, column.measure, rater


def _repeats_earlier_row(row: Row, seen: dict[tuple, list]) -> bool:
    """Say whether every mark of a row has been seen for the same student, test and attempt."""
    def same(column: MarkColumn, mark: Mark) -> bool:
        return any(
            mark == other and row.values == earlier.values
            for earlier, _, other in seen.get(_test_of(row, column), ())
        )

    return bool(row.marks) and all(same(column, mark) for column, mark in row.marks)


def _keep_one(taken: list, marked: list, rules: Rules) -> None:
    """Keep the mark that counts and set the others aside; an empty cell gives way to a mark."""
    if rules.attempts == "mean" and len(marked) > 1:
        kept = marked
    elif rules.attempts == "best" and marked:
        kept = [max(marked, key=lambda entry: entry[2].share if entry[2].share is not None else entry[2].points)]
    else:
        kept = [(marked or taken)[-1 if rules.attempts == "last" else 0]]
    for row, column, mark in taken:
        if any(mark is other and row is keeper for keeper, _, other in kept):
            continue
        row.marks = [(c, m) for c, m in row.marks if m is not mark]
        found = {
            "why": "second_attempt", "found": f"The student was tested again ({column.occasion}).",
            "do": f'The {rules.attempts} mark counts; declare attempts = "first", "last", "best" or "mean".',
        }  # fmt: skip
        if not row.marks:
            row.account.set_row_aside(row.index, column=column.column, **found)
        elif not mark.missing_reason:
            row.account.set_cell_aside(row.index, column.column, **found)


def _shown(mark: Mark) -> str:
    """Write a mark as an example for the check page."""
    if mark.missing_reason:
        return mark.missing_reason.replace("_", " ")
    of = f" of {mark.max_points:g}" if mark.max_points else ""
    return f"{mark.points:g}{of}" if mark.points is not None else f"share {mark.share:g}"


def _as_number(value: Value) -> float | None:
    """Read a plain number, typed or as text."""
    try:
        return float(value) if value is not None and not isinstance(value, datetime) else None
    except (TypeError, ValueError):
        return None


def _day(value: Value) -> pd.Timestamp | None:
    """Read a date cell; text dates follow with the drill logs, which need the same rules."""
    if isinstance(value, datetime):
        return pd.Timestamp(value)
    if isinstance(value, str) and re.fullmatch(r"\s*\d{4}-\d{2}-\d{2}\s*", value):
        return pd.Timestamp(value.strip())
    return None
