"""Files of single notes or beats -> the items table, read by the key of the test."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import PurePath

import pandas as pd

from kit.load.columns import is_only_time, named_occasion, occasion_of, occasion_rank, plain
from kit.load.declared import Rules
from kit.load.declared_music import ItemSource, Syllables
from kit.load.formats.cells import Book
from kit.load.items.columns import columns_of, known_item_heading, looks_like_items, suggest_items
from kit.load.items.key import ItemKey
from kit.load.items.marks import MarkReader, loose_signs
from kit.load.items.rows import ItemSheet, NoteMark, cells_of_marks, refuse_spoiled
from kit.load.ledger import Account
from kit.load.opened import open_file, quoted, word_key
from kit.load.responses import read_response
from kit.load.sheets import Row, SheetRead, choir_reader, data_rows, text_of
from kit.load.suggest import Suggestion
from kit.load.syllables.degrees import from_tonic
from kit.load.syllables.read import read_syllables
from kit.reasons import REASONS
from kit.tables import ITEMS, conform

looks_like = looks_like_items

_FIELDS = ("occasion", "form", "rater", "melody", "item", "right", "second_rater", "syllable_right", "sung", "string")
_HEADINGS = ("student", "choir", *_FIELDS)


@dataclass(slots=True)
class ItemsRead:
    """Single notes as read; ``table`` is to be asked for when the persons are known.

    Attributes
    ----------
    accounts, suggestions
        One for each sheet, and how each was understood.
    people : list of Row
        Every data row.
    marks : list of list of NoteMark
        The marks of each row, in the same order.
    source : ItemSource
        What was declared.
    rules : Rules
        What holds for the whole study.
    choirs : mapping of str to str
        Study id -> choir, for the syllables of rows that name no choir; may be filled before ``table``.
    """

    accounts: list[Account]
    suggestions: list[Suggestion]
    people: list[Row]
    marks: list[list[NoteMark]]
    source: ItemSource
    rules: Rules
    choirs: Mapping[str, str] = field(default_factory=dict)
    _sung: dict[tuple[Syllables, str], tuple[str, str, str]] = field(default_factory=dict)

    def table(self) -> pd.DataFrame:
        """Lay the marks out, one row for each note and rater; a note marked twice counts once.

        Returns
        -------
        DataFrame
            The items table, missing marks included with their reason.
        """
        _set_repeats_aside(self.people, self.marks, self.rules)
        rows = []
        for row, marks in zip(self.people, self.marks, strict=True):
            if not row.open:
                continue
            sheet, said = row.account.sheet, text_of(row.fields["rater"])
            number = sheet.numbers[row.index]
            for mark in marks:
                tags, sung = mark.tags, self._sung_instead(row, mark)
                rows.append((
                    row.student, row.choir, row.fields["occasion"], self.source.measure_is, tags.form,
                    mark.rater or said, tags.melody, tags.item, tags.degree, tags.alter, tags.approached_by,
                    tags.drilled, mark.right, mark.syllable_right, sung, mark.missing_reason, sheet.file, sheet.name,
                    number,
                ))  # fmt: skip
        # in the order of the table's columns: a district's notes are many, and tuples are laid out fastest
        return conform(pd.DataFrame(rows, columns=ITEMS.names), ITEMS)

    def _sung_instead(self, row: Row, mark: NoteMark) -> str:
        """Write what was sung in scale degrees; words that name no note leave it empty, and the miss stays."""
        if not mark.sung:
            return ""
        syllables = self.rules.syllables_of(self.source, row.choir or self.choirs.get(row.student, ""))
        place = (syllables, mark.sung)
        if place not in self._sung:
            self._sung[place] = _read_sung(mark.sung, syllables)
        text, fault, rule = self._sung[place]
        if fault:
            column = next((s.source.sung for s in self.suggestions if s.source.sung), "")
            row.account.set_cell_aside(
                row.index, column, why=fault, found=REASONS[fault],
                do="Correct it, or declare the syllables in study.toml; the mark itself is used.",
            )  # fmt: skip
        elif rule:
            row.account.change(rule, row.index, mark.sung, text or "(no note)")
        return text


def read_items(book: Book, source: ItemSource, rules: Rules, *, keys: pd.DataFrame | None = None) -> ItemsRead:
    """Read one file of single notes or beats.

    Parameters
    ----------
    book : Book
        The file.
    source : ItemSource
        What is declared about it; the rest is recognised from the headings.
    rules : Rules
        What holds for the whole study.
    keys : DataFrame, optional
        The key, as `kit.load.items.keys.read_keys` gives it. Notes that it does not have are set aside; without a key
        of the measure, rows are read as they stand and have no tags.

    Returns
    -------
    ItemsRead
        Every data row with its marks; persons are not yet known.
    """
    opened = open_file(book, source, _HEADINGS, suggest_items, known_item_heading)
    key = ItemKey.of(keys, source.measure_is)
    people: list[Row] = []
    marks: list[list[NoteMark]] = []
    for read in opened.reads:
        if not _layout_is_clear(read, key):
            continue
        named = _take_occasion_from_name(read)
        rows = data_rows(read, _FIELDS, choir_reader(read, len(opened.reads) > 1 and not named))
        _name_occasions(read, rows, rules)
        sheet = ItemSheet(read, key, _mark_reader(read, rows))
        marks += [sheet.read_row(row) if row.open else [] for row in rows]
        refuse_spoiled(sheet)
        people += rows
    return ItemsRead(opened.accounts, opened.suggestions, people, marks, source, rules)


def _layout_is_clear(read: SheetRead, key: ItemKey) -> bool:
    """Refuse a sheet whose layout is not known, that misses a column, or whose strings have no known length."""
    source, account, index = read.source, read.account, read.header.index
    missing = [name for name in columns_of(source.items, read.header) if read.at(name) is None]
    extra = [field for field in ("sung", "second_rater", "syllable_right") if source.items and getattr(source, field)]
    extra += ["sung"] if source.string and source.sung else []
    if not ((source.item and source.right) or source.items or source.string):
        found = "; ".join(read.suggestion.decide) or "no column of marks of single notes is recognised"
        account.refuse(
            why="wrong_columns", index=index, found=f"{found[0].upper()}{found[1:]}.",
            do='Name the columns in study.toml: item and right, or items = ["n1..n24"], or string.',
        )  # fmt: skip
    elif missing:
        listed = ", ".join(f'"{name}"' for name in missing)
        account.refuse(
            why="column_missing", index=index, found=f"There is no column {listed}.",
            do="Correct items in study.toml.",
        )  # fmt: skip
    elif extra:
        account.refuse(
            why="setting", index=index, found=f"{' and '.join(extra)} cannot be read beside marks in this layout.",
            do="Take it out of study.toml, or give the file a row for each note.",
        )  # fmt: skip
    elif source.string and not key.forms and not source.item_count:
        account.refuse(
            why="item_count", index=index, column=source.string,
            found="Nothing tells how many notes a string of marks has.",
            do="Add the key of the test under [[keys]] in study.toml, or write item_count = 8 beside the file.",
        )  # fmt: skip
    else:
        return True
    return False


def _mark_reader(read: SheetRead, rows: list[Row]) -> MarkReader:
    """Make the reader of a sheet's marks, from the signs of all its marks."""
    source = read.source
    if source.string:
        cells = {(type(v), v): v for row in rows for v in (row.fields["string"], row.fields["second_rater"])}
        return MarkReader.of((sign for value in cells.values() for sign in loose_signs(value)), source.right_words)
    return MarkReader.of(cells_of_marks(read, rows), source.right_words)


