"""What was sung, as syllables, numbers or letters -> notes in the kit's written form, and back to syllables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import lru_cache
from typing import Literal, NamedTuple, get_args

from kit.errors import UnknownChoiceError
from kit.load.declared_music import Syllables
from kit.load.notes import NEUTRAL, Note, read_notes
from kit.load.syllables.doubts import doubt, open_capitals
from kit.load.syllables.text import Cut, cut
from kit.load.syllables.tokens import (
    BEAT,
    CAPITAL,
    CHANGED,
    COMMA,
    DISPUTED,
    FOREIGN,
    LETTER,
    OPEN,
    SIGN,
    Reader,
    Token,
)

Column = Literal["pitch", "rhythm", "mixed"]

SPELT = "syllables and octave marks written one way"
LETTERS_ONLY = "one-letter syllables are read as notes of the scale"
DIGITS = "a digit may be a low or a high mark; the octave is left open"

LONG_ENOUGH, MOST_OF_IT = 4, 0.8
"""From how many notes on, and above which share of one syllable, a melody was sung on a vowel (our choice)."""

_DEPENDS = BEAT | CAPITAL | OPEN | SIGN | COMMA


_PLAIN = Syllables(system="movable_i_up_e_down")


class Sung(NamedTuple):
    """What one text says was sung; a tuple, because a log has many thousands of them.

    Attributes
    ----------
    text : str
        The notes in the written form of `kit.load.notes.write_notes`; empty where there is a fault.
    fault : str
        Reason code where the text cannot be read in one way; else empty.
    found : str
        The fault in a sentence that names the tokens, with both readings.
    rule : str
        What was changed in reading; empty for nothing.
    note : str
        Remark to keep with the notes, such as an octave left open.
    """

    text: str = ""
    fault: str = ""
    found: str = ""
    rule: str = ""
    note: str = ""

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes in order."""
        return read_notes(self.text)


def read_syllables(text: str, system: Syllables, *, column: Column = "pitch") -> Sung:
    """Read one text.

    Parameters
    ----------
    text : str
        As written in the cell.
    system : Syllables
        What the study file declares; with an undeclared system only syllables with one reading are read.
    column : str, optional
        What the column holds: words such as ta and ti name notes in one of ``"pitch"``, beats in one of
        ``"rhythm"``, and either in a ``"mixed"`` one, where they are refused.

    Returns
    -------
    Sung
        The notes, or the fault.

    Raises
    ------
    UnknownChoiceError
        For another column.
    """
    if column not in get_args(Column):
        raise UnknownChoiceError("read_syllables", "column", column, get_args(Column))
    if column == "rhythm" and text.strip():
        return Sung(fault="rhythm_or_pitch", found="The column names beats, not notes.")
    return _read(text, _reader(system), mixed=column == "mixed")


def read_unique(texts: Iterable[str], system: Syllables) -> dict[str, Sung]:
    """Read the unique texts of a column of notes, each once.

    Parameters
    ----------
    texts : iterable of str
        As written in the cells.
    system : Syllables
        What the study file declares.

    Returns
    -------
    dict of str to Sung
        A result for each text.
    """
    reader = _reader(system)
    sure, spelt = reader.sure, reader.spelt
    sung = {}
    for text in texts:
        parts = _octave_words(text).split()
        try:
            if "," in text and text.count(",") >= len(parts) - 1:  # they may stand between the notes
                sung[text] = _read(text, reader, mixed=False)
            else:
                sung[text] = Sung(" ".join([sure[part] for part in parts]))
        except KeyError:
            try:
                sung[text] = Sung(" ".join([spelt[part] for part in parts]), "", "", SPELT)
            except KeyError:
                sung[text] = _read(text, reader, mixed=False)
    return sung


def _octave_words(text: str) -> str:
    """Write a low or high before a note as a sign; what is left of two in a row is read anew."""
    if "low " in text or "high " in text:
        return f" {text}".replace(" low ", " ↓").replace(" high ", " ^")
    return text


@lru_cache(maxsize=64)
def _reader(system: Syllables) -> Reader:
    """Keep the tokens that were read in a system."""
    return Reader(system)


