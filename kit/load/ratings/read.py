"""Files of ratings of choirs by a panel -> the ratings table: every judge's rating, and the panel's result."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date

import pandas as pd

from kit.load.columns import plain
from kit.load.days import order_of, read_day
from kit.load.declared import Rules
from kit.load.declared_music import RatingSource
from kit.load.formats.cells import Book, Value
from kit.load.ledger import Account
from kit.load.opened import open_file, quoted, word_key
from kit.load.people.shared_choirs import UNCLEAR, WRITE_SCHOOL, SharedChoirs, spell_choirs
from kit.load.ratings.columns import known_rating_heading, looks_like_ratings, suggest_ratings
from kit.load.ratings.panel import Panel, follows, panel_rating
from kit.load.ratings.scales import RatingScale, ScaleFault, read_rating, scale_of
from kit.load.sheets import Row, SheetRead, choir_reader, data_rows, text_of
from kit.load.suggest import Suggestion
from kit.reasons import REASONS
from kit.tables import RATINGS, conform

UNNAMED = "judge"
looks_like = looks_like_ratings

PANEL = "panel"
"""Name of the judge of a panel's result."""

_FIELDS = ("date", "choir", "part", "judge", "rating", "final")
_PANEL_WORDS = ("panel", "final", "overall", "final rating", "overall rating", "result")
_DO = {
    "unknown_rating": "Correct it, or list the ratings from best to worst under labels in study.toml.",
    "unclear_mark": 'Write signs = "thirds" (a sign is a third of a rating) or signs = "ignored" beside the file.',
}


@dataclass(slots=True)
class JudgeRating:
    """One rating as it enters the table."""

    row: Row
    column: str
    judge: str
    rating: float
    scale: RatingScale


@dataclass(slots=True)
class RatingsRead:
    """Ratings as read; a rating names no student."""

    accounts: list[Account]
    suggestions: list[Suggestion]
    ratings: list[JudgeRating]
    people: list[Row] = field(default_factory=list)
    shared: SharedChoirs = field(default_factory=SharedChoirs)
    """Choirs of one name in several schools; may be filled before ``table``."""

    def table(self) -> pd.DataFrame:
        """Lay the ratings out, one row for each judge, the panel's result among them.

        Returns
        -------
        DataFrame
            The ratings table.
        """
        _name_choirs(self.ratings, self.shared)
        rows = [
            (pd.Timestamp(day) if (day := each.row.fields["date"]) else None, each.row.choir, each.judge,
             text_of(each.row.fields["part"]), each.rating, each.scale.best, each.scale.worst, sheet.file, sheet.name,
             sheet.numbers[each.row.index])
            for each in self.ratings
            for sheet in (each.row.account.sheet,)
            if each.row.open
        ]  # fmt: skip
        return conform(pd.DataFrame(rows, columns=RATINGS.names), RATINGS)


def read_ratings(book: Book, source: RatingSource, rules: Rules) -> RatingsRead:
    """Read one file of ratings.

    Parameters
    ----------
    book : Book
        The file.
    source : RatingSource
        What is declared about it; the rest is recognised from the headings.
    rules : Rules
        ``date_order`` and ``school_year`` hold where the source does not say.

    Returns
    -------
    RatingsRead
        Ratings of one sheet are numbers of one scale. Plain numbers whose direction is not declared are refused.
    """
    opened = open_file(book, source, _FIELDS, suggest_ratings, known_rating_heading)
    ratings: list[JudgeRating] = []
    for read in opened.reads:
        if not _columns_are_there(read):
            continue
        rows = [row for row in data_rows(read, _FIELDS, choir_reader(read, len(opened.reads) > 1), nameless=True)
                if _has_choir(row)]  # fmt: skip
        _read_days(read, rows, rules)
        scales = _scales(read, rows)
        if scales is not None:
            found = [rating for row in rows for rating in _read_row(read, row, scales)]
            ratings += _checked(read, rows, _without_repeats(found))
    return RatingsRead(opened.accounts, opened.suggestions, ratings)


