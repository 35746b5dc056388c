"""A school's headings -> our names: recognised with the evidence, decided by a person in the study file."""

from __future__ import annotations

import re
from dataclasses import dataclass

_HEADINGS = {
    "student": ("id", "student id", "studentid", "student number", "student no", "id number", "id no", "sid", "sis id",
                "pupil id", "singer id", "code", "student code", "study id", "local id"),
    "name": ("name", "student", "student name", "singer", "pupil", "full name", "first name", "last name", "first",
             "last", "surname", "given name", "family name", "pupil name", "singer name", "last, first",
             "last name, first name", "surname, first name", "name (last, first)", "student (last, first)",
             "student name (last, first)"),
    "choir": ("choir", "ensemble", "class", "period", "group name", "course", "section name"),
    "school": ("school", "site", "building"),
    "grade": ("grade", "year", "grade level", "yr"),
    "voice_part": ("voice", "voice part", "part", "section"),
    "approach": ("approach", "group", "condition", "arm", "treatment", "method"),
    "experience": ("experience", "years in choir", "years"),
    "consent": ("consent", "research consent", "permission"),
    "moved_to": ("moved to", "transferred to", "new school", "left for"),
    "occasion": ("occasion", "wave", "when", "test", "test name", "time", "term", "window", "assessment"),
    "date": ("date", "test date", "date tested", "tested on", "day"),
    "form": ("form", "test form", "version"),
    "rater": ("rater", "scorer", "marked by", "scored by", "judge"),
    "attempt": ("attempt", "try", "attempt number"),
    "points": ("score", "points", "mark", "marks", "total", "result", "pitch", "rhythm", "reading", "percent",
               "notes right", "correct"),
    "max_points": ("max", "out of", "max points", "points possible", "possible", "maximum"),
}  # fmt: skip
_FIELD_OF = {heading: field for field, headings in _HEADINGS.items() for heading in headings}

_BEFORE, _MIDDLE, _AFTER, _LATER = "pre", "mid", "post", "later"
_OCCASION_WORDS = {
    _BEFORE: ("pre", "pretest", "before", "baseline", "boy", "beginning of year"),
    _MIDDLE: ("mid", "midterm", "moy", "middle of year"),
    _AFTER: ("post", "posttest", "after", "eoy", "end of year", "final test"),
    _LATER: ("later", "delayed", "retention", "follow up", "followup"),
}
_NAMED = {word: occasion for occasion, words in _OCCASION_WORDS.items() for word in words}
_SEASONS = {"fall": 3, "autumn": 3, "winter": 6, "spring": 9, "summer": 12}
_MONTHS = ("aug", "sep", "oct", "nov", "dec", "jan", "feb", "mar", "apr", "may", "jun", "jul")
_SAYS_NOTHING = ("score", "scores", "points", "mark", "marks", "test", "total", "result", "percent", "of", "the", "%",
                 "correct")  # fmt: skip
_NUMBERED = re.compile(r"(?:t|w|wave|time|test|round)\s?(\d)|(\d)(?:st|nd|rd|th) (?:test|time|wave|round)")
FAMILIES = ("named", "dated", "calendar", "numbered")
"""Families of words for occasions; of two in one heading the earlier family tells the occasion."""
_SAME_TIME, _LAST_OF_YEAR = 2, 5
"""Months by which a month may lie from the middle of its season, and the rank of December in a school year."""
_YEAR = re.compile(r"(?<!\d)((?:19|20)\d\d)(?:\s?[-/\u2013]\s?(?:20)?(\d\d))?(?!\d)|'(\d\d)\b")
_DAY = re.compile(r"\b(?:19|20)\d\d-\d\d-\d\d\b")
_OF_ANYTHING = {"before", "after", "later", "delayed", "mid", "boy"}
"""Words that name an occasion only where nothing else stands beside them: After School Choir is a choir."""
_FORM = re.compile(r"\bform[\s.:-]+([a-z]|\d)\b")
_CAPITAL_INSIDE = re.compile(r"(?<=[a-z0-9])(?=[A-Z][a-z])")
_ATTEMPT = re.compile(r"\b(?:attempt|try|trial|take)\s*#?(\d)\b|\b(\d)(?:st|nd|rd|th)\s+(?:attempt|try|trial|take)\b")
_MAXIMUM = re.compile(r"[(/\[]\s*(?:max\.?|out of|of|/)?\s*(\d+)\s*(?:points|pts)?\s*[)\]]?\s*$|\bout of (\d+)\s*$")


