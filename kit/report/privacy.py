"""Who may read what: small groups, complementary suppression, and the search for names in finished files."""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, get_args

import pandas as pd

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate

Audience = Literal["teacher", "district", "public"]
_SPACE = r"[\s,]+"
_EMAIL = re.compile(r"(?<![\w.+-])[\w.+-]{1,64}@[\w-]{1,255}\.\w+")
"""An e-mail address; its parts have at most so many letters (RFC 5321, 4.5.3.1)."""
_MOST_LETTERS = 200
"""Letters of a name or id that are searched for."""
SMALLEST_GROUP: dict[str, int] = {"teacher": 1, "district": 5, "public": 10}
"""Students that a shown group needs (10 for the public: the most common rule of US states; 5 inside a district)."""


FEWEST_IN_A_SHARE = 3
"""Students inside and outside of a share below which it is not shown beyond the school (three: the absolute minimum
of the US Privacy Technical Assistance Center)."""


def smallest_group(audience: str) -> int:
    """Give the number of students that a group needs to be shown to an audience.

    Parameters
    ----------
    audience : str
        ``"teacher"``, ``"district"`` or ``"public"``.

    Returns
    -------
    int

    Raises
    ------
    UnknownChoiceError
        If there is no such audience.
    """
    if audience not in get_args(Audience):
        raise UnknownChoiceError("smallest_group", "audience", audience, get_args(Audience))
    return SMALLEST_GROUP[audience]


def keep(
    groups: Sequence[Estimate], audience: str, *, total_known: bool = True
) -> tuple[list[Estimate], list[Estimate]]:
    """Part groups into those that may be shown and those that are hidden.

    A single hidden group can be worked out from the total and the others; then the next smallest is hidden
    too (complementary suppression), and so on while the hidden ones together are still too few.

    Parameters
    ----------
    groups : sequence of Estimate
        One for each group. Its size is ``n``; of a count it is the value, since ``n`` is the whole.
    audience : str
        Who will read it.
    total_known : bool, optional
        Whether the reader also sees the number of all groups together.

    Returns
    -------
    shown, hidden : list of Estimate
        In the given order.
    """
    least = smallest_group(audience)
    sizes = [_size(group) for group in groups]
    hidden = {at for at, size in enumerate(sizes) if 0 < size < least}
    rest = sorted((at for at, size in enumerate(sizes) if size >= least), key=lambda at: (sizes[at], at))
    # what is hidden as a whole is known too, from the total and the rest: it must not be small either
    while total_known and hidden and rest and (len(hidden) == 1 or sum(sizes[at] for at in hidden) < least):
        hidden.add(rest.pop(0))
    shown = [group for at, group in enumerate(groups) if at not in hidden]
    return shown, [group for at, group in enumerate(groups) if at in hidden]


FLOW_PARTS = ("tested both times", "tested before only", "tested after only", "tested neither time")
FLOW_WHOLES = ("on the roster", "tested both times")


def keep_flow(flow: Sequence[Estimate], audience: str) -> list[Estimate]:
    """Keep the counts of who was tested when that may be shown.

    Parameters
    ----------
    flow : sequence of Estimate
        Counts; those about `FLOW_PARTS` add up to everybody.
    audience : str
        Who will read it.

    Returns
    -------
    list of Estimate
        All of them, or `FLOW_WHOLES` alone where a part is too small: every other count would give it away. Where
        nobody was tested twice all of them stay, since then the parts are the wholes.
    """
    parts = [one for one in flow if one.about in FLOW_PARTS]
    twice = any(one.value for one in parts if one.about == "tested both times")
    if not twice or not keep(parts, audience)[1]:
        return list(flow)
    return [one for one in flow if one.about in FLOW_WHOLES]


def is_small(estimate: Estimate, least: int) -> bool:
    """Say whether a number rests on too few students to be shown, or counts too few of them; none is no group."""
    if estimate.counted != "students":
        return False
    return estimate.n < least or (estimate.name == "count" and 0 < estimate.value < least)


SHARES_OF_STUDENTS = (
    "share_wilson",
    "share_exact",
    "share_clusters",
    "percent_agreement",
    "reliable_change",
    "item_difficulty",
)
"""Statistics that are a share of students, so that 0 or 100 percent tells about each of them."""


