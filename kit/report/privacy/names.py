"""The search for names, school ids, addresses and days of birth in a finished text, however it writes them."""

from __future__ import annotations

import html
import re
import unicodedata
from calendar import day_name, month_abbr, month_name
from collections.abc import Iterable, Iterator
from datetime import date
from functools import lru_cache
from itertools import product

_BETWEEN = r"[\s,._/\-]+"
"""What may stand between the words of a name: also in an address, a label or the name of a file."""
_EMAIL = re.compile(r"(?<![\w.+-])[\w.+-]{1,64}@[\w-]{1,255}\.\w+")
"""An e-mail address; its parts have at most so many letters (RFC 5321, 4.5.3.1)."""
_MOST_LETTERS = 200
"""Letters of a name or id that are searched for."""
_MOST_WORDS = 8
"""Of a cell of many words in a column of names the beginning is enough; all of them make the search slow."""
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_SIGNS = str.maketrans({
    "\u2019": "'", "\u02bc": "'", "\u2018": "'", "\u2010": "-", "\u2011": "-", "\u2013": "-", "ß": "ss", "ẞ": "SS",
    "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE",
})  # fmt: skip
"""Signs that are written in several ways, and letters that no accent can be taken from."""
COMMON = frozenset(word.casefold() for word in (*month_name, *month_abbr, *day_name) if word)
"""Names of one word that a report uses itself, so that they are searched for as whole cells only."""


def find_personal(text: str, personal: Iterable[str]) -> list[str]:
    """Find words of the school's own about a person in a finished text.

    Parameters
    ----------
    text : str
        A page or a table.
    personal : iterable of str
        Names (small letters), school ids, addresses and days of birth (year-month-day) that were read.

    Returns
    -------
    list of str
        Those that stand in the text as whole words, as they stand there, and e-mail addresses. Accents, the case of
        letters and signs that are not seen make no difference. Names of several words are found in either order, a
        day of birth in the usual ways to write one. A single word (``mark``, ``may``) may be an ordinary word too:
        it is found where it fills a whole cell or, but for months and days of the week, stands with a capital inside
        a sentence. Ids of up to four digits are not searched for, since every count looks like one.
    """
    # pictures are letters by chance
    text = re.sub(r"data:[\w/+-]+;base64,[\w+/=]*", "", text)
    # a page writes O'Hara as O&#x27;Hara, and the same letter can be one sign or two
    text = unicodedata.normalize("NFC", html.unescape(text))
    bare = _bare(text)
    found = [(match.start(), match.end()) for match in _EMAIL.finditer(bare)]
    # of a cell of thousands of letters in a column of names the beginning is enough
    words = [_bare(word[:_MOST_LETTERS]) for word in personal if len(word) > 2]
    # hundreds of names at every letter are slow; those whose words all stand in the text are few
    there = _words_of(bare)
    for pattern in _patterns(word for word in words if _DAY.fullmatch(word) or _words_of_one(word) <= there):
        spans = {match[0]: match.span() for match in pattern.finditer(bare)}
        found += [spans[word] for word in sorted(spans)]
    return _as_written(text, bare, found)


def _bare(text: str) -> str:
    """Take accents and unseen signs away, and write apostrophes and hyphens in one way."""
    if text.isascii():
        return text
    apart = unicodedata.normalize("NFKD", text)
    gone = {ord(sign): None for sign in set(apart) if _is_gone(sign)}
    return apart.translate(_SIGNS | gone)


def _is_gone(sign: str) -> bool:
    """Say whether a sign is an accent by itself, or is not seen."""
    return bool(unicodedata.combining(sign)) or unicodedata.category(sign) == "Cf"


def _as_written(text: str, bare: str, spans: list[tuple[int, int]]) -> list[str]:
    """Give the places that were found as the text writes them."""
    if bare is text or not spans:
        return [text[start:end] for start, end in spans]
    # the place in the text of every sign of the bare one
    places = [at for at, sign in enumerate(text) for _ in _bare(sign)]
    places.append(len(text))
    return [text[places[start] : places[end]] for start, end in spans]


def _words_of(text: str) -> set[str]:
    """Give the different words of a text, in small letters."""
    return set(re.findall(r"[^\W_]+", text.casefold()))


@lru_cache(maxsize=1 << 14)
def _words_of_one(word: str) -> frozenset[str]:
    """Give the words of one name: a report is searched for the same names text by text."""
    return frozenset(_words_of(word))


def _patterns(personal: Iterable[str]) -> Iterator[re.Pattern[str]]:
    """Make the patterns to search for: several words, ids and days, and single words."""
    names, ids, single = set(), set(), set()
    for word in personal:
        parts = re.split(r"[\s,]+", word.strip(), maxsplit=_MOST_WORDS)[:_MOST_WORDS]
        if word.isalpha():
            single.add(word.capitalize())
        elif _DAY.fullmatch(word):
            ids |= set(_written_days(word))
        elif len(parts) > 1 and not any(letter.isdigit() for letter in word):
            names |= {_BETWEEN.join(map(re.escape, order)) for order in (parts, [parts[-1], *parts[:-1]])}
        # up to four digits could be any count; more of them, a leading zero or a letter tell an id apart
        elif not word.isdigit() or word.startswith("0") or len(word) > 4:
            ids.add(r"[\s,]+".join(map(re.escape, parts)))
    if names:
        yield re.compile(rf"(?<![^\W_])(?:{_any(names)})(?![^\W_])", re.IGNORECASE)
    if ids:
        yield re.compile(rf"(?<![\w.])(?:{_any(ids)})(?!\w)", re.IGNORECASE)
    if single:
        yield re.compile(rf"(?:(?<=[>,\"])|^)(?i:{_any(single)})(?=[<,\"]|$)", re.MULTILINE)
    if telling := {word for word in single if word.casefold() not in COMMON}:
        yield re.compile(rf"(?<=[a-z,;] )(?:{_any(telling)})(?!\w)")


def _written_days(day: str) -> Iterator[str]:
    """Write a day in the usual ways."""
    try:
        known = date.fromisoformat(day)
    except ValueError:
        yield re.escape(day)
        return
    year, month, number = known.year, known.month, known.day
    yield rf"{year}[-/.]?{month:02}[-/.]?{number:02}"
    for first, second in product((rf"0?{number}", rf"0?{month}"), repeat=2):
        if first != second:
            yield rf"{first}[-/.]\s?{second}[-/.]\s?(?:{year}|{year % 100:02})"
    names = f"(?:{month_name[month]}|{month_abbr[month]})"
    yield rf"0?{number}(?:st|nd|rd|th)?\.?\s+{names}\.?,?\s+{year}"
    yield rf"{names}\.?\s+0?{number}(?:st|nd|rd|th)?,?\s+{year}"


def _any(words: Iterable[str]) -> str:
    """Write alternatives, the longest first."""
    return "|".join(sorted(words, key=lambda word: (-len(word), word)))
