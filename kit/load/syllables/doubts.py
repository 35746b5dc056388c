"""What leaves a whole text of syllables with two readings, though each of its words has one."""

from __future__ import annotations

from kit.load.syllables.systems import TWO_READINGS
from kit.load.syllables.text import Cut
from kit.load.syllables.tokens import (
    BEAT,
    CAPITAL,
    DISPUTED,
    FOREIGN,
    LETTER_NAME,
    RHYTHM_WORD,
    SIGN,
    SMALL,
    Reader,
    Token,
    replace_octave,
)

CAPITALS = "a capital letter may be the octave above; the octave is left open"

_MOST_SAID = 5

Fault = tuple[str, str]
_NONE: Fault = ("", "")


def doubt(cutting: Cut, tokens: list[Token], reader: Reader, *, mixed: bool) -> Fault:
    """Give the reason why a text cannot be read in one way, and the finding.

    Parameters
    ----------
    cutting : Cut
        The text, cut.
    tokens : list of Token
        Its tokens, read one by one.
    reader : Reader
        The declared system.
    mixed : bool
        Whether the column holds notes and beats.

    Returns
    -------
    (str, str)
        Reason code and sentence; both empty where there is no doubt.
    """
    beats = _beats(tokens, mixed=mixed)
    return beats if beats != _NONE else _fault(cutting, tokens, reader)


def open_capitals(cutting: Cut, tokens: list[Token], reader: Reader) -> list[Token]:
    """Leave the octave of capitals open where they stand among small letters and nothing is declared.

    Parameters
    ----------
    cutting : Cut
        The text, cut; gets the remark.
    tokens : list of Token
        Its tokens.
    reader : Reader
        The declared system.

    Returns
    -------
    list of Token
        The tokens, with open octaves where needed.
    """
    flags = [token.flags for token in tokens]
    both = any(flag & CAPITAL for flag in flags) and any(flag & SMALL for flag in flags)
    if reader.settings.capital_is_high or not both:
        return tokens
    cutting.remark(CAPITALS)
    return [replace_octave(token) if token.flags & CAPITAL else token for token in tokens]


def _beats(tokens: list[Token], *, mixed: bool) -> Fault:
    """Refuse words for beats: all of them in a column of notes, any of them in a mixed one."""
    words = [token for token in tokens if token.flags & RHYTHM_WORD]
    only = len(words) == len(tokens) > 1 and any(token.flags & BEAT for token in words)
    if only or (mixed and words):
        return "rhythm_or_pitch", "The words name notes in one system and beats in another."
    return _NONE


def _fault(cutting: Cut, tokens: list[Token], reader: Reader) -> Fault:
    """Give the first fault, with every token that has it."""
    if cutting.fault:
        return cutting.fault, cutting.found
    faults = [token for token in tokens if token.fault]
    if faults:
        said = list(dict.fromkeys(token.found for token in faults if token.fault == faults[0].fault))
        more = f" And {len(said) - _MOST_SAID} more." if len(said) > _MOST_SAID else ""
        return faults[0].fault, " ".join(said[:_MOST_SAID]) + more
    if not any(token.notes for token in tokens):
        return "syllable_unknown", "There are signs and no note."
    if all(token.flags & SIGN for token in tokens):
        return "syllable_unclear", 'A sign such as "x" by itself can be a rest or a mark.'
    return _two_systems(tokens, reader)


def _two_systems(tokens: list[Token], reader: Reader) -> Fault:
    """Refuse words whose reading is in doubt because words of another system stand beside them."""
    foreign = sorted({token.name for token in tokens if token.flags & FOREIGN})
    disputed = sorted({token.name for token in tokens if token.flags & DISPUTED})
    if foreign and disputed:
        said = [f'Beside "{foreign[0]}", "{name}" can be {" or ".join(TWO_READINGS[name])}.' for name in disputed]
        return "syllable_unclear", " ".join(said)
    if not reader.settings.system and all(token.flags & LETTER_NAME for token in tokens):
        return "syllable_unclear", '"d" and "f" can be syllables or letter names.'
    return _NONE