def _take_occasion_from_name(read: SheetRead) -> bool:
    """Take the occasion from the name of the sheet, else of the file, if nothing else tells it.

    Says whether the sheet is named for a test, so for no choir.
    """
    found, sheet = read.suggestion, read.account.sheet.name
    if not (found.source.occasion or found.source.occasion_is):
        name = next((name for name in (sheet, PurePath(found.source.file).stem) if occasion_of(name)), "")
        if name:
            evidence = (*found.evidence, f'the name "{name}" says {occasion_of(name)}')
            read.suggestion = replace(
                found, source=replace(found.source, occasion_is=occasion_of(name)), evidence=evidence
            )
    return is_only_time(sheet)


def _name_occasions(read: SheetRead, rows: list[Row], rules: Rules) -> None:
    """Put the name of the occasion into each row; rows with an unknown one are set aside."""
    source, account = read.source, read.account
    if not source.occasion:
        # as with files of marks: no heading names an occasion, so there was one test only
        for row in rows:
            row.fields["occasion"] = source.occasion_is or "pre"
        return
    names = {plain(word): name for name, words in rules.occasions.items() for word in (name, *words)}
    words = {plain(said) for row in rows if (said := text_of(row.fields["occasion"]))}
    ranks = {word: occasion_rank(word) for word in words}
    if not names and all(rank and rank[0] == "named" for rank in ranks.values()):
        names = {word: named_occasion(rank) for word, rank in ranks.items()}
    elif not names:
        listed = ", ".join(f'"{word}"' for word in sorted(words))
        account.refuse(
            why="occasion_order", column=source.occasion, found=f"The order of the occasions {listed} is not clear.",
            do='Declare them in study.toml: [occasions], then lines such as  pre = ["Fall", "BOY"].',
        )  # fmt: skip
        return
    for row in rows:
        _name_occasion(row, names, source.occasion)