def _read(text: str, reader: Reader, *, mixed: bool) -> Sung:
    """Read a text from tokens that were met before, else by cutting it."""
    parts = _octave_words(text).split()
    dashed = len(parts) == 1 and reader.settings.system != "numbered_notation" and "-" in parts[0]
    if dashed:
        parts = parts[0].split("-")
    known = reader.known
    try:
        tokens = [known[part] for part in parts]
    except KeyError:
        return _read_anew(text, parts, reader, mixed=mixed)
    flags = CHANGED if dashed else 0
    for token in tokens:
        flags |= token.flags
    if mixed or (flags & _DEPENDS and _depends(tokens, flags)) or (flags & FOREIGN and flags & DISPUTED):
        return _read_anew(text, parts, reader, mixed=mixed)
    if flags & (LETTER if not reader.settings.system else COMMA if dashed else 0):
        return _read_anew(text, parts, reader, mixed=mixed)
    remark = LETTERS_ONLY if flags & LETTER and reader.letters_are_plain else ""
    return Sung(" ".join([token.text for token in tokens]), "", "", SPELT if flags & CHANGED else "", remark)


def _depends(tokens: list[Token], flags: int) -> bool:
    """Tell whether a token is to be read by its neighbours; low commas are not, unless all but the last have one."""
    if flags & _DEPENDS & ~COMMA:
        return True
    marked = [bool(token.flags & COMMA) for token in tokens]
    return len(marked) > 1 and all(marked[:-1]) and not marked[-1]


def _read_anew(text: str, parts: list[str], reader: Reader, *, mixed: bool) -> Sung:
    """Cut a text and read it, keeping its parts for the next one."""
    raw = text.split()
    if not raw:
        return Sung()
    if reader.vocabulary.fault:
        return Sung(fault="syllable_unclear", found=reader.vocabulary.fault)
    whole = " ".join(raw)
    if reader.is_rest(whole):
        return Sung("0", rule="" if whole == "rest" else SPELT)
    cutting = cut(" ".join("rest" if reader.is_rest(part) else part for part in raw), reader.settings)
    tokens: list[Token] = []
    for token in map(reader.token, cutting.tokens):
        tokens += map(reader.token, token.parts) if token.parts else [token]
    learnt = [reader.learn(part) for part in parts]
    fault, found = doubt(cutting, tokens, reader, mixed=mixed)
    if fault:
        return Sung(fault=fault, found=found)
    same = "-" not in whole and all(part and not part.flags & CHANGED for part in learnt)
    return _sung(cutting, open_capitals(cutting, tokens, reader), reader, whole="" if same else whole)


def _sung(cutting: Cut, tokens: list[Token], reader: Reader, *, whole: str) -> Sung:
    """Put the notes of a text together; without the whole text nothing was changed in it."""
    if any(token.flags & LETTER for token in tokens) and reader.letters_are_plain:
        cutting.remark(LETTERS_ONLY)
    if any(token.flags & OPEN for token in tokens):
        cutting.remark(DIGITS)
    written = " ".join([token.text for token in tokens])
    changed = whole != "" and " ".join(reader.label(note) for token in tokens for note in token.notes) != whole
    return Sung(written, "", "", SPELT if changed else "", "; ".join(cutting.remarks))


def label(note: Note, system: Syllables) -> str:
    """Name a note in a system, so that `read_syllables` reads the same note back.

    Parameters
    ----------
    note : Note
        A note in the kit's form.
    system : Syllables
        What the study file declares.

    Returns
    -------
    str
        Such as ``"fi"``, ``"low so"``, ``"high do"``; ``"so*"`` where the octave is not known; ``"rest"``, ``"hold"``,
        ``"?"`` and ``"loo"`` for what is no note. A note that the system has no name for is the name of its degree
        with a sharp or flat sign; where names cannot be known (fixed syllables without a key) it is the number.
    """
    return _reader(system).label(note)


def neutral_notes(text: str, target: Iterable[Note]) -> tuple[Note, ...]:
    """Tell a melody that was sung on one syllable, such as la, from one whose syllables name degrees.

    Parameters
    ----------
    text : str
        As written in the cell.
    target : iterable of Note
        The melody that was asked for.

    Returns
    -------
    tuple of Note
        A neutral note for each note sung, if more than four fifths of at least four notes have one syllable and the
        target has more than one degree; else empty.
    """
    tokens = cut(text.casefold(), _PLAIN).tokens
    wanted = {(note.degree, note.alter) for note in target if note.kind == "note"}
    if len(tokens) < LONG_ENOUGH or len(wanted) < 2:
        return ()
    most = max(Counter(token.strip("'^↓*") for token in tokens).values())
    return (NEUTRAL,) * len(tokens) if most > MOST_OF_IT * len(tokens) else ()
