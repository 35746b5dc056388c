"""The district's tables as its five schools and the grant office lay them out, still without a fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta

import numpy as np
from confusions import sung_instead
from district import STUDENTS, District
from district_mess import OLD_SHEET, TWO_RATERS
from draws import Draws
from melodies import DISTRICT_TEST, NOTES
from mess import Page
from plan import CHOIR_NAMES, CHOIR_OF, CHOIRS, RHYTHM_BEATS, SCHOOLS, WAVE_DAYS, WAVE_WORDS, School

FORM_NAMES = tuple(NOTES)
OWN_TEACHER, BLIND_RATER = "own teacher", "blind rater"
SYLLABLE_RIGHT = {True: 0.97, False: 0.85}
"""Chance that the syllable said was right, after a right and after a wrong pitch."""

_PITCH, _RHYTHM = f"Pitch (of {DISTRICT_TEST.most})", f"Rhythm (of {RHYTHM_BEATS})"
_LONG = ("ID", "Choir", "Wave", "Date", "Form", "Marked by", _PITCH, _RHYTHM)
_MISSING = {"absent": "abs", "left": "left"}
_SECOND = ["ID", "Wave", "Form", "Marked by", _PITCH]
OLD_ROWS = 12
_TREBLE, _MIXED = ("Treble 1", "Treble 2", "Baritone"), ("Soprano", "Alto", "Tenor", "Bass")


def district_pages(district: District) -> list[Page]:
    """Lay out every file of marks, the roster and the scored notes, as they would be without a fault.

    Parameters
    ----------
    district : District
        What was drawn.

    Returns
    -------
    list of Page
        Sheets in the order of the files.
    """
    hobnail, wicket, thimble, ninepin, corduroy = SCHOOLS
    rows = {school: _long_rows(district, school) for school in SCHOOLS}
    heard = _second_rater(district)
    blind = {(student, wave): points for student, wave, *_, points in heard}
    there = {(row[0], row[2]) for row in rows[ninepin]}
    return [
        *_sheet_per_choir(rows[hobnail], rows[hobnail][:OLD_ROWS]),
        *_wide_sheets(district, wicket),
        Page("thimble_hill.csv", "", [list(_LONG), *rows[thimble]]),
        Page("ninepin_row.xlsx", "Reading tests", _two_raters(rows[ninepin], blind)),
        Page("corduroy_road.csv", "", [list(_LONG), *rows[corduroy]]),
        Page("roster.csv", "", _roster(district)),
        Page("second_rater.csv", "", [_SECOND, *(row for row in heard if (row[0], row[1]) not in there)]),
        Page("melodies.csv", "", _melodies()),
        Page("items.csv", "", _items(district)),
    ]


def _school_students(school: School) -> np.ndarray:
    """Find the students of a school."""
    return np.flatnonzero([CHOIRS[choir].school is school for choir in CHOIR_OF])


def _two_marks(district: District, student: int, wave: int) -> list[int | str]:
    """Give points for pitch and rhythm of one sitting, or twice the word that stands for none."""
    if (state := district.state[student, wave]) != "tested":
        return [_MISSING[state]] * 2
    return [int(district.marked[student, wave].sum()), int(district.rhythm[student, wave])]


def _long_rows(district: District, school: School) -> list[list]:
    """Lay out one row for each student and wave, choir by choir; movers come last in their new choir."""
    rows = []
    for student in _school_students(school):
        for wave, word in enumerate(WAVE_WORDS):
            choir = int(district.choir[student, wave])
            day = WAVE_DAYS[wave] + timedelta(days=choir % 4)
            tested = district.state[student, wave] == "tested"
            sat = [day.isoformat(), FORM_NAMES[district.form[student, wave]], OWN_TEACHER] if tested else [""] * 3
            row = [district.ids[student], CHOIR_NAMES[choir], word, *sat, *_two_marks(district, student, wave)]
            rows.append((choir, choir != district.choir[student, 0], row))
    return [row for _, _, row in sorted(rows, key=lambda entry: entry[:2])]


def _sheet_per_choir(rows: Sequence[list], old: Sequence[list]) -> list[Page]:
    """Lay out one sheet for each choir, and one of another year that somebody kept and hid."""
    sheets: dict[str, list] = {}
    for identity, choir, *rest in rows:
        sheets.setdefault(choir, [[_LONG[0], *_LONG[2:]]]).append([identity, *rest])
    sheets[OLD_SHEET] = [[_LONG[0], *_LONG[2:]], *([row[0], *row[2:6], 9, 11] for row in old)]
    return [Page("hobnail_lane.xlsx", name, sheet) for name, sheet in sheets.items()]


def _two_raters(rows: Sequence[list], blind: Mapping[tuple[str, str], int]) -> list[list]:
    """Lay out the marks of two raters side by side, each under the rater's initials."""
    table = [["ID", "Choir", "Wave", "Date", "Form", *TWO_RATERS, _RHYTHM]]
    return table + [[*row[:5], row[6], blind.get((row[0], row[2]), ""), row[7]] for row in rows]