def _name_occasion(row: Row, names: Mapping[str, str], column: str) -> None:
    """Name the occasion of one row."""
    said = text_of(row.fields["occasion"])
    name = names.get(word_key(said), "")
    if not name:
        row.account.set_row_aside(
            row.index, column=column, why="unknown_occasion", found=f"The occasion is {quoted(said)}.",
            do="Correct it, or add the word under [occasions] in study.toml.",
        )  # fmt: skip
    elif name != said:
        row.account.change("occasion renamed", row.index, said, name)
    row.fields["occasion"] = name


def _read_sung(text: str, syllables: Syllables) -> tuple[str, str, str]:
    """Read what was sung in place of one note: its text, a fault, and the normalisation."""
    if response := read_response(text):
        return "", "", f"word read as no note, {response}"
    sung = read_syllables(text, syllables)
    if not sung.fault and len(sung.notes) != 1:
        return "", "not_a_mark", ""
    return ("", sung.fault, "") if sung.fault else (from_tonic(sung.text, syllables), "", sung.rule or sung.note)


def _set_repeats_aside(rows: list[Row], marks: list[list[NoteMark]], rules: Rules) -> None:
    """Set rows aside that mark the same notes of a student once more."""
    first: dict[tuple, list[NoteMark]] = {}
    pairs = list(zip(rows, marks, strict=True))
    for row, given in reversed(pairs) if rules.attempts == "last" else pairs:
        if not row.open or not given:
            continue
        tags = given[0].tags
        place = (row.student, row.fields["occasion"], word_key(tags.form), word_key(tags.melody), tags.item,
                 given[0].rater or text_of(row.fields["rater"]))  # fmt: skip
        known = first.setdefault(place, given)
        if known is given:
            continue
        if [(m.right, m.missing_reason) for m in known] == [(m.right, m.missing_reason) for m in given]:
            row.account.set_row_aside(
                row.index, why="same_row_twice", found="The row says the same as another one.", do="Delete one row."
            )
        else:
            kept = "last" if rules.attempts == "last" else "first"
            row.account.set_row_aside(
                row.index, why="second_attempt", found=f"The note was marked twice; the {kept} mark counts.",
                do='Delete the one that does not count, or write attempts = "first" or "last" in study.toml.',
            )  # fmt: skip