@dataclass(frozen=True, slots=True)
class MarkHeading:
    """What the heading of a mark column seems to say.

    ``whens`` gives the order within each family of words for occasions that the heading has, years and days among
    them, the family first that tells most; ``said`` is the heading's own words for its occasion.
    """

    column: str
    measure: str
    whens: tuple[tuple[str, float], ...] = ()
    max_points: float | None = None
    attempt: int = 0
    form: str = ""
    said: str = ""


_GENERIC_SHEETS = ("sheet", "tabelle", "scores", "data", "roster", "marks", "feuil", "hoja", "blad")
_ASKS_FOR_ID = re.compile(r"\bstudent (?:id|number|no)$")
_LONGEST_MEASURE = 4
_LONGEST_HEADING = 200
"""Letters beyond which a cell is no heading of marks but a note (our own bound)."""


def plain(heading: object) -> str:
    """Write a heading the way headings are compared: small letters, single spaces, no punctuation at the ends."""
    return " ".join(str(heading).replace("_", " ").replace("\ufeff", "").casefold().split()).strip(" .:*?#")


def field_of(heading: object) -> str:
    """Name the field that a heading means by itself; empty when it means none of ours."""
    word = plain(heading)
    return _FIELD_OF.get(word) or ("student" if _ASKS_FOR_ID.search(word) else "")


def occasion_rank(text: object) -> tuple[str, float] | None:
    """Place a word for an occasion within its family of words.

    Parameters
    ----------
    text : str
        ``Pre``, ``Fall``, ``Sept``, ``BOY``, ``T1``, ``Test 2``...

    Returns
    -------
    tuple of (str, float) or None
        Family and order within it; ``("named", ...)`` orders come with the word itself. ``None`` for any
        other word. Words of one family can be put in order, words of two families cannot.
    """
    word = re.sub(r"[-_. ]+", " ", plain(text)).strip()
    squeezed = word.replace(" ", "")
    for candidate in (word, squeezed):
        if candidate in _NAMED:
            return ("named", float((_BEFORE, _MIDDLE, _AFTER, _LATER).index(_NAMED[candidate])))
    if word in _SEASONS:
        return ("calendar", float(_SEASONS[word]))
    if re.fullmatch(r"[a-z]{3,9}", word) and word[:3] in _MONTHS and _is_month(word):
        return ("calendar", float(_MONTHS.index(word[:3])) + 1)
    if match := _NUMBERED.fullmatch(word):
        return ("numbered", float(match[1] or match[2]))
    return None


def named_occasion(rank: tuple[str, float]) -> str:
    """Name the occasion of a rank of the ``named`` family."""
    return (_BEFORE, _MIDDLE, _AFTER, _LATER)[int(rank[1])]


def mark_heading(heading: object) -> MarkHeading | None:
    """Read the heading of a column of marks.

    Parameters
    ----------
    heading : str
        ``Pre``, ``Pitch Fall (out of 20)``, ``Sept /16``, ``pretest.1``, ``Spring 2026 Post (Form B)``...

    Returns
    -------
    MarkHeading or None
        ``None`` where the heading names no occasion and no kind of mark, or two occasions, as a difference does.
    """
    text = plain(_CAPITAL_INSIDE.sub(" ", str(heading)))
    if len(text) > _LONGEST_HEADING:
        return None
    most = _most(text)
    maximum = float(most[1] or most[2]) if most else None
    bare = text[: most.start()].strip() if most else text
    tried = _ATTEMPT.search(bare)
    attempt = int(tried[1] or tried[2]) if tried else 0
    bare = _ATTEMPT.sub(" ", bare).strip(" -:,") if tried else bare
    if field_of(bare) == "points" or (tried and not bare):
        return MarkHeading(str(heading), _measure([bare]), (), maximum, attempt)
    if maximum is None and ("%" in bare or "percent" in bare.split()):
        maximum = 100.0
    form = _FORM.search(bare)
    timed = times_in(_FORM.sub(" ", bare))
    if timed is None or not any(family in FAMILIES for family, _ in timed[0]):
        return None
    whens, rest = timed
    if field_of(" ".join(rest)) not in ("", "points", "occasion"):
        return None  # "Form Sept" tells the form of a test, not its mark
    said = " ".join(word for word in re.split(r"[\s,()\[\]]+", _FORM.sub(" ", bare)) if word and word not in rest)
    return MarkHeading(str(heading), _measure(rest), whens, maximum, attempt, form[1].upper() if form else "", said)


def _most(text: str) -> re.Match | None:
    """Find where a heading tells the most points; a year in brackets or of two numbers is none."""
    most = _MAXIMUM.search(text)
    is_year = most and any(year.end() > most.start() for year in _YEAR.finditer(text))
    return None if is_year else most