def _wide_sheets(district: District, school: School) -> list[Page]:
    """Lay out a column for each wave and kind of mark; here all sang form A first, then B, then A."""
    columns = [f"{kind} {word} (of {most})" for word in WAVE_WORDS
               for kind, most in (("Pitch", DISTRICT_TEST.most), ("Rhythm", RHYTHM_BEATS))]  # fmt: skip
    sheets: dict[str, list] = {}
    for student in _school_students(school):
        cells = [cell for wave in range(len(WAVE_WORDS)) for cell in _two_marks(district, student, wave)]
        sheet = sheets.setdefault(CHOIR_NAMES[CHOIR_OF[student]], [["ID", *columns]])
        sheet.append([district.ids[student], *cells])
    return [Page("wicket_lane.xlsx", name, sheet) for name, sheet in sheets.items()]


def _roster(district: District) -> list[list]:
    """List the students of each choir; members of two choirs stand in both, first in the one that counts."""
    draws = Draws("two_larches", "roster")
    grade, voice = draws.uniform(STUDENTS), draws.uniform(STUDENTS)
    rows = []
    for student in range(STUDENTS):
        first, last, second = (int(at) for at in (*district.choir[student, [0, 2]], district.second_choir[student]))
        school = CHOIRS[first].school
        parts = _TREBLE if len(school.grades) == len(_TREBLE) else _MIXED
        age = school.grades[min(int(grade[student] * 2) + CHOIRS[first].level, len(school.grades) - 1)]
        part = parts[int(voice[student] * len(parts))]
        moved = CHOIR_NAMES[last] if last != first else ""
        for choir in (first, second) if second >= 0 else (first,):
            rows.append((choir, choir != first, [district.ids[student], CHOIR_NAMES[choir], school.name, age, part,
                                                 CHOIRS[choir].approach, moved]))  # fmt: skip
    header = ["Student ID", "Choir", "School", "Grade", "Voice part", "Approach", "New choir"]
    return [header, *(row for _, _, row in sorted(rows, key=lambda entry: entry[:2]))]


def _heard_twice(district: District) -> np.ndarray:
    """List (student, wave) of the recordings that the blind rater marked, in a shuffled order."""
    heard = np.argwhere(district.double & (district.state == "tested"))
    return heard[Draws("two_larches", "shuffle").order(len(heard))]


def _second_rater(district: District) -> list[list]:
    """List the blind rater's totals in the order of hearing."""
    points = district.blind.sum(axis=(-2, -1))
    return [[district.ids[student], WAVE_WORDS[wave], FORM_NAMES[district.form[student, wave]], BLIND_RATER,
             int(points[student, wave])] for student, wave in _heard_twice(district)]  # fmt: skip


def _melodies() -> list[list]:
    """List the scored notes of both forms with their tags."""
    rows = [[form, note.melody, note.place, note.degree, note.approach, int(note.drilled)]
            for form, melodies in NOTES.items() for melody in melodies for note in melody]  # fmt: skip
    return [["form", "melody", "note", "degree", "approach", "drilled"], *rows]


def _items(district: District) -> list[list]:
    """List every scored note: what the teacher marked, what was sung instead, the syllable, the blind rater's mark."""
    sung = sung_instead(Draws("two_larches", "confusions"), district.form)
    likely = np.where(district.right, SYLLABLE_RIGHT[True], SYLLABLE_RIGHT[False])
    syllable = Draws("two_larches", "syllables").chance(likely)
    blind = np.where(district.double[..., None, None], district.blind.astype(int), -1)
    rows = []
    for student, wave in np.argwhere(district.state == "tested"):
        form = FORM_NAMES[district.form[student, wave]]
        notes = [note for melody in NOTES[form] for note in melody]
        heard = (values[student, wave].ravel().tolist() for values in (district.marked, sung, syllable, blind))
        for note, marked, instead, said, second in zip(notes, *heard, strict=True):
            rows.append([district.ids[student], WAVE_WORDS[wave], form, note.melody, note.place, int(marked),
                         "" if marked else instead, int(said), "" if second < 0 else second])  # fmt: skip
    return [["student", "wave", "form", "melody", "note", "marked", "sung_instead", "syllable", "blind"], *rows]
