"""A report for Word: headings, captions, tables and alternative texts that Word itself knows as such."""

from __future__ import annotations

import base64
import json
import re
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from kit.report.document.columns import LONG_NOTE, columns_of
from kit.report.document.finish import finished, places_of, set_in, titled
from kit.report.document.pandoc import run_pandoc
from kit.report.document.parts import (
    Box,
    Definitions,
    Document,
    Frame,
    Grid,
    Heading,
    Items,
    Paper,
    Paragraph,
    Part,
    Picture,
    Run,
    Runs,
    words_of,
)
from kit.report.document.style import packed, reference_from, reference_of, unpacked
from kit.report.tables.aligned import FIGURE

ROOM = 92
"""Letters side by side in a table: fewer than in the PDF, since another machine may set other letters."""
ORDINARY = 0.75
"""Width of most letters in the typeface that is meant, where those of `ROOM` are wider."""
_VERSION = [1, 23, 1]
"""Of pandoc's own form of a document, as JSON."""
_MARKS = {"strong": "Strong", "emph": "Emph", "sub": "Subscript", "sup": "Superscript"}
_FRAMES = {"box": "Box", "banner": "Banner", "quote": "Block Text"}
_NB, _MAY_BREAK = "\u00a0", "\u200b"
_WHOLE = re.compile(r"[^.\s%]*")
"""What stands before the decimal point of a number."""
_NUMBERED = re.compile(r"(Table|Figure) (\d+)(?=\.)")
_PLAIN = ["", [], []]


def word_of(document: Document, *, styles: Path | None = None, paper: Paper = "letter") -> bytes:
    """Write a report for Word.

    Parameters
    ----------
    document : Document
        The report.
    styles : Path, optional
        A Word file whose styles, paper, header and footer it takes.
    paper : {"letter", "a4"}, optional
        The size of the sheets, unless `styles` gives it.

    Returns
    -------
    bytes
        The same for the same report.

    Raises
    ------
    DocumentError
        If `styles` is no Word file, or pandoc fails.
    """
    reference = reference_from(styles) if styles else reference_of(document.foot, paper)
    with tempfile.TemporaryDirectory() as temporary:
        path = Path(temporary) / "styles.docx"
        path.write_bytes(reference)
        made = run_pandoc(
            ["-f", "json", "-t", "docx", "-o", "-", "--sandbox", "--reference-doc", str(path)],
            text=json.dumps(pandoc_of(document)).encode(),
        )
    parts = unpacked(made)
    parts["word/document.xml"] = finished(parts["word/document.xml"].decode(), document).encode()
    parts["word/numbering.xml"] = set_in(parts["word/numbering.xml"].decode()).encode()
    parts["docProps/core.xml"] = titled(parts["docProps/core.xml"].decode(), document.title).encode()
    return packed(parts)


def pandoc_of(document: Document) -> dict[str, Any]:
    """Write a report in pandoc's own form.

    Parameters
    ----------
    document : Document
        The report.

    Returns
    -------
    dict
        Ready for JSON; pictures are inside, so that pandoc opens no file.
    """
    language = "en-US" if document.language == "en" else document.language
    writer = _Writer(places_of(document))
    meta = {"lang": {"t": "MetaString", "c": language}}
    return {"pandoc-api-version": _VERSION, "meta": meta, "blocks": writer.all(document.parts)}


