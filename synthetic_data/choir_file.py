"""The one choir: 22 singers, one melody before and after a term, and the workbook their teacher keeps."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from workbook import workbook
from world import TERM_MELODY, Array, codes, expected_right, items_of, sing, stream

SEED = 417
FILE = "Treble 2 fall term.xlsx"
SINGERS = 22
MELODY = items_of(TERM_MELODY)
ABILITY, ABILITY_SPREAD, DAY_SPREAD = 0.25, 1.0, 0.45
GROWTH, GROWTH_SPREAD = 0.65, 0.35

NAMES = (
    "Nettlebed, Pim", "Thistlewick, Odo", "Saltmarsh, Ivo", "Quillfeather, Tansy", "Foxglove, Bram",
    "Pennywhistle, Lark", "Oddlestone, Fern", "Marrowfat, Juno", "Winkle, Sorrel", "Bogmyrtle, Zeb", "Cloudberry, Moth",
    "Hazelwhit, Teasel", "Candlewick, Mab", "Dewpond, Tam", "Emberly-Moss, Kit", "Figgle, Wren", "Gorsebush, Nan",
    "Hobthrush, Jem", "Inkcap, Lil", "Jackstraw, Perrin", "Kettlewell-Rush, Ada", "Larkspurrow, Cob",
)  # fmt: skip
VOICES = ("S1",) * 8 + ("S2",) * 8 + ("A",) * 6


def draw_abilities(rng: np.random.Generator, singers: int) -> tuple[Array, Array]:
    """Draw each singer's ability on the two occasions, in logits."""
    person = rng.normal(ABILITY, ABILITY_SPREAD, singers)
    growth = rng.normal(GROWTH, GROWTH_SPREAD, singers)
    day = rng.normal(0, DAY_SPREAD, (2, singers))
    return person + day[0], person + growth + day[1]


def draw_points(rng: np.random.Generator, singers: int = SINGERS) -> tuple[Array, Array]:
    """Draw points of 16 in September and December for singers of this choir's kind."""
    return tuple(sing(theta, MELODY, rng).sum(axis=1).astype(float) for theta in draw_abilities(rng, singers))


def expected_points(rng: np.random.Generator, singers: int) -> tuple[Array, Array]:
    """Work out each drawn singer's expected points, for the known truth."""
    return tuple(expected_right(theta, MELODY).sum(axis=1) for theta in draw_abilities(rng, singers))


def make_one_choir(folder: Path) -> None:
    """Write the teacher's workbook into ``folder/one_choir``."""
    place = folder / "one_choir"
    place.mkdir(parents=True, exist_ok=True)
    sheets = {"Treble 2": _score_sheet(), "Seating": _seating_sheet()}
    (place / FILE).write_bytes(workbook(sheets, dress=_set_widths))


def _score_sheet() -> list[list]:
    """Lay out the marks as the teacher wrote them."""
    before, after = draw_points(stream(SEED, "points"))
    ids = _ids()
    grades = stream(SEED, "grades").choice([9, 10, 11], SINGERS, p=[0.5, 0.35, 0.15])
    rows = [
        [name, school_id, voice, int(grade), *_written(at, int(pre), int(post))]
        for at, (name, school_id, voice, grade, pre, post) in enumerate(
            zip(NAMES, ids, VOICES, grades, before, after, strict=True)
        )
    ]
    tested = [[row[column] for row in rows if isinstance(row[column], int)] for column in (4, 5)]
    means = [round(sum(marks) / len(marks), 1) for marks in tested]
    return [
        ["Treble 2, 3rd period"], ["Reading test, fall term"],
        ["Name", "ID", "Voice", "Grade", "Sept", "Dec", "Remarks"], *rows,
        ["Class avg", None, None, None, *means], ["n=21"],
    ]  # fmt: skip


def _written(at: int, pre: int, post: int) -> list:
    """Write the two marks and the remark of a singer: plain numbers with a few exceptions."""
    of_sixteen = (f"{pre}/16", f"{post}/16")
    exceptions = {
        1: [of_sixteen[0], of_sixteen[1], None], 4: [pre, "abs", "flu, no time to make up"],
        6: [pre, of_sixteen[1], None], 9: ["excused", post, None], 12: [pre, None, "left in November"],
        15: [of_sixteen[0], post, None], 19: [None, post, "joined in October"],
    }  # fmt: skip
    return exceptions.get(at, [pre, post, None])


def _ids() -> list[str]:
    """Draw the school's five-digit ids, as text with their leading zeros."""
    drawn = codes(stream(SEED, "ids"), SINGERS, letters="0123456789", length=5)
    return ["00417", *drawn[1:]]


def _seating_sheet() -> list[list]:
    """Lay out a seating plan, which holds no marks."""
    given = [name.split(", ")[1] for name in NAMES]
    return [["Back row", *given[:8]], ["Middle row", *given[8:16]], ["Front row", *given[16:]], ["Piano on the left"]]


def _set_widths(worksheet: object) -> None:
    """Give the name and remark columns room."""
    for letter, width in (("A", 24), ("G", 26)):
        worksheet.column_dimensions[letter].width = width