def _columns_are_there(read: SheetRead) -> bool:
    """Refuse a sheet without ratings, or without a declared judge."""
    source, account, index = read.source, read.account, read.header.index
    missing = [name for name in source.judges if read.at(name) is None]
    for name in missing:
        account.refuse(
            why="column_missing", index=index, found=f'There is no column "{name}".', do="Correct judges in study.toml."
        )
    if not (source.judges or source.rating or source.final):
        account.refuse(
            why="wrong_columns", index=index, found="No column of ratings is recognised.",
            do='Name the columns in study.toml: judges = ["Judge 1", "Judge 2"], or judge and rating.',
        )  # fmt: skip
        return False
    return not missing


def _has_choir(row: Row) -> bool:
    """Set a row aside that names no choir."""
    if not row.choir:
        row.account.set_row_aside(
            row.index, why="no_choir", found="The row names no choir.", do="Fill in the choir, or delete the row."
        )
    return bool(row.choir)


def _read_days(read: SheetRead, rows: list[Row], rules: Rules) -> None:
    """Put days in place of the dates of the rows."""
    source = read.source
    order = source.date_order or rules.date_order or order_of(row.fields["date"] for row in rows)
    for row in rows:
        value = row.fields["date"]
        day = read_day(value, order=order, school_year=rules.school_year)
        row.fields["date"] = day.date
        if day.fault:
            row.account.set_cell_aside(
                row.index, source.date, why=day.fault, found=f"The date is {quoted(value)}.", do=day.do
            )
        elif day.rule:
            row.account.change(day.rule, row.index, value, day.date)


def _scales(read: SheetRead, rows: list[Row]) -> tuple[RatingScale, RatingScale] | None:
    """Find the scale of the judges and that of the panel's result; a sheet without one is refused."""
    source = read.source
    judged = [read.cell(row.index, name) for row in rows for name in (*source.judges, source.rating) if name]
    final = [row.fields["final"] for row in rows]
    bands = source.panel_rule == "sum_bands" and bool(source.bands)
    scale = scale_of(judged if bands else [*judged, *final], source)
    if isinstance(scale, ScaleFault):
        _refuse(read, scale)
        return None
    if not bands:
        return scale, scale
    # the judges give points and the panel a rating: its bands are numbered from the best
    ranks = RatingSource(file=source.file, best=1, worst=len(source.bands), signs=source.signs)
    result = scale_of(final, ranks)
    if isinstance(result, ScaleFault):
        _refuse(read, result)
        return None
    return scale, result


def _refuse(read: SheetRead, fault: ScaleFault) -> None:
    """Refuse a sheet whose scale cannot be told."""
    column = next(filter(None, (*read.source.judges, read.source.rating, read.source.final)), "")
    read.account.refuse(why=fault.why, found=fault.found, do=fault.do, column=column)


def _read_row(read: SheetRead, row: Row, scales: tuple[RatingScale, RatingScale]) -> list[JudgeRating]:
    """Read the ratings of one row; a row without any is set aside."""
    found, unread = [], []
    for column, judge, value in _cells(read, row):
        scale = scales[judge == PANEL]
        rating = read_rating(value, scale)
        if rating.fault:
            unread.append((column, rating.fault, f"The rating is {quoted(value)}. {REASONS[rating.fault]}"))
        elif rating.rule:
            said = "not rated" if rating.not_rated else f"{rating.value:g}"
            row.account.change(rating.rule, row.index, value, said)
        if rating.value is not None:
            found.append(JudgeRating(row, column, judge, rating.value, scale))
    row.fields["unread"] = bool(unread)
    if not found and not unread:
        row.account.set_row_aside(
            row.index, why="not_rated", found="The row holds no rating.", do="Nothing, if the choir was not rated."
        )
    for at, (column, why, said) in enumerate(unread):
        if at == 0 and not found:
            row.account.set_row_aside(row.index, column=column, why=why, found=said, do=_DO[why])
        else:
            row.account.set_cell_aside(row.index, column, why=why, found=said, do=_DO[why])
    return found


