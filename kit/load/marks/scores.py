"""Files of marks -> the scores table."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import PurePath

import pandas as pd

from kit.load.columns import is_only_time, named_occasion, occasion_of, occasion_rank, plain
from kit.load.days import Day, order_of, read_day
from kit.load.declared import MarkColumn, Rules, ScoreSource, names_of
from kit.load.formats.cells import Book, Value
from kit.load.ledger import Account, rows_in_words
from kit.load.marks.columns import read_columns
from kit.load.marks.sums import add_totals
from kit.load.people.personal import report_personal_columns
from kit.load.ratings.raters import rater_of, settle_raters
from kit.load.sheets import Row, SheetRead, choir_reader, data_rows, open_sheets, text_of
from kit.load.suggest import ONE_TEST, Suggestion, named_for_itself, suggest_scores, timed_by_name
from kit.reasons import REASONS
from kit.tables import SCORES, conform

_FIELDS = ("occasion", "date", "form", "rater", "attempt", "max_points")
MANY_OVER_MAXIMUM = 0.05
"""Share of marks above the maximum beyond which the maximum itself must be wrong (our own rule)."""

_DO = {
    "not_a_mark": "Write the points, or a word such as absent.",
    "unclear_mark": "Write the points alone, or points/maximum.",
    "over_maximum": "Correct the mark, or the maximum in study.toml.",
    "below_zero": "Correct the mark.",
    "codes_unclear": "Say in study.toml under missing_codes what the number stands for.",
    "one_of_two": "Declare the parts of the column in study.toml, or write one mark in each column.",
    "rater_inside": "Write the initials under raters in study.toml if they are a rater's, or the mark alone.",
    "adjudicator_unclear": "Write adjudicates = true for the column in study.toml, or false if it is no adjudicator.",
    "cell_struck": "Take the line through the mark away if it counts, or delete it.",
    "formula_error": "Correct the formula, or type the mark.",
    "formula_unsaved": "Open the workbook in a spreadsheet program, save it, and use it then.",
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
    declared += [*names_of(source), *(heading for mark in source.marks for heading in (mark.column, mark.date))]
    rows, accounts, suggestions = [], [], []
    sheets = list(open_sheets(book, source, [heading for heading in declared if heading], suggest_scores))
    reads = [sheet for sheet in sheets if isinstance(sheet, SheetRead)]
    named, refused = _tell_tests_by_name(reads)
    for sheet in sheets:
        account = sheet if isinstance(sheet, Account) else sheet.account
        accounts.append(account)
        if isinstance(sheet, SheetRead):
            rows += _sheet_rows(sheet, rules, several=len(reads) > 1 and id(account) not in named)
            suggestions.append(sheet.suggestion)
    _refuse_many_over_maximum(accounts, rows)
    # a student is on several of these sheets only because nothing tells them apart
    return [row for row in rows if id(row.account) not in refused], accounts, suggestions


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
    for row in rows:
        if not row.open:
            continue
        sheet, fields = row.account.sheet, row.fields
        form = text_of(fields["form"])
        for column, mark in row.marks:
            table.append((
                row.student, row.choir, column.occasion, mark_day(row, column), column.measure,
                form or column.form, rater_of(row, column, mark),
                row.attempts.get(column.column, column.attempt or 1), mark.points, mark.max_points, mark.share,
                mark.missing_reason, sheet.file, sheet.name, sheet.numbers[row.index], column.column,
            ))  # fmt: skip
    # in the order of the table's columns: a district's marks are many, and tuples are laid out fastest
    return conform(pd.DataFrame(table, columns=SCORES.names), SCORES)


def _sheet_rows(read: SheetRead, rules: Rules, *, several: bool) -> list[Row]:
    """Read the data rows of one sheet with their marks."""
    account, source = read.account, read.source
    if not source.marks or (read.suggestion.unclear and read.suggestion.decide):
        found = "; ".join(read.suggestion.decide) or "no column of marks was recognised"
        account.refuse(
            why="occasion_order" if read.suggestion.decide else "wrong_columns", index=read.header.index,
            found=f"{found[0].upper()}{found[1:]}.",
            do="Add the columns of marks to study.toml, each with its occasion.",
        )  # fmt: skip
        return []
    rows = data_rows(read, _FIELDS, choir_reader(read, several))
    read_columns(read, rows, rules)
    settle_raters(source.marks, rows)
    _read_days(read, rows, rules)
    report_personal_columns(read)
    if source.occasion:
        words = _name_occasions(rows, rules)
        read.suggestion = replace(read.suggestion, occasions=tuple(words.items()))
    for row in rows:
        _set_faulty_aside(row)
    add_totals(rows, source)
    return rows


def _name_occasions(rows: list[Row], rules: Rules) -> dict[str, str]:
    """Put the occasion of the long layout into the marks; rows with an unknown one are set aside."""
    names = {plain(word): name for name, words in rules.occasions.items() for word in (name, *words)}
    words = {plain(word) for word in {row.fields["occasion"] for row in rows} if text_of(word)}
    names = names or _ordered_occasions(words)
    if not names and words:
        listed = ", ".join(f'"{word}"' for word in sorted(words))
        rows[0].account.refuse(
            why="occasion_order",
            found=f"The order of the occasions {listed} is not clear.",
            do='Declare them in study.toml: [occasions], then lines such as  pre = ["Fall", "BOY"].',
        )  # fmt: skip
    meant = {word: names.get(plain(word or ""), "") for word in {row.fields["occasion"] for row in rows}}
    named: dict[tuple[int, str], MarkColumn] = {}
    for row in rows:
        occasion = meant[row.fields["occasion"]]
        if not occasion:
            row.account.set_row_aside(
                row.index, why="unknown_occasion", found=f'The occasion is "{text_of(row.fields["occasion"])}".',
                do="Correct it, or add the word under [occasions] in study.toml.",
            )  # fmt: skip
        elif occasion != text_of(row.fields["occasion"]):
            row.account.change("occasion renamed", row.index, text_of(row.fields["occasion"]), occasion)
        row.marks = [
            (named.get((id(column), occasion)) or _named(named, column, occasion), mark) for column, mark in row.marks
        ]
    return {word: names[word] for word in sorted(words) if word in names}


def _named(named: dict[tuple[int, str], MarkColumn], column: MarkColumn, occasion: str) -> MarkColumn:
    """Make the column of marks of one occasion, once for all its rows."""
    return named.setdefault((id(column), occasion), replace(column, occasion=occasion))


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
        marks = len(over) + sum(
            not mark.missing_reason for row in rows if row.account is account for _, mark in row.marks
        )
        if marks and len(over) > MANY_OVER_MAXIMUM * marks and len(over) > 1:
            places = rows_in_words([problem.row for problem in over])
            account.refuse(
                why="many_over_maximum", column=over[0].column,
                found=f"{len(over)} of {marks} marks are above the most points ({places}).",
                do="Correct max_points in study.toml, or the marks.",
            )  # fmt: skip


def mark_day(row: Row, column: MarkColumn) -> date | None:
    """Find the day of a test, once the dates are read: that of its own column of dates, else that of the row."""
    return row.fields.get(f"date of {column.date}") if column.date else row.fields["date"]


def _read_days(read: SheetRead, rows: list[Row], rules: Rules) -> None:
    """Read the dates of a sheet in place; one that cannot be read is set aside, its marks stay."""
    account, own = read.account, {column.date for column in read.source.marks if column.date}
    for heading, key in ((read.source.date, "date"), *((heading, f"date of {heading}") for heading in sorted(own))):
        cells = [(row, read.cell(row.index, heading)) for row in rows] if heading else []
        order = order_of(value for _, value in cells) or rules.date_order
        known: dict[Value, Day] = {}
        for row, value in cells:
            # a class is tested on few days, so each spelling is read once
            day = known.get(value) or known.setdefault(
                value, read_day(value, order=order, school_year=rules.school_year)
            )
            row.fields[key] = day.date
            if day.fault:
                account.set_cell_aside(row.index, heading, why=day.fault, found=REASONS[day.fault], do=day.do)
            elif day.rule:
                account.change(day.rule, row.index, value, day.date)


def _tell_tests_by_name(reads: list[SheetRead]) -> tuple[set[int], set[int]]:
    """Tell which test a sheet of one test holds by the name of the sheet, else of the file.

    Gives the identities of the accounts of sheets that are named for a test, so for no choir, and of those refused:
    a file with a sheet for each test whose names do not tell which is which is to be declared sheet by sheet.
    """
    untimed = [read for read in reads if ONE_TEST in read.suggestion.evidence]
    only_time = [read for read in untimed if is_only_time(read.account.sheet.name)]
    named = [read for read in untimed if read in only_time or occasion_of(read.account.sheet.name)]
    refused = named if len(named) > 1 and not _is_clear([read.account.sheet.name for read in named]) else []
    for read in refused:
        sheet = read.account.sheet.name
        read.account.refuse(
            why="occasion_order", found=f'The sheet "{sheet}" seems to hold one test of several.',
            do=f'Write one [[scores]] for each sheet: sheets = ["{sheet}"], and the occasion of its marks.',
        )  # fmt: skip
        read.suggestion = named_for_itself(read.suggestion, sheet)
    for read in untimed if not refused else ():
        names = (read.account.sheet.name, PurePath(read.source.file).stem)
        timed = next(filter(None, (timed_by_name(read.suggestion, name) for name in names)), None)
        read.suggestion = timed or read.suggestion
    return {id(read.account) for read in only_time}, {id(read.account) for read in refused}


def _is_clear(sheets: list[str]) -> bool:
    """Say whether sheets are named for one occasion each, or for different choirs at one occasion."""
    occasions, only_time = [occasion_of(sheet) for sheet in sheets], list(map(is_only_time, sheets))
    if all(only_time):
        return all(occasions) and len(set(occasions)) == len(sheets)
    return not any(only_time) and len(set(occasions)) == 1