def tells_on_few(estimate: Estimate, audience: str) -> bool:
    """Say whether a share of students tells a reader outside the school about one or two of them.

    Parameters
    ----------
    estimate : Estimate
        Any number; only shares of students can tell.
    audience : str
        Who will read it; a teacher may know.

    Returns
    -------
    bool
        True if fewer than `FEWEST_IN_A_SHARE` students are in the share, or outside it: 0 and 100 percent
        tell about everybody.
    """
    if smallest_group(audience) == 1 or estimate.unit != "share" or estimate.name not in SHARES_OF_STUDENTS:
        return False
    inside = round(estimate.value * estimate.n)
    return min(inside, estimate.n - inside) < FEWEST_IN_A_SHARE


def merge_small_bands(bands: pd.DataFrame, audience: str) -> pd.DataFrame:
    """Join neighbouring bands of a distribution until each holds enough students, or nobody.

    Parameters
    ----------
    bands : DataFrame
        Columns low, high, before, after.
    audience : str
        Who will read it.

    Returns
    -------
    DataFrame
        As many bands as can be shown: all as they are for the teacher, none if all students together are
        too few.
    """
    least = smallest_group(audience)
    if any(0 < bands[side].sum() < least for side in ("before", "after")):
        return bands.iloc[:0]
    rows = bands.to_dict("records")
    at = 0
    while at < len(rows) and len(rows) > 1:
        if any(0 < rows[at][side] < least for side in ("before", "after")):
            other = at + 1 if at + 1 < len(rows) else at - 1
            first, second = sorted((at, other))
            rows[first : second + 1] = [_joined(rows[first], rows[second])]
            at = 0
        else:
            at += 1
    return pd.DataFrame(rows, columns=list(bands.columns))


def find_personal(text: str, personal: Iterable[str]) -> list[str]:
    """Find words of the school's own about a person in a finished text.

    Parameters
    ----------
    text : str
        A page or a table.
    personal : iterable of str
        Names (small letters) and school ids that were read.

    Returns
    -------
    list of str
        Those that stand in the text as whole words, and e-mail addresses. Names of several words are found in
        either order and in any case. A single word (``mark``, ``may``) may be an ordinary word too: it is found
        where it fills a whole cell or stands with a capital inside a sentence.
    """
    # pictures are letters by chance
    text = re.sub(r"data:[\w/+-]+;base64,[\w+/=]*", "", text)
    # a page writes O'Hara as O&#x27;Hara, and the same letter can be one sign or two
    text = unicodedata.normalize("NFC", html.unescape(text))
    found = _EMAIL.findall(text)
    # of a cell of thousands of letters in a column of names the beginning is enough
    words = (unicodedata.normalize("NFC", word[:_MOST_LETTERS]) for word in personal if len(word) > 2)
    # hundreds of names at every letter are slow; those whose words all stand in the text are few
    there = _words_of(text)
    for pattern in _patterns(word for word in words if _words_of(word) <= there):
        found += sorted(set(pattern.findall(text)))
    return found


def _words_of(text: str) -> set[str]:
    """Give the different words of a text, in small letters."""
    return set(re.findall(r"\w+", text.casefold()))


def _patterns(personal: Iterable[str]) -> Iterator[re.Pattern[str]]:
    """Make the patterns to search for: several words or an id, and single words."""
    telling, single = set(), set()
    for word in personal:
        parts = re.split(r"[\s,]+", word.strip())
        if word.isalpha():
            single.add(word.capitalize())
        # up to four digits could be any count; more of them, a leading zero or a letter tell an id apart
        elif not word.isdigit() or word.startswith("0") or len(word) > 4:
            telling |= {_SPACE.join(map(re.escape, order)) for order in (parts, [parts[-1], *parts[:-1]])}
    if telling:
        yield re.compile(rf"(?<![\w.])(?:{_any(telling)})(?![\w])", re.IGNORECASE)
    if single:
        yield re.compile(rf"(?:(?<=[>,\"])|^)(?i:{_any(single)})(?=[<,\"]|$)", re.MULTILINE)
        yield re.compile(rf"(?<=[a-z,;] )(?:{_any(single)})(?!\w)")


def _any(words: Iterable[str]) -> str:
    """Write alternatives, the longest first."""
    return "|".join(sorted(words, key=lambda word: (-len(word), word)))


def _size(group: Estimate) -> int:
    """Say how many students a group has; 0 if it does not count students."""
    if group.counted != "students":
        return 0
    return round(group.value) if group.name == "count" else group.n


def _joined(one: dict, other: dict) -> dict:
    """Join two neighbouring bands."""
    return {
        "low": one["low"], "high": other["high"], "before": one["before"] + other["before"],
        "after": one["after"] + other["after"],
    }  # fmt: skip
