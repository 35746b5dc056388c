"""From a printed number to its row: which number of a text is which estimate, and the link around it."""

from __future__ import annotations

import html
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kit.estimate import Estimate
from kit.glossary import GLOSSARY
from kit.report.numbers import MINUS

_NUMBER = re.compile(rf"(?<![\w.,/\-])[+{MINUS}]?(?:(?:\d{{1,3}}(?:,\d{{3}})+|\d+)(?:\.\d+)?|\.\d+)(?![\w]|-\d|\.\d)")
"""A number that stands alone: no part of a code, a day or a name."""
_A_NAME = re.compile(r"\b(?:grades?|form|rater|table|figure|week|test|days?|seed|choir|school)\s$", re.IGNORECASE)
"""Words after which a number is a name and no amount."""
_NOT_MEASURED = re.compile(
    r"\s?%\s(?:interval|CI)|\s(?:January|February|March|April|May|June|July|August|September|October"
    r"|November|December)\b"
)
"""What follows a number that was chosen or is a day."""
_PERCENT = re.compile(rf"(?:\s+(?:to|and)\s+[+{MINUS}]?[\d.,]+)?\s*(?:%|percent)")
_IN_HUNDRED = re.compile(r"\stimes? in 100")
_BETWEEN = re.compile(r"\s*(?:to|and)\s+|,\s")
_OF_ONE = ("share", "correlation", "agreement", "reliability")
"""Units of numbers up to 1, which may be told in percent."""
_FEWEST_DECIMALS = {
    "points": 1, "SD": 2, "share": 2, "SD of gains": 2, "correlation": 2, "agreement": 2, "reliability": 2, "t": 2,
}  # fmt: skip
_SMALL = 10
"""Amounts below which nothing that was measured is written without decimals."""
_FAR = 10_000
"""Estimates farther apart than any list of them is long."""


@dataclass(frozen=True, slots=True)
class Found:
    """A number in a text and the estimate it belongs to.

    Attributes
    ----------
    start, end : int
        Where it stands in the text.
    estimate : Estimate
        Whose value, interval, p-value or number of students it is.
    again : bool
        Whether another number of the text leads to the same estimate before it.
    """

    start: int
    end: int
    estimate: Estimate
    again: bool


@dataclass(frozen=True, slots=True)
class _Token:
    """A written number: its place, its amount with sign, its decimals, and the text on both sides."""

    start: int
    end: int
    amount: float
    decimals: int
    signed: bool
    before: str
    after: str


def find(text: str, estimates: Sequence[Estimate], *, about: str = "") -> list[Found]:
    """Find the numbers of a text that belong to estimates.

    A text tells its estimates in their order, so of several that are written alike the next one not yet told is
    taken. Both ends of an interval are looked for together.

    Parameters
    ----------
    text : str
        Plain text.
    estimates : sequence of Estimate
        The numbers it tells, in the order of telling.
    about : str, optional
        Whom the text is about, such as the heading of a table's row; estimates about the same go first.

    Returns
    -------
    list of Found
        In the order of the text; numbers that belong to none are not in it.
    """
    tokens = list(_tokens(text))
    told: list[tuple[_Token, int]] = []
    used: set[int] = set()
    last, at = 0, 0
    near = [_is_about(estimate, about) for estimate in estimates]
    while at < len(tokens):
        pair = tokens[at : at + 2]
        index = _whose_interval(pair, text, estimates, last, near)
        if index is None:
            pair = pair[:1]
            index = _whose(pair[0], estimates, last, used, near)
        if index is not None:
            told += [(token, index) for token in pair]
            used.add(index)
            last = index
        at += len(pair)
    return [
        Found(token.start, token.end, estimates[index], again=index in [i for _, i in told[:place]])
        for place, (token, index) in enumerate(told)
    ]