def _cells(read: SheetRead, row: Row) -> list[tuple[str, str, Value]]:
    """List the ratings of a row: column, judge, cell."""
    source = read.source
    cells = [(name, name, read.cell(row.index, name)) for name in source.judges]
    if source.rating and not source.judges:
        judge = text_of(row.fields["judge"])
        if not source.judge or plain(judge) in _PANEL_WORDS:
            judge = PANEL
        cells.append((source.rating, judge or UNNAMED, row.fields["rating"]))
    if source.final:
        cells.append((source.final, PANEL, row.fields["final"]))
    return cells


def _without_repeats(ratings: list[JudgeRating]) -> list[JudgeRating]:
    """Set rows aside that say the same as an earlier one, and refuse two ratings by one judge of one performance."""
    first: dict[tuple, JudgeRating] = {}
    told: dict[tuple, JudgeRating] = {}
    for each in ratings:
        first.setdefault((*_panel_of(each.row), each.judge, each.rating), each)
    news = {id(each.row) for each in first.values()}
    for each in ratings:
        if id(each.row) not in news and each.row.open and each.judge != UNNAMED:
            each.row.account.set_row_aside(
                each.row.index, why="same_row_twice", found="The row says the same as an earlier one.",
                do="Delete one row.",
            )  # fmt: skip
        other = told.setdefault((*_panel_of(each.row), each.judge), each)
        if each.row.open and other.row is not each.row and each.judge != UNNAMED:
            _refuse_second(each, other)
            break
    return [each for each in ratings if each.row.open]


def _refuse_second(each: JudgeRating, other: JudgeRating) -> None:
    """Refuse a sheet in which one judge rated one choir twice: its panels cannot be told apart."""
    account = each.row.account
    account.refuse(
        why="rated_twice", index=each.row.index, column=each.column,
        found=f"The same judge rated this choir in row {account.place(other.row.index)['row']}, with no other date.",
        do="Fill in the date of each, or what was rated.",
    )  # fmt: skip


def _name_choirs(ratings: list[JudgeRating], shared: SharedChoirs) -> None:
    """Spell choirs as other files do; set rows aside that name one of several choirs, but not which."""
    rows = {id(each.row): each.row for each in ratings}.values()
    spell_choirs(rows, shared.spelt)
    for row in rows:
        if row.open and shared.shares(row.choir):
            row.account.set_row_aside(row.index, why="choir_unclear", found=UNCLEAR, do=f"{WRITE_SCHOOL}.")


def _panel_of(row: Row) -> tuple[str, date | None, str]:
    """Name the panel that a row belongs to: choir, day, and what was rated."""
    return word_key(row.choir), row.fields["date"], word_key(row.fields["part"])


def _checked(read: SheetRead, rows: list[Row], ratings: list[JudgeRating]) -> list[JudgeRating]:
    """Set aside each result that does not follow the declared rule, unless a rating of its panel could not be read."""
    source = read.source
    if not source.panel_rule:
        return ratings
    panel = Panel(bands=source.bands, chart=source.chart)
    judges: dict[tuple, list[float]] = defaultdict(list)
    for each in ratings:
        if each.judge != PANEL:
            judges[_panel_of(each.row)].append(each.rating)
    unread = {_panel_of(row) for row in rows if row.fields.get("unread")}
    kept = []
    for each in ratings:
        given = judges[_panel_of(each.row)]
        known = each.judge == PANEL and _panel_of(each.row) not in unread
        if not known or follows(each.rating, given, source.panel_rule, panel) is not False:
            kept.append(each)
            continue
        expected = panel_rating(given, source.panel_rule, panel)
        listed = ", ".join(f"{rating:g}" for rating in given)
        _set_final_aside(each, f"The result is {each.rating:g}; the judges gave {listed}, which makes {expected:.3g}.")
    return kept


def _set_final_aside(rating: JudgeRating, found: str) -> None:
    """Set a panel's result aside: the row, where it holds nothing else."""
    row, said = rating.row, {"why": "panel_final", "found": found,
                             "do": "Correct the result, or panel_rule in study.toml."}  # fmt: skip
    if any(name for name in (row.fields["judge"],) if plain(text_of(name)) in _PANEL_WORDS):
        row.account.set_row_aside(row.index, column=rating.column, **said)
    else:
        row.account.set_cell_aside(row.index, rating.column, **said)
