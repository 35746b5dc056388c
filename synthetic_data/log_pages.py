"""The drill logs laid out as each of the five teachers keeps them, still without a fault."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from district import District
from drill_logs import PATTERNS, Session, Try, choir_log
from melodies import DEGREES
from mess import Page
from plan import CHOIRS, SCHOOLS, School

LOG = ("Date", "Choir", "Student", "Minutes", "Stage", "Activity", "Pattern", "Asked", "Try", "Sung", "Pitch ok",
       "Syllable ok", "Correction", "Class did")  # fmt: skip
LOG_FILES = {
    "T1": "hobnail_lane_log.csv", "T2": "wicket_lane_log.csv", "T3": "thimble_hill_log.xlsx",
    "T4": "ninepin_row_log.xlsx", "T5": "corduroy_road_log.csv",
}  # fmt: skip

_NAMES = ("do", "re", "mi", "fa", "so", "la", "ti")
_WITH_TE = ("doh", "ray", "me", "fah", "soh", "lah", "te")
_HIGH = "'"


def log_pages(district: District) -> list[Page]:
    """Lay out the list of patterns and the log of each teacher.

    Parameters
    ----------
    district : District
        Whose students are heard.

    Returns
    -------
    list of Page
        A line for each class session, and below it one for each try of a student.
    """
    patterns = [["pattern", "notes"], *([code(at), " | ".join(map(DEGREES.get, PATTERNS[at]))]
                                        for at in range(len(PATTERNS)))]  # fmt: skip
    return [Page("patterns.csv", "", patterns), *(_log(district, school) for school in SCHOOLS)]


def code(pattern: int) -> str:
    """Code of a pattern: P01 and so on."""
    return f"P{pattern + 1:02}"


def _log(district: District, school: School) -> Page:
    """Lay out the log of one teacher, choir by choir."""
    write = _SPELLING[school.teacher]
    rows: list[list] = [list(LOG)]
    for at, choir in enumerate(CHOIRS):
        for session, tries in choir_log(district, at) if choir.school is school else ():
            rows.append(_session_line(session))
            rows += [_try_line(tried, write) for tried in tries]
    file = LOG_FILES[school.teacher]
    return Page(file, "Log" if file.endswith("xlsx") else "", rows)


def _session_line(session: Session) -> list:
    """Write what the class did."""
    patterns, nothing = " ".join(map(code, session.patterns)), [""] * 6
    return [session.day.isoformat(), session.choir.name, "", session.minutes, session.stage.replace("_", " "),
            session.activity, patterns, *nothing, session.rating]  # fmt: skip


def _try_line(tried: Try, write: Callable[[tuple[int, ...]], str]) -> list:
    """Write what one student sang."""
    return [tried.day.isoformat(), tried.choir.name, tried.student, "", "", "", code(tried.pattern),
            write(PATTERNS[tried.pattern]), tried.number, write(tried.sung), int(tried.pitch_right),
            int(tried.syllable_right), tried.correction, ""]  # fmt: skip


def _spelling(names: tuple[str, ...], between: str, low: str) -> Callable[[tuple[int, ...]], str]:
    """Make the function that writes steps above do in the names and octave marks of a class."""
    marks = {-1: low, 0: "", 1: _HIGH}
    return lambda steps: between.join(names[step % 7] + marks[step // 7] for step in steps)


def _in_words(steps: tuple[int, ...]) -> str:
    """Write steps above do as low so, high do."""
    return " | ".join(DEGREES[step] for step in steps)


_SPELLING: Mapping[str, Callable[[tuple[int, ...]], str]] = {
    "T1": _spelling(_NAMES, " ", ","), "T2": _spelling(_WITH_TE, " ", ","), "T3": _spelling(_NAMES, "-", "₁"),
    "T4": _spelling(tuple("1234567"), "-", "₁"), "T5": _in_words,
}  # fmt: skip