def sentences(texts: Sequence[str], estimates: Sequence[Estimate]) -> list[str]:
    """Write sentences as HTML whose numbers lead to their rows.

    Parameters
    ----------
    texts : sequence of str
        Plain text, read one after the other; it is escaped here.
    estimates : sequence of Estimate
        The numbers they tell.

    Returns
    -------
    list of str
    """
    return _parted(texts, find("\n".join(texts), estimates) if estimates else [])


def row(cells: Sequence[str], estimates: Sequence[Estimate], *, known: Sequence[Estimate] = ()) -> list[str]:
    """Write the cells of a table's row as HTML whose numbers lead to their rows.

    Parameters
    ----------
    cells : sequence of str
        Plain text, the row's heading first.
    estimates : sequence of Estimate
        The numbers of the table; those about what the heading names are looked at first.
    known : sequence of Estimate, optional
        Other numbers of the page; they count only where the heading names what they are about.

    Returns
    -------
    list of str
        As many as there are cells.
    """
    told = [*estimates, *(one for one in known if one not in estimates and _is_about(one, cells[0]))]
    found = find("\n".join(cells), told, about=cells[0]) if told else []
    return _parted(cells, [one for one in found if one.start > len(cells[0])])


def link(shown: str, estimate: Estimate, *, again: bool = False) -> str:
    """Write a number as a link to its row in the table of all numbers.

    Parameters
    ----------
    shown : str
        The number as it is printed; it is escaped here.
    estimate : Estimate
        Whose number it is.
    again : bool, optional
        Whether the same text holds a link to the row already; the keyboard then goes past this one.

    Returns
    -------
    str
    """
    past = ' tabindex="-1"' if again else ""
    told, label = html.escape(describe(estimate)), html.escape(estimate.label)
    return f'<a class="n" href="#{label}" title="{told}"{past}>{html.escape(shown)}</a>'


def describe(estimate: Estimate) -> str:
    """Say in one line what a number is, how many it rests on, and how its interval is made."""
    counted = estimate.counted if estimate.n != 1 else estimate.counted.removesuffix("s")
    left_out = f", {estimate.dropped} left out" if estimate.dropped else ""
    method = f"; interval: {estimate.interval.method}" if estimate.interval else "; no interval"
    return f"{GLOSSARY[estimate.name].words}: {estimate.about}. Rests on {estimate.n} {counted}{left_out}{method}."


def _parted(texts: Sequence[str], found: Sequence[Found]) -> list[str]:
    """Write texts that were read as one, each on its own, with the links that are in it."""
    written, start = [], 0
    for text in texts:
        inside = [one for one in found if start <= one.start < start + len(text)]
        written.append(_written(text, inside, start))
        start += len(text) + 1
    return written


def _written(text: str, found: Sequence[Found], start: int) -> str:
    """Escape a text that begins at a place, and put its links in."""
    parts, at = [], 0
    for one in found:
        first, end = one.start - start, one.end - start
        parts += [html.escape(text[at:first]), link(text[first:end], one.estimate, again=one.again)]
        at = end
    return "".join([*parts, html.escape(text[at:])])


def _tokens(text: str) -> Iterator[_Token]:
    """Read the numbers of a text that could be measured ones."""
    for match in _NUMBER.finditer(text):
        before, after = text[: match.start()], text[match.end() :]
        if _A_NAME.search(before) or _NOT_MEASURED.match(after):
            continue
        written = match.group().replace(",", "").replace(MINUS, "-")
        decimals = len(written.partition(".")[2])
        yield _Token(match.start(), match.end(), float(written), decimals, written[0] == "-", before, after)


