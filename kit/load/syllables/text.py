"""Cutting what was written about a melody into its notes: separators, octave marks, brackets, repeats, dashes.

Out come tokens with certain marks only: ``'`` or ``^`` an octave above, ``↓`` an octave below, ``*`` octave not
known; and the words ``rest`` and ``hold``. What a token names is not settled here.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field

from kit.load.declared_music import Syllables
from kit.load.syllables.systems import NUMBERS, PITCHES

MOST_REPEATS = 16
"""Most times that one note may be said to be sung again, as in ``so x2``."""

COMMA = "a comma can be a low mark or stand between notes; the octave is left open"
DASH = "a dash can be a low mark or stand between notes; the octave is left open"
POINT = "a full stop after a syllable may be a low mark; the octave is left open"
BRACKETS = "notes in brackets count as sung"

_SIGNS = str.maketrans(
    dict.fromkeys("’‘′ʼ`´ʹ‛＇", "'") | dict.fromkeys('"“”″', "''")
    | dict.fromkeys("‐‑‒–—―−", "-") | dict.fromkeys("♯＃", "#")
    | {"♭": "b", "♮": "", "₁": "↓", "₂": "↓↓", "¹": "'", "²": "''", "³": "'''", "×": "x", "↑": "^", "→": "|",
       "Ø": "?", "ø": "?", "，": ",", "[": "(", "]": ")"}
)  # fmt: skip
_DOT_BELOW, _DOT_ABOVE, _LINE_BELOW = "\u0323", "\u0307", "\u0332"
_OCTAVE_WORD = re.compile(r"\b(low|lower|high|higher|upper|hi)[ -]{1,3}(?=[\w#])", re.IGNORECASE)
_OCTAVE_BRACKET = re.compile(r" ?\( ?(low|lower|high|higher|upper|hi) ?\)", re.IGNORECASE)
_LETTER_POINT = re.compile(r"\b([LH])\.(?=[\w#])")
_REPEAT_BRACKET = re.compile(r"\( ?x ?(\d{1,3}) ?\)", re.IGNORECASE)
_REPEAT_SPACED = re.compile(r"\bx (?=\d{1,3}\b)", re.IGNORECASE)
_SHARP_WORD = re.compile(r"(?<=\w)[ -]?(?:sharp|diese|diesis|sostenido)\b", re.IGNORECASE)
_FLAT_WORD = re.compile(r"(?<=\w)[ -]?(?:flat|bemolle|bemol)\b", re.IGNORECASE)
_SARGAM_WORD = re.compile(r"\b(komal|tivra) (\w{1,3})", re.IGNORECASE)
_REPEAT = re.compile(r"(.*[^x])?x(\d{1,3})", re.IGNORECASE | re.DOTALL)
_PIECES = re.compile(r"[^ ,\-_]+|,+|-+|_+| ")


@dataclass(slots=True)
class Cut:
    """The tokens of a text, in order, and what stood in the way of cutting it."""

    tokens: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    fault: str = ""
    found: str = ""

    def refuse(self, fault: str, found: str) -> None:
        """Keep the first thing that cannot be settled."""
        if not self.fault:
            self.fault, self.found = fault, found

    def remark(self, remark: str) -> None:
        """Keep a remark once."""
        if remark not in self.remarks:
            self.remarks.append(remark)


@dataclass(slots=True)
class _Mark:
    """A run of commas, dashes or underscores: before which word it stands, and what it touches."""

    sign: str
    length: int
    gap: int
    style: str


def cut(text: str, settings: Syllables) -> Cut:
    """Cut a text into tokens.

    Parameters
    ----------
    text : str
        As written in the cell.
    settings : Syllables
        What the study file declares.

    Returns
    -------
    Cut
        The tokens, or the reason why the text cannot be cut in one way.
    """
    found = Cut()
    text = _plain(text, settings.system)
    if ".." in text:
        found.refuse("syllable_unclear", "Dots stand for something that is not written down.")
        return found
    beats = ":" in text
    text = _words(text, settings, found)
    words, marks = _pieces(text)
    _resolve(words, marks, settings, beats=beats, found=found)
    found.tokens = _repeated(found.tokens, settings, found)
    return found


def _plain(text: str, system: str) -> str:
    """Write every kind of apostrophe, dash, sharp, raised and lowered digit, and dot in one way."""
    text = text.translate(_SIGNS)
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text)
        text = text.replace(_DOT_BELOW, "↓").replace(_DOT_ABOVE, "'")
        if system == "sargam":
            text = text.replace(_LINE_BELOW, "b")
        text = "".join(sign for sign in text if not unicodedata.combining(sign))
    return " ".join(text.split())


def _words(text: str, settings: Syllables, found: Cut) -> str:
    """Turn brackets, words for octaves and alterations, and separators into marks and spaces."""
    system = settings.system
    text = _OCTAVE_BRACKET.sub(lambda match: "↓" if match[1][0] in "lL" else "^", text)
    text = _OCTAVE_WORD.sub(lambda match: "↓" if match[1][0] in "lL" else "^", text)
    if not system.startswith("letters"):
        text = _LETTER_POINT.sub(lambda match: "↓" if match[1] == "L" else "^", text)
    if system in PITCHES or system in NUMBERS:
        text = _FLAT_WORD.sub("b", _SHARP_WORD.sub("#", text))
    elif system == "movable_i_up_a_down":
        text = re.sub(r"\bla-flat\b", "lab", text, flags=re.IGNORECASE)
    elif system == "sargam":
        text = _SARGAM_WORD.sub(lambda match: match[2] + ("b" if match[1][0] in "kK" else "#"), text)
    text = _REPEAT_BRACKET.sub(r" x\1 ", text)
    if system not in NUMBERS:
        text = _REPEAT_SPACED.sub("x", text)
    text = text.replace("()", " rest ").replace("( )", " rest ")
    if "(" in text:
        found.remark(BRACKETS)
    text = re.sub(r"[()/|:;]", " ", text)
    return " ".join(_points(_unquoted(text.strip(), found), settings, found).split())


def _unquoted(text: str, found: Cut) -> str:
    """Take off the apostrophe that marks a cell as text; at both ends it may be quotes or a high note."""
    if not text.startswith("'"):
        return text
    if text.endswith("'"):
        found.refuse("octave_unclear", "The marks at both ends can be quotes or the sign of a high note.")
    return text.strip("'") if found.fault else text[1:]


def _points(text: str, settings: Syllables, found: Cut) -> str:
    """Read full stops: a low mark after a number, a separator inside words of syllables."""
    if "." not in text:
        return text
    if settings.system in NUMBERS:
        if re.search(r"\.(?=[^ ])", text):
            found.refuse("octave_unclear", "A full stop between numbers can be a low mark or stand between notes.")
        return text.replace(".", "↓")
    text = re.sub(r"(?<=\w)\.(?=\w)", " ", text.removesuffix("."))
    if re.search(r"\w\.", text):
        found.remark(POINT)
    return re.sub(r"(?<=\w)\.", "*", text)


def _pieces(text: str) -> tuple[list[str], list[_Mark]]:
    """Separate words from the commas, dashes and underscores around them."""
    pieces = _PIECES.findall(text)
    words: list[str] = []
    marks: list[_Mark] = []
    is_word = [piece[0] not in " ,-_" for piece in pieces] + [False]
    for index, piece in enumerate(pieces):
        if is_word[index]:
            words.append(piece)
        elif piece != " ":
            touches = (bool(index) and is_word[index - 1], is_word[index + 1])
            style = {(True, True): "inner", (True, False): "after", (False, True): "before"}.get(touches, "alone")
            marks.append(_Mark(piece[0], len(piece), len(words), style))
    return words, marks


def _resolve(words: list[str], marks: list[_Mark], settings: Syllables, *, beats: bool, found: Cut) -> None:
    """Give each comma, dash and underscore its meaning, and put the tokens in order."""
    _commas(words, [mark for mark in marks if mark.sign == ","], settings, found)
    others = [mark for mark in marks if mark.sign != ","]
    if settings.system in NUMBERS:
        others = _flats(words, others)
    dashes = [mark for mark in others if mark.sign == "-"]
    everywhere = _everywhere(dashes, len(words))
    inner = any(mark.style == "inner" for mark in dashes)
    between: dict[int, list[str]] = {}
    for mark in others:
        if mark.sign == "_":
            meaning = _alone("_", settings, beats=beats)
        else:
            meaning = _dash(mark, settings, beats=beats, everywhere=everywhere, inner=inner)
        if meaning in ("rest", "hold"):
            between.setdefault(mark.gap, []).extend([meaning] * mark.length)
        elif meaning in ("open", "low"):
            words[mark.gap - 1] += "*" if meaning == "open" else "↓"
            if meaning == "open":
                found.remark(DASH)
        elif meaning == "unclear":
            found.refuse("syllable_unclear", f'"{mark.sign}" can be a rest, a held note or a mark between notes.')
    for gap in range(len(words) + 1):
        found.tokens += between.get(gap, [])
        found.tokens += words[gap : gap + 1]


def _everywhere(marks: list[_Mark], words: int) -> bool:
    """Tell whether marks of one style stand between all notes and nowhere else."""
    places = [mark.gap for mark in marks]
    return words > 1 and places == list(range(1, words)) and len({mark.style for mark in marks}) == 1


def _commas(words: list[str], commas: list[_Mark], settings: Syllables, found: Cut) -> None:
    """Read commas as low marks, as separators, or leave the octave open."""
    if settings.comma == "between":
        return
    places = sorted({mark.gap for mark in commas})
    separators = not settings.comma and len(words) > 1 and places == list(range(1, len(words)))
    for mark in commas:
        if mark.style == "alone":
            continue
        word = mark.gap if mark.style == "before" else mark.gap - 1
        if separators or (mark.style == "inner" and not settings.comma):
            words[word] += "*"
            found.remark(COMMA)
        else:
            words[word] += "↓" * min(mark.length, 9)


def _flats(words: list[str], dashes: list[_Mark]) -> list[_Mark]:
    """Read -7 after a space as the lowered seventh, and give the other dashes."""
    kept = []
    for mark in dashes:
        if mark.sign == "-" and mark.style == "before" and mark.length == 1 and words[mark.gap].startswith("7"):
            words[mark.gap] = "b" + words[mark.gap]
        else:
            kept.append(mark)
    return kept


def _dash(mark: _Mark, settings: Syllables, *, beats: bool, everywhere: bool, inner: bool) -> str:
    """Say what a dash means by where it stands."""
    if settings.system == "numbered_notation":
        return "hold" if mark.style in ("alone", "after") else "unclear"
    if mark.style == "inner":
        return "between" if mark.length == 1 else "unclear"
    if beats and mark.style != "before":
        return "hold"
    if everywhere and mark.style != "after":
        return "between"
    if mark.style == "alone":
        return _alone("-", settings, beats=beats)
    low = "unclear" if mark.style == "before" or mark.length > 1 else "low"
    return "open" if low == "low" and (inner or everywhere) else low


def _alone(sign: str, settings: Syllables, *, beats: bool) -> str:
    """Say what a dash or underscore means that touches no note: a rest if declared, a hold if other rests are."""
    if sign in settings.rest:
        return "rest"
    return "hold" if settings.rest or beats else "unclear"


def _repeated(tokens: list[str], settings: Syllables, found: Cut) -> list[str]:
    """Write out ``so x2``; where more than one note stands before a repeat, it is not clear what is repeated."""
    out: list[str] = []
    for index, token in enumerate(tokens):
        match = _REPEAT.fullmatch(token) if token[-1:].isdigit() and "x" in token.casefold() else None
        after = tokens[index + 1 : index + 2]
        if match is None:
            if (
                token in ("x", "X")
                and settings.system in NUMBERS
                and not settings.rest
                and after
                and after[0].isdigit()
            ):
                found.refuse("syllable_unclear", '"x" before a number can be a rest or say how often.')
            out.append(token)
        elif (not match[1] and len(out) != 1) or not 1 <= int(match[2]) <= MOST_REPEATS:
            found.refuse("syllable_unclear", f'"x{match[2]}" does not say which notes were repeated.')
        else:
            again = [match[1]] if match[1] else [out.pop()]
            out += again * int(match[2])
    return out