def times_in(text: str) -> tuple[tuple[tuple[str, float], ...], list[str]] | None:
    """Find every word for an occasion in a text, and its year or day.

    Parameters
    ----------
    text : str
        A heading, or the name of a sheet or a file.

    Returns
    -------
    (tuple of (str, float), list of str) or None
        The order within each family, as `MarkHeading.whens`, and the words that are left. ``None`` where two words of
        one family name two occasions; a month inside a season named is one with it.
    """
    text = plain(text)
    day = _DAY.search(text)
    text = _DAY.sub(" ", text)
    year = _YEAR.search(text)
    rest = [word for word in re.split(r"[\s.\-/:,%()\[\]\u2013+&]+", _YEAR.sub(" ", text)) if word]
    found: dict[str, float] = {}
    while place := _first_occasion(rest):
        start, end, (family, order) = place
        is_season = " ".join(rest[start:end]) in _SEASONS
        del rest[start:end]
        known = found.setdefault(family, order)
        if known != order and (family != "calendar" or abs(known - order) > _SAME_TIME):
            return None
        if not is_season:
            found[family] = order
    found |= {"day": float(day[0].replace("-", ""))} if day else {}
    found |= _years(year, found.get("calendar")) if year else {}
    return tuple(sorted(found.items(), key=lambda pair: (*FAMILIES, "year", "day").index(pair[0]))), rest


def occasion_of(name: str) -> str:
    """Name the occasion of which the name of a sheet or a file says that it is its own; empty where it says none.

    Parameters
    ----------
    name : str
        ``pretest sept``, ``Treble post 2026``, ``BOY``...

    Returns
    -------
    str
        Only for words that tell the occasion by themselves, and not for names with two of them.
    """
    timed = times_in(name)
    order = dict(timed[0]).get("named") if timed else None
    doubtful = _OF_ANYTHING & set(re.split(r"[\s\-]+", plain(name))) and not is_only_time(name)
    return "" if order is None or doubtful else named_occasion(("named", order))


def is_only_time(name: str) -> bool:
    """Say whether a name is that of an occasion and of nothing else, as ``Fall`` or ``Pre test 2026`` are."""
    timed = times_in(name)
    return bool(timed and timed[0]) and all(word in _SAYS_NOTHING for word in timed[1])


def _first_occasion(words: list[str]) -> tuple[int, int, tuple[str, float]] | None:
    """Find the longest run of words that names an occasion, the first of equals: where it begins and ends, its rank."""
    for size in (len(words), 3, 2, 1):
        for start in range(len(words) - size + 1):
            if size and (rank := occasion_rank(" ".join(words[start : start + size]))):
                return start, start + size, rank
    return None


def _years(year: re.Match, order: float | None) -> dict[str, float]:
    """Date an occasion by the year beside it: school years in order; a winter may be of two years and stays undated."""
    first = int(year[1] or f"20{year[3]}")
    is_school_year = bool(year[2]) and (first + 1) % 100 == int(year[2])
    if order is None or (order == _SEASONS["winter"] and not is_school_year):
        return {"year": float(first)}
    starts = first if is_school_year or order <= _LAST_OF_YEAR else first - 1
    return {"dated": 12.0 * starts + order}


def day_heading(heading: object) -> tuple[str, float] | None:
    """Read the heading of a column of days of one occasion, such as ``Date Fall`` or ``Post date``: its rank."""
    words = plain(heading).split()
    rest = [word for word in words if word != "date"]
    return occasion_rank(" ".join(rest)) if rest and len(rest) == len(words) - 1 else None


def _is_month(word: str) -> bool:
    """Say whether a word is a month or its short form, not just a word that begins like one."""
    months = ("august", "september", "october", "november", "december", "january", "february", "march", "april",
              "june", "july")  # fmt: skip
    return word in ("sept", "may") or len(word) == 3 or any(month.startswith(word) for month in months)


def _measure(words: list[str]) -> str:
    """Name what was marked from the words of a heading that do not name the occasion."""
    kept = [word for word in words if word and word not in _SAYS_NOTHING]
    if not kept:
        return "total"
    if len(kept) > _LONGEST_MEASURE:
        return "total"  # a question such as "how many notes did you get right" names no measure
    return f"test {kept[0]}" if len(kept) == 1 and kept[0].isdigit() else " ".join(kept)


def is_generic(sheet_name: str) -> bool:
    """Say whether a sheet bears a name that spreadsheet programs or people give to any sheet."""
    return sheet_name.casefold().strip(" 0123456789").rstrip() in _GENERIC_SHEETS
