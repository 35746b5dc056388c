"""One row of a file of single notes -> its marks, each with the note of the key that it is about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from kit.load.formats.cells import Value
from kit.load.items.columns import columns_of
from kit.load.items.key import ItemKey, ItemTags
from kit.load.items.keys import ONLY_MELODY, item_number, set_item_aside
from kit.load.items.marks import MarkReader, Signs, split_signs
from kit.load.items.right import RightMark
from kit.load.layout import is_blank
from kit.load.opened import quoted
from kit.load.sheets import Row, SheetRead, text_of
from kit.reasons import REASONS

_DO = {
    "right_unclear": 'Say what it means in study.toml, such as right_words = {x = "wrong"}.',
    "not_a_mark": "Write 1 for right and 0 for wrong, or a word such as absent.",
    "formula_error": "Correct the formula, or type the mark.",
    "formula_unsaved": "Open the workbook in a spreadsheet program, save it, and use it then.",
    "cell_struck": "Take the line through the mark away if it counts, or delete it.",
    "item_count": "Write one mark for each note of the key, and a point for a note without a mark.",
    "pattern_lost": "Format the column as text, and type the marks again.",
}
_SPOILED = ("zeros_eaten", "digits_lost")
_LONGEST_SIGN = 3


@dataclass(slots=True)
class NoteMark:
    """The mark of one note by one rater; ``sung`` is still as the file writes it."""

    tags: ItemTags
    rater: str
    right: bool | None = None
    syllable_right: bool | None = None
    sung: str = ""
    missing_reason: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """Why one mark of a row cannot be used."""

    column: str
    why: str
    found: str


@dataclass(slots=True)
class ItemSheet:
    """Reads the rows of one sheet.

    Attributes
    ----------
    read : SheetRead
        The sheet, with its layout settled.
    key : ItemKey
        The key of what was marked; without one, rows are read as they stand.
    marks : MarkReader
        Reads its signs.
    spoiled : list of tuple
        Row index, column, reason code, signs found and signs wanted of each string that a spreadsheet program
        has shortened.
    """

    read: SheetRead
    key: ItemKey
    marks: MarkReader
    spoiled: list[tuple[int, str, str, int, int]] = field(default_factory=list)
    _columns: tuple[str, ...] = ()
    _marks: list[NoteMark] = field(default_factory=list)
    _faults: list[Fault] = field(default_factory=list)

    def read_row(self, row: Row) -> list[NoteMark]:
        """Read the marks of one row; the row, or single marks, may be set aside."""
        self._marks, self._faults = [], []
        form = self._form(row)
        if form is not None and self.read.source.item:
            self._long(row, form)
        elif form is not None and self.read.source.items:
            self._wide(row, form)
        elif form is not None:
            self._strings(row, form)
        _set_faults_aside(row, self._faults, alone=not self._marks)
        return self._marks

    def raters(self) -> tuple[str, str]:
        """Name the two raters of a sheet with a second column of marks, by what is declared or by the headings."""
        source = self.read.source
        if not source.second_rater:
            return source.rater_is, ""
        first = source.rater_is or ("" if source.rater else source.right or source.string)
        return first, source.second_rater_is or source.second_rater

    def _form(self, row: Row) -> str | None:
        """Find the form of a row as the key compares it; set the row aside where the key has no such form."""
        said = text_of(row.fields["form"]) or self.read.source.form_is
        if not self.key.forms:
            return said
        form = self.key.form(said)
        if form is None:
            found = (
                f"The key has no form {quoted(said)}." if said else "The row names no form, and the key has several."
            )
            self._unknown(row, self.read.source.form, found)
        return form

    def _unknown(self, row: Row, column: str, found: str) -> None:
        """Set a row aside about a note that the key does not have."""
        row.account.set_row_aside(
            row.index, column=column, why="unknown_item", found=found, do="Correct the row, or add the note to the key."
        )

    def _melody(self, row: Row) -> str:
        """Name the melody of a row; empty where neither the row nor the study file does."""
        return text_of(row.fields["melody"]) or self.read.source.melody_is

    def _long(self, row: Row, form: str) -> None:
        """Read a row about one note."""
        source, fields, melody = self.read.source, row.fields, self._melody(row)
        item = item_number(fields["item"])
        if item is None:
            set_item_aside(row, source.item, fields["item"])
            return
        tags = self.key.note(form, melody, item) if self.key.forms else ItemTags(form, melody or ONLY_MELODY, item)
        if tags is None:
            where = f"in melody {quoted(melody)}" if melody else "and the row names no melody"
            self._unknown(row, source.item, f"The key has no note {item} {where}.")
            return
        first, second = self.raters()
        self._add(row, tags, first, (source.right, fields["right"]))
        if self._marks:
            self._marks[0].sung = text_of(fields["sung"])
            self._marks[0].syllable_right = self._syllable(row, fields["syllable_right"])
        if not is_blank(fields["second_rater"]):
            self._add(row, tags, second, (source.second_rater, fields["second_rater"]))

    def _wide(self, row: Row, form: str) -> None:
        """Read a row with a column for each note."""
        columns = self._columns or columns_of(self.read.source.items, self.read.header)
        self._columns = columns
        notes = self._notes(row, form, len(columns))
        if not row.open:
            return
        surplus = [name for name in columns[len(notes) :] if not is_blank(self.read.cell(row.index, name))]
        if len(notes) > len(columns) or surplus:
            have = f"{len(columns)} columns of marks" if not surplus else f"{len(notes) + len(surplus)} marks or more"
            self._set_count_aside(row, "", have, len(notes))
            return
        for tags, name in zip(notes, columns, strict=False):
            cell = (name, self.read.cell(row.index, name))
            self._add(row, tags, self.raters()[0], cell)

    def _strings(self, row: Row, form: str) -> None:
        """Read a row with all marks in one cell, perhaps with a second cell of another rater."""
        source, notes = self.read.source, self._notes(row, form, 0)
        if not row.open:
            return
        first, second = self.raters()
        for rater, name, value in (
            (first, source.string, row.fields["string"]),
            (second, source.second_rater, row.fields["second_rater"]),
        ):
            if name == source.second_rater and is_blank(value):
                continue
            signs = self._signs(row, name, value, len(notes))
            if signs is None:
                continue
            whole = signs.whole
            if whole is not None:
                self._tell(row, whole, value)
            values: Sequence[Value] = signs.signs or [None] * len(notes)
            for tags, sign in zip(notes, values, strict=True):
                if whole is not None:
                    self._marks.append(NoteMark(tags, rater, missing_reason=whole.missing_reason))
                else:
                    self._add(row, tags, rater, (name, sign))
        self._syllable_string(row, len(notes))

    def _syllable_string(self, row: Row, count: int) -> None:
        """Read a second string, of whether each syllable was right, into the marks of the first rater."""
        value, first = row.fields["syllable_right"], self.raters()[0]
        own = [mark for mark in self._marks if mark.rater == first]
        if is_blank(value) or len(own) != count:
            return
        signs = self._signs(row, self.read.source.syllable_right, value, count)
        for mark, sign in zip(own, signs.signs if signs else (), strict=False):
            mark.syllable_right = self._syllable(row, sign)

    def _signs(self, row: Row, column: str, value: Value, count: int) -> Signs | None:
        """Take a string of marks apart; None where it cannot be."""
        signs = split_signs(value, count)
        if not signs.fault:
            return signs
        if signs.fault in _SPOILED:
            self.spoiled.append((row.index, column, signs.fault, signs.found, count))
        found = REASONS[signs.fault]
        if signs.fault == "item_count":
            found = f"The row has {_of(signs.found, 'mark')}, the key has {_of(count, 'note')}."
        self._faults.append(Fault(column, signs.fault, found))
        return None

    def _notes(self, row: Row, form: str, columns: int) -> tuple[ItemTags, ...]:
        """List the notes that a row of several marks is about."""
        melody = self._melody(row)
        if self.key.forms:
            notes = self.key.notes(form, melody)
            if not notes:
                self._unknown(row, self.read.source.melody, f"The key has no melody {quoted(melody)}.")
            return notes
        count = self.read.source.item_count or columns
        return tuple(ItemTags(form, melody or ONLY_MELODY, item) for item in range(1, count + 1))

    def _set_count_aside(self, row: Row, column: str, have: str, wanted: int) -> None:
        """Set a row aside that has not as many marks as the key has notes."""
        row.account.set_row_aside(
            row.index, column=column, why="item_count", found=f"The row has {have}, the key has {_of(wanted, 'note')}.",
            do=_DO["item_count"],
        )  # fmt: skip

    def _add(self, row: Row, tags: ItemTags, rater: str, cell: tuple[str, Value]) -> None:
        """Read one mark of one note and add it, or its fault."""
        name, value = cell
        mark = self.marks.read(value)
        if mark.fault:
            where = f"Note {tags.item}: " if self.read.source.string else ""
            self._faults.append(Fault(name, mark.fault, where + _found(mark, value)))
            return
        self._tell(row, mark, value)
        self._marks.append(NoteMark(tags, rater, mark.right, missing_reason=mark.missing_reason))

    def _syllable(self, row: Row, value: Value) -> bool | None:
        """Read whether a syllable was right."""
        if is_blank(value):
            return None
        mark = self.marks.read(value)
        if mark.fault:
            self._faults.append(Fault(self.read.source.syllable_right, mark.fault, _found(mark, value)))
        else:
            self._tell(row, mark, value)
        return mark.right

    def _tell(self, row: Row, mark: RightMark, value: Value) -> None:
        """Count the normalisation of a mark."""
        if mark.rule:
            said = mark.missing_reason or ("1" if mark.right else "0")
            row.account.change(mark.rule, row.index, "(private)" if mark.private else value, said)


def refuse_spoiled(sheet: ItemSheet) -> None:
    """Refuse a sheet in which a spreadsheet program shortened strings of marks: no row of it can be trusted."""
    for why in _SPOILED:
        rows = [entry for entry in sheet.spoiled if entry[2] == why]
        if not rows:
            continue
        index, column, _, found, wanted = rows[0]
        numbers = ", ".join(str(sheet.read.account.sheet.numbers[entry[0]]) for entry in rows)
        said = f"has {_of(found, 'digit')}, the key has {_of(wanted, 'note')}: zeros at the beginning are lost"
        said = said if why == "zeros_eaten" else "was made a number, and its last digits are lost"
        sheet.read.account.refuse(
            why=why, index=index, column=column,
            found=f"The string of marks {said} (row{'s' if len(rows) > 1 else ''} {numbers}).",
            do="Format the column as text, and type or export the marks again.",
        )  # fmt: skip


def cells_of_marks(read: SheetRead, rows: Sequence[Row]) -> Iterator[Value]:
    """Go through the cells that hold marks, one for each note."""
    source = read.source
    columns = columns_of(source.items, read.header) or (source.right,)
    for row in rows:
        for name in columns:
            yield read.cell(row.index, name)
        yield row.fields["second_rater"]


def _found(mark: RightMark, value: Value) -> str:
    """Say what is wrong with a mark; longer texts, which may hold a name, are not repeated."""
    text = text_of(value)
    said = f'The mark is "{text}". ' if mark.fault == "right_unclear" and len(text) <= _LONGEST_SIGN else ""
    return f"{said}{REASONS[mark.fault]}"


def _of(count: int, what: str) -> str:
    """Write a count with its noun."""
    return f"{count} {what}{'' if count == 1 else 's'}"


def _set_faults_aside(row: Row, faults: Sequence[Fault], *, alone: bool) -> None:
    """Set faulty marks aside, and the whole row where nothing else is left of it."""
    for at, fault in enumerate(faults):
        found = {"why": fault.why, "found": fault.found, "do": _DO.get(fault.why, _DO["pattern_lost"])}
        if alone and at == 0:
            row.account.set_row_aside(row.index, column=fault.column, **found)
        else:
            row.account.set_cell_aside(row.index, fault.column, **found)