def _whose_interval(
    pair: Sequence[_Token], text: str, estimates: Sequence[Estimate], last: int, near: Sequence[bool]
) -> int | None:
    """Find the estimate whose interval two numbers in a row are; told as a fall, its signs are turned."""
    if len(pair) < 2 or not _BETWEEN.fullmatch(text[pair[0].end : pair[1].start].replace(" %", "").replace("%", "")):
        return None
    matching = []
    for index, estimate in enumerate(estimates):
        ends = (estimate.interval.low, estimate.interval.high) if estimate.interval else ()
        if any(
            both and all(_is(token, end, estimate, sign=True) for token, end in zip(pair, both, strict=True))
            for both in (ends, tuple(-end for end in reversed(ends)))
        ):
            matching.append((not near[index], _steps(index, last), index))
    return min(matching)[-1] if matching else None


def _whose(token: _Token, estimates: Sequence[Estimate], last: int, used: set[int], near: Sequence[bool]) -> int | None:
    """Find the estimate that a number belongs to: its value rather than its other parts, the next one not yet told."""
    matching = [
        (not near[index], rank, index in used, _steps(index, last), index)
        for index, estimate in enumerate(estimates)
        if (rank := _part(token, estimate)) is not None
    ]
    return min(matching)[-1] if matching else None


def _part(token: _Token, estimate: Estimate) -> int | None:
    """Rank which part of an estimate a number is: 0 its value, 1 how many it rests on, 2 an end or a p-value."""
    if _is(token, estimate.value, estimate):
        return 0
    if _counts(token, estimate.n, estimate.counted) or _counts(token, estimate.clusters, "choirs"):
        return 1
    ends = (estimate.interval.low, estimate.interval.high) if estimate.interval else ()
    if any(_is(token, end, estimate, sign=True) for end in ends):
        return 2
    return 2 if _tests(token, estimate) else None


def _is(token: _Token, value: float, estimate: Estimate, *, sign: bool = False) -> bool:
    """Say whether a number is a value as it would be written; a fall of 2 may be told without its sign."""
    if not math.isfinite(value) or (token.signed and value > 0) or (sign and token.amount > 0 > value):
        return False
    if estimate.unit in _OF_ONE and _PERCENT.match(token.after):
        return f"{abs(value) * 100:.{token.decimals}f}" == _digits(token)
    whole = token.decimals == 0 and value % 1 and abs(value) < _SMALL
    if whole or token.decimals < _FEWEST_DECIMALS.get(estimate.unit, 0):
        return False
    return f"{abs(value):.{token.decimals}f}" == _digits(token)


def _tests(token: _Token, estimate: Estimate) -> bool:
    """Say whether a number is a p-value, told as so many times in 100 too, or degrees of freedom."""
    if estimate.p is not None and _IN_HUNDRED.match(token.after):
        return f"{estimate.p * 100:.{token.decimals}f}" == _digits(token)
    alone = not token.decimals and (token.before.endswith("\n") or not token.before)
    parts = [estimate.p if token.decimals else None, estimate.df if token.decimals or alone else None]
    return any(part is not None and f"{part:.{token.decimals}f}" == _digits(token) for part in parts)


def _counts(token: _Token, number: int | None, counted: str) -> bool:
    """Say whether a number is how many an estimate rests on, by what stands around it."""
    if number is None or token.decimals or token.amount != number:
        return False
    noun = re.escape(counted.removesuffix("s"))
    after = re.match(rf"(?:\sof\s[\d,]+)?(?:\s[\w-]+)?\s{noun}s?\b|\n|$", token.after)
    return bool(after) or token.before.endswith(" of ")


def _digits(token: _Token) -> str:
    """Write the amount without its sign, with a nought before the point."""
    return f"{abs(token.amount):.{token.decimals}f}"


def _steps(index: int, last: int) -> int:
    """Count how far on an estimate lies; those already passed lie farther than any other."""
    return index - last if index >= last else _FAR + last - index


def _is_about(estimate: Estimate, about: str) -> bool:
    """Say whether the heading of a row names what an estimate is about."""
    heading = about.partition("\n")[0].strip()
    return bool(heading) and (heading.endswith(estimate.about) or estimate.about.endswith(heading))
