"""One token of a cut text -> the note that it names in the declared system, or why it names none for certain."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from kit.load.declared_music import Syllables
from kit.load.notes import HOLD, NEUTRAL, REST, UNKNOWN, Note, write_notes
from kit.load.syllables.runs import cut_run
from kit.load.syllables.systems import (
    EVERY_WORD,
    NUMBERS,
    PITCHES,
    RHYTHM,
    TWO_READINGS,
    Place,
    Vocabulary,
    vocabulary,
)
from kit.load.syllables.text import cut

MOST_OCTAVES = 3
"""Most octave marks at one note; more are no octave that a choir sings."""

# What a token tells about the text it stands in, as bits, so that a text is judged by two integer operations.
CHANGED, LETTER, FOREIGN, DISPUTED, RHYTHM_WORD, BEAT, COMMA, CAPITAL, SMALL, OPEN, SIGN, LETTER_NAME = (
    1 << bit for bit in range(12)
)

_HIGH, _LOW, _NOT_KNOWN = "'^", "↓", "*"
_KEPT, _LONGEST_KEPT = 50_000, 24
_SIMPLE = frozenset("'’′#b*^↓")
_MARKS = _HIGH + _LOW + _NOT_KNOWN
_TWO_MARKS = "The octave marks at one note do not fit together."
NO_NOTE = {"rest": "rest", "hold": "hold", "unknown": "?", "neutral": "loo"}
_WORDS_OF_SPEECH = ("same", "late", "solo")


@dataclass(frozen=True, slots=True)
class Token:
    """What one token names.

    ``parts`` are the single names of a token written without spaces; ``fault`` and ``found`` as in ``Sung``.
    """

    notes: tuple[Note, ...] = ()
    text: str = ""
    flags: int = 0
    parts: tuple[str, ...] = ()
    name: str = ""
    fault: str = ""
    found: str = ""


class Reader:
    """Reads the tokens of one declared system, each once."""

    def __init__(self, settings: Syllables) -> None:
        self.settings = settings
        self.vocabulary: Vocabulary = vocabulary(settings)
        self.zero_is_rest = settings.zero_is_rest or settings.system == "numbered_notation"
        self.rests = {word.casefold() for word in settings.rest}
        self.known: dict[str, Token] = {}
        self.sure: dict[str, str] = {}
        self.spelt: dict[str, str] = {}
        self._read: dict[str, Token] = {}
        self._learnt: dict[str, Token | None] = {}
        self._joined = tuple(
            (dict.fromkeys([*names, "0"], (0, 0)) if settings.system in NUMBERS and self.zero_is_rest else names)
            for names in self.vocabulary.joined
        )

    @property
    def letters_are_plain(self) -> bool:
        """Tell whether one letter cannot say di from do: it is then read as the note of the scale."""
        return self.settings.system in ("", "movable_i_up_e_down", "movable_i_up_a_down")

    def token(self, token: str) -> Token:
        """Read one token of a cut text, once."""
        if token not in self._read:
            if len(self._read) >= _KEPT:
                self._read.clear()
            self._read[token] = self.read(token)
        return self._read[token]

    def learn(self, part: str) -> Token | None:
        """Keep a part of a text that reads the same whatever stands beside it, octave commas aside."""
        if part not in self._learnt:
            if len(self._learnt) >= _KEPT:
                self._learnt.clear()
            self._learnt[part] = learnt = self._alone(part)
            if learnt and len(self.known) < _KEPT:
                self._keep(part, learnt)
        return self._learnt[part]

    def _keep(self, part: str, learnt: Token) -> None:
        """File a part that reads the same everywhere: as ``sure`` in the kit's own spelling, else as ``spelt``."""
        self.known[part] = learnt
        doubtful = ~(CHANGED | COMMA | RHYTHM_WORD | (0 if self.vocabulary.foreign else DISPUTED))
        if not learnt.flags & doubtful:
            self.spelt[part] = learnt.text
            if not learnt.flags & CHANGED:
                self.sure[part] = learnt.text

    def _alone(self, part: str) -> Token | None:
        """Read a part of a text by itself."""
        plain = part.rstrip(",")
        if len(part) > _LONGEST_KEPT or plain[:1] in ("", "'"):
            return None
        inside = plain.strip("↓^")
        if not all(sign.isalnum() or sign in _SIMPLE for sign in plain) or "↓" in inside or "^" in inside:
            return None
        cutting = cut(part, self.settings)
        if cutting.fault or cutting.remarks or len(cutting.tokens) != 1:
            return None
        token = self.token(cutting.tokens[0])
        if token.fault:
            return None
        flags = token.flags | COMMA * (plain != part and not self.settings.comma)
        return replace(token, flags=flags | CHANGED * (not self._is_label(part, token)))

    def _is_label(self, part: str, token: Token) -> bool:
        """Tell whether a part is written the kit's own way: the first name of the note, and plain octave marks."""
        note = token.notes[0]
        if note.kind != "note":
            return part == NO_NOTE[note.kind]
        marks = "*" if note.octave is None else "'" * note.octave or "," * -note.octave
        before = "↓" * -(note.octave or 0) or "^" * (note.octave or 0)
        return part in (self.name(note) + marks, before + self.name(note))

    def name(self, note: Note) -> str:
        """Name a note without its octave: a number where the system has no name."""
        labels = self.vocabulary.labels
        place = (note.degree, note.alter)
        number = f"{ {0: '', 1: '#', -1: 'b'}[note.alter] }{note.degree}"
        return labels.get(place, number)

    def label(self, note: Note) -> str:
        """Name a note with its octave."""
        if note.kind != "note":
            return NO_NOTE[note.kind]
        if note.octave is None:
            return f"{self.name(note)}*"
        return f"{'high ' * note.octave}{'low ' * -note.octave}{self.name(note)}"

    def is_rest(self, token: str) -> bool:
        """Tell whether the study file, or the word itself, calls this a rest; ``R`` does not declare ``r``."""
        name = token.casefold()
        if token in self.settings.rest or name == "rest":
            return True
        return name in self.rests and name not in self.vocabulary.letters

    def read(self, token: str) -> Token:
        """Read one token of a cut text."""
        other = self._other_kind(token)
        if other is not None:
            return Token((other,), write_notes([other]), SIGN if token in ("x", "X", "*") else 0)
        if token.strip("0") == "":
            return Token(fault="syllable_unclear", found='"0" can be a rest or a mark.')
        head = len(token) - len(token.lstrip(_LOW + "^"))
        core = token[head:].rstrip(_MARKS)
        octave, fault = _octave(token[:head] + token[head + len(core) :])
        found = (
            self._name(core, octave) if core else Token(fault="octave_unclear", found="An octave mark stands alone.")
        )
        if fault and not found.fault:
            return Token(fault="octave_unclear", found=_TWO_MARKS)
        return (self._parts(token) or found) if found.fault == "syllable_unknown" else found

    def _other_kind(self, token: str) -> Note | None:
        """Read what is no note: a rest, a hold, something not heard, a vowel."""
        name = token.casefold()
        if self.is_rest(token) or (token == "0" and self.zero_is_rest):
            return REST
        if name in ("hold", "held"):
            return HOLD
        if token.strip("?") == "":
            return UNKNOWN
        if not self.settings.rest and name in ("x", "z", "*"):
            return REST
        return NEUTRAL if name.strip(_MARKS) in self.vocabulary.neutral else None

    def _name(self, core: str, octave: int | None) -> Token:
        """Read a name without its octave marks."""
        names, name = self.vocabulary, core.casefold()
        if core in names.exact:
            return self._note(core, names.exact[core], octave, LETTER)
        if pair := names.two_readings.get(core) or names.two_readings.get(name if len(name) > 1 else core):
            flags = (RHYTHM_WORD | BEAT) if name == "ta" else 0
            return Token(flags=flags, fault="syllable_unclear", found=f'"{core}" can be {pair[0]} or {pair[1]}.')
        if name in names.words:
            flags = FOREIGN * (name in names.foreign) | DISPUTED * (name in names.disputed)
            return self._note(core, names.words[name], octave, flags | _rhythm(name))
        return self._letter(core, octave) if name in names.letters else self._other_name(core, octave)

    def _other_name(self, core: str, octave: int | None) -> Token:
        """Read 8 as the high 1, and a name with a digit behind it."""
        if core == "8" and self.settings.system in NUMBERS:
            return self._note(core, (1, 0), None if octave is None else octave + 1, 0)
        if core[-1:] in tuple("123456789") and self.settings.system not in NUMBERS and core[:-1].isalpha():
            return self._numbered(core, octave)
        return self._unknown(core)

    def _letter(self, core: str, octave: int | None) -> Token:
        """Read a one-letter syllable; a capital can be the octave above, and r a rest."""
        name = core.casefold()
        if name == "r" and not (self.settings.system and (self.settings.rest or self.zero_is_rest)):
            pair = TWO_READINGS[name]
            return Token(fault="syllable_unclear", found=f'"{core}" can be {pair[0]} or {pair[1]}.')
        capital = core.isupper()
        flags = LETTER | (CAPITAL if capital and octave is not None else 0 if capital else SMALL)
        if capital and self.settings.capital_is_high:
            octave = None if octave is None else octave + 1
        return self._note(core, self.vocabulary.letters[name], octave, flags | LETTER_NAME * (name in ("d", "f")))

    def _numbered(self, core: str, octave: int | None) -> Token:
        """Read a name with a digit for its octave, which a spreadsheet program may have set on the line."""
        name, digit = core[:-1], int(core[-1])
        found = self._name(name, 0)
        if found.fault or (digit > MOST_OCTAVES and self.settings.system not in PITCHES):
            return found if found.fault == "syllable_unclear" else self._unknown(core)
        if octave != 0:
            return Token(fault="octave_unclear", found=_TWO_MARKS)
        means = self.settings.octave_digit_means
        sure = means != "" and 1 <= digit <= MOST_OCTAVES
        height = (digit if means == "high" else -digit) if sure else None
        note = replace(found.notes[0], octave=height)
        return replace(found, notes=(note,), text=write_notes([note]), flags=found.flags | (0 if sure else OPEN))

    def _note(self, core: str, place: Place, octave: int | None, flags: int) -> Token:
        """Make a note, unless its alteration is more than one sharp or flat from the key."""
        if abs(place[1]) > 1:
            return Token(fault="syllable_unknown", found=f'"{core}" is more than a half step outside the declared key.')
        note = Note(*place, octave)
        return Token((note,), write_notes([note]), flags, name=core.casefold())

    def _parts(self, token: str) -> Token | None:
        """Read a run of names without spaces, if it can be cut in one way only."""
        if token.casefold() in _WORDS_OF_SPEECH:
            return None
        for names in self._joined:
            run = token if any(not name.islower() and name.isalpha() for name in names) else token.lower()
            ways, ends = cut_run(run, names, marks=_MARKS) if len(run) == len(token) else (0, [])
            if ways > 1:
                return Token(fault="syllable_unclear", found="A word can be cut into syllables in two ways.")
            if len(ends) > 1:
                parts = [token[start:end] for start, end in pairwise([0, *ends])]
                return self._together([self.token(part) for part in parts], parts)
        return None

    def _together(self, read: list[Token], parts: list[str]) -> Token:
        """Join the notes of a run of names; one that cannot be read leaves the run unread."""
        notes = tuple(note for part in read for note in part.notes)
        flags = 0
        for part in read:
            flags |= part.flags
        wrong = next((part for part in read if part.fault), None)
        return wrong or Token(notes, write_notes(notes), flags, tuple(parts))

    def _unknown(self, core: str) -> Token:
        """Say of what kind a word is that the system does not have; only words of some system are repeated."""
        name, system = core.casefold(), self.settings.system
        if core.endswith("?") and not self._name(core.rstrip("?"), 0).fault:
            return Token(fault="syllable_unclear", found="A question mark stands behind a syllable.")
        if name in RHYTHM and name != "ti":
            return Token(flags=RHYTHM_WORD | BEAT, fault="rhythm_or_pitch", found=f'"{core}" names a beat.')
        numbers = system not in NUMBERS and name.strip("#b") and not name.strip("12345678#b")
        if numbers and not system:
            return Token(fault="syllable_unclear", found="Scale numbers are not declared.")
        if numbers or (system in NUMBERS and name in EVERY_WORD):
            kind = "Scale numbers stand where syllables" if numbers else "Syllables stand where scale numbers"
            return Token(fault="syllable_minority", found=f"{kind} are declared.")
        if name in EVERY_WORD:
            of = "the declared system" if system else "the syllables with one reading"
            return Token(fault="syllable_unknown", found=f'"{core}" is none of {of}.')
        kind = "number" if name.isdecimal() else f"word of {len(core)} letters" if len(core) > 1 else "sign"
        return Token(fault="syllable_unknown", found=f"A {kind} names no note here.")


def _rhythm(name: str) -> int:
    """Tell whether a syllable is also a word for a beat; ti, di and de by themselves are not yet beats."""
    return RHYTHM_WORD | BEAT * (name not in ("ti", "di", "de")) if name in RHYTHM else 0


def _octave(marks: str) -> tuple[int | None, bool]:
    """Read octave marks; the second value tells that they do not fit together."""
    high, low = sum(marks.count(sign) for sign in _HIGH), marks.count(_LOW)
    if _NOT_KNOWN in marks:
        return None, False
    return high - low, bool(high and low) or high + low > MOST_OCTAVES


def replace_octave(token: Token) -> Token:
    """Give a token with its octave left open."""
    notes = tuple(replace(note, octave=None) for note in token.notes)
    return replace(token, notes=notes, text=write_notes(notes))