class _Writer:
    """Write parts in pandoc's own form, knowing which places there are."""

    def __init__(self, places: Mapping[str, str]) -> None:
        self.places = places

    def all(self, parts: Iterable[Part]) -> list[dict]:
        """Write parts below each other; a style tells a box from the box above it, and keeps text away from a table."""
        parts, blocks, boxes = [*parts], [], 0
        for at, part in enumerate(parts):
            before, after = parts[at - 1] if at else None, parts[at + 1] if at + 1 < len(parts) else None
            boxes = boxes + 1 if isinstance(part, Frame) and part.style == "box" else 0
            if isinstance(part, Frame):
                style = "Box Beside" if boxes and boxes % 2 == 0 else _FRAMES[part.style]
                blocks += self.framed(part, style)
            elif isinstance(part, Grid):
                blocks.append(self.grid(part, followed=_is_note(after)))
            elif isinstance(before, Grid) and isinstance(part, Paragraph) and part.style == "plain":
                blocks.append(_styled("After Table", self.part(part)))
            elif _is_note(part):
                blocks.append(_styled(_note_style(parts, at), [_block("Para", self.text(part.runs))]))
            else:
                blocks += self.part(part)
        return blocks

    def framed(self, frame: Frame, style: str) -> list[dict]:
        """Write a frame; a box is never parted between two sheets."""
        if frame.style != "box" or not all(isinstance(part, Paragraph) for part in frame.parts):
            return [_styled(style, self.all(frame.parts))]
        last = len(frame.parts) - 1
        return [
            _styled(style if at == last else f"{style} Kept", self.part(part)) for at, part in enumerate(frame.parts)
        ]

    def part(self, part: Part) -> list[dict]:
        """Write one part that is neither a frame nor a table."""
        match part:
            case Heading(level=1):
                return [_styled("Title", [_block("Para", self.text(part.runs))])]
            case Heading():
                return [_block("Header", [part.level - 1, _PLAIN, self.text(part.runs)])]
            case Paragraph():
                block = _block("Para", self.text(part.runs))
                named = {"note": "Note", "code": "Printed"}.get(part.style)
                return [_styled(named, [block]) if named else block]
            case Items():
                items = [[_tight(block) for block in self.all(item)] for item in part.items]
                marks = [1, {"t": "Decimal"}, {"t": "Period"}]
                return [_block("OrderedList", [marks, items]) if part.ordered else _block("BulletList", items)]
            case Definitions():
                words = [[self.text(word), [[_block("Para", self.text(meaning))]]] for word, meaning in part.words]
                return [_block("DefinitionList", words)]
            case Picture():
                return [self.picture(part)]
        raise TypeError(type(part).__name__)

    def picture(self, picture: Picture) -> dict:
        """Write a picture with its alternative text."""
        kind = {"jpg": "jpeg"}.get(picture.ending, picture.ending)
        source = f"data:image/{kind};base64,{base64.b64encode(picture.content).decode()}"
        size = ["", [], [["width", f"{picture.printed:.2f}in"]]]
        image = _block("Image", [size, [_letters(picture.alt)], [source, ""]])
        if not picture.caption:
            return _block("Para", [image])
        caption = [None, [_block("Plain", self.caption(picture.caption))]]
        return _block("Figure", [_PLAIN, caption, [_block("Plain", [image])]])

    def grid(self, grid: Grid, *, followed: bool) -> dict:
        """Write a table; the rows of a short one stay together, and with the note below it."""
        columns, grid = columns_of(grid, room=ROOM, letter=ORDINARY), _with_points_below(grid)
        sides = [[{"t": "AlignDefault"}, {"t": "ColWidth", "c": round(share, 4)}] for share in columns.shares]
        size, whole = " Small" if columns.dense else "", not columns.squeezed
        head = [[_PLAIN, [self.box(box, f"Table Head{size}", whole) for box in row]] for row in grid.head]
        rows = []
        for at, row in enumerate(grid.rows):
            kept = " Kept" if columns.kept and (followed or at < len(grid.rows) - 1) else ""
            rows.append([_PLAIN, [self.box(box, f"Table Cell{size}{kept}", whole) for box in row]])
        caption = [None, [_block("Plain", self.caption(grid.caption))] if grid.caption else []]
        return _block(
            "Table", [_PLAIN, caption, sides, [_PLAIN, head], [[_PLAIN, int(grid.headed), [], rows]], [_PLAIN, []]]
        )

    def box(self, box: Box, style: str, whole: bool) -> list:
        """Write a cell; the lines of numbers and other short cells are not broken."""
        kept = whole and box.whole
        runs = [replace(run, text=_NB.join(run.text.split(" ")) if kept else _parted(run.text)) for run in box.runs]
        side = {"t": "AlignRight" if box.side == "right" else "AlignLeft"}
        # pandoc drops a paragraph without anything in it, and Word makes the row as high as ordinary text
        text = self.text(runs) or [_block("RawInline", ["openxml", "<w:r/>"])]
        return [_PLAIN, side, box.rows, box.columns, [_styled(style, [_block("Para", text)])]]

    def caption(self, runs: Runs) -> list[dict]:
        """Write a caption whose number Word itself can list; it starts at its own number, so an update keeps it."""
        found = _NUMBERED.match(runs[0].text) if runs else None
        if not found:
            return self.text(runs)
        kind, number = found.groups()
        field = (
            f'<w:fldSimple w:instr=" SEQ {kind} \\* ARABIC \\r {number} "><w:r><w:t>{number}</w:t></w:r></w:fldSimple>'
        )
        rest = (Run(runs[0].text[found.end() :], runs[0].marks), *runs[1:])
        return [_letters(f"{kind} "), _block("RawInline", ["openxml", field]), *self.text(rest)]

    def text(self, runs: Iterable[Run]) -> list[dict]:
        """Write some text as it is set."""
        return [inline for run in runs for inline in self.run(run)]

    def run(self, run: Run) -> list[dict]:
        """Write a piece of text; a click on it leads to a place that is there."""
        if run.anchor:
            return [_block("Span", [[self.places[run.anchor], [], []], []])]
        inlines: list[dict] = []
        for at, line in enumerate(run.text.split("\n")):
            inlines += ([{"t": "LineBreak"}] if at else []) + ([_letters(line)] if line else [])
        for mark in run.marks:
            inlines = [_code(run.text)] if mark == "code" else [_block(_MARKS[mark], inlines)]
        if run.target in self.places and inlines:
            inlines = [_block("Link", [_PLAIN, inlines, [f"#{self.places[run.target]}", run.target]])]
        return inlines


def _is_note(part: Part | None) -> bool:
    """Tell a note from other parts."""
    return isinstance(part, Paragraph) and part.style == "note"


def _note_style(parts: list[Part], at: int) -> str:
    """Say how a note is set: short ones stay together, and the last keeps ordinary text away."""
    first, last = at, at + 1
    while first and _is_note(parts[first - 1]):
        first -= 1
    while last < len(parts) and _is_note(parts[last]):
        last += 1
    if at < last - 1:
        long = sum(len(words_of(note.runs)) for note in parts[first:last]) > LONG_NOTE
        return "Note" if long else "Note Kept"
    return "Note" if last == len(parts) or isinstance(parts[last], Heading) else "Note Last"


def _with_points_below(grid: Grid) -> Grid:
    """Set numbers with different units to the left, filled up before them, so that points stand under each other."""
    mixed = {at for row in grid.rows for at, box in enumerate(row) if any(run.width for run in box.runs)}
    if not mixed or {len(row) for row in (*grid.head, *grid.rows)} != {grid.columns}:
        return grid
    long = {at: max(map(len, (_WHOLE.match(words_of(row[at].runs))[0] for row in grid.rows))) for at in mixed}

    def set_left(at: int, box: Box, *, fill: bool) -> Box:
        if at not in mixed:
            return box
        blanks = FIGURE * (long[at] - len(_WHOLE.match(words_of(box.runs))[0])) if fill else ""
        return replace(box, side="left", runs=(Run(blanks), *box.runs) if blanks else box.runs)

    head, rows = (
        tuple(tuple(set_left(at, box, fill=fill) for at, box in enumerate(row)) for row in part)
        for part, fill in ((grid.head, False), (grid.rows, True))
    )
    return replace(grid, head=head, rows=rows)


def _parted(text: str) -> str:
    """Let a path be broken after a stroke, which Word does not do by itself."""
    return re.sub(r"(?<=\w)/(?=\w)", f"/{_MAY_BREAK}", text)


def _block(kind: str, content: object) -> dict:
    """Write a block or an inline of a kind."""
    return {"t": kind, "c": content}


def _letters(text: str) -> dict:
    """Write letters."""
    return _block("Str", text)


def _code(text: str) -> dict:
    """Write letters as typed."""
    return _block("Code", [_PLAIN, text])


def _styled(style: str, blocks: list[dict]) -> dict:
    """Give blocks a style by its name."""
    return _block("Div", [["", [], [["custom-style", style]]], blocks])


def _tight(block: dict) -> dict:
    """Set a paragraph of a list close to the next."""
    return {**block, "t": "Plain"} if block["t"] == "Para" else block
