"""Each kind of study in plain words: what it is, what it can say, what it cannot."""

from __future__ import annotations

from typing import Literal, NamedTuple, get_args

Code = Literal["D0", "D1", "D1b", "D1c", "D2", "D3", "D3a", "D3b", "D4", "D5", "D5b", "D6", "D7"]
CODES: tuple[str, ...] = get_args(Code)


ONE_GROUP = ("D0", "D1", "D1b", "D1c")
"""Designs in which nobody is compared."""
TOGETHER = (
    "This review takes all students together and compares no approaches, so it cannot say how much of the change came "
    "from the program."
)
"""What a review of everybody together cannot say, however students came to their approach."""


class Spoken(NamedTuple):
    """A design in plain words: its title, what it can say, and what it cannot."""

    title: str
    can: str
    cannot: str


_CAN = "This report can say "
_NO_COMPARISON = (
    "There was no comparison group, so this report cannot say how much of the change came from the program rather than "
    "from a term of singing, practice with the test, or chance."
)
_NOT_FROM_APPROACH = "This report cannot say how much of a difference came from the approach, since"
_NOT_RANDOM = "A comparison of choirs that were not assigned at random"
SPOKEN: dict[str, Spoken] = {
    "D0": Spoken(
        "One test only",
        f"{_CAN}how high these students scored, and how sure that is.",
        "There was only one test, so this report cannot say whether scores rose or fell.",
    ),
    "D1": Spoken(
        "One choir, tested before and after, with nothing to compare it with",
        f"{_CAN}by how much the scores of these students rose or fell during the term, and how sure that is.",
        _NO_COMPARISON,
    ),
    "D1b": Spoken(
        "Several choirs, tested before and after, with nothing to compare them with",
        f"{_CAN}by how much scores rose or fell during the term, and how far the choirs lie apart.",
        f"{_NO_COMPARISON} It is not a ranking of choirs or teachers.",
    ),
    "D1c": Spoken(
        "The same singers, tested many times",
        f"{_CAN}whether the level or the slope of the scores changed at a certain date.",
        "This report cannot say what caused the change, since something else may have begun on the same date.",
    ),
    "D2": Spoken(
        "A comparison in which one approach has a single choir",
        f"{_CAN}how the choirs of each approach scored, side by side.",
        f"{_NOT_FROM_APPROACH} a single choir's teacher, timetable and singers come along with it.",
    ),
    "D3": Spoken(
        f"{_NOT_RANDOM}; how alike they started is not yet known",
        f"{_CAN}how the choirs of each approach scored, side by side.",
        f"{_NOT_FROM_APPROACH} the groups may have differed from the start.",
    ),
    "D3a": Spoken(
        f"{_NOT_RANDOM} but started close together",
        f"{_CAN}how far scores were associated with the approach after adjusting for the first test, to be read with "
        "moderate caution.",
        "This report cannot say that the approach caused a difference, since the groups may differ in other ways.",
    ),
    "D3b": Spoken(
        f"{_NOT_RANDOM} and did not start close together",
        f"{_CAN}how the choirs of each approach scored, and how far apart they started.",
        f"{_NOT_FROM_APPROACH} the groups did not start alike.",
    ),
    "D4": Spoken(
        "A comparison of students assigned at random",
        f"{_CAN}by how much the program raised or lowered the scores of these students on average, with an interval.",
        "This report cannot say whether other students, teachers or schools would see the same.",
    ),
    "D5": Spoken(
        "A comparison of choirs assigned at random",
        f"{_CAN}by how much the program raised or lowered the scores of choirs like these, with an interval.",
        "This report cannot say what happened to single students, or whether other schools would see the same.",
    ),
    "D5b": Spoken(
        "A comparison of choirs assigned at random, too few for a test",
        f"{_CAN}how far apart the approaches ended, with an interval.",
        "There were too few choirs to test, so this report cannot say whether the difference is more than chance.",
    ),
    "D6": Spoken(
        "Single cases, each starting at its own date",
        f"{_CAN}whether scores changed when the program began, case after case: a functional relation for these cases.",
        "This report cannot say whether other students or choirs would change in the same way.",
    ),
    "D7": Spoken(
        "A replication of an earlier study",
        f"{_CAN}whether the result is consistent with the original under the criterion declared beforehand.",
        "This report cannot say why two studies differ.",
    ),
}  # fmt: skip
"""Code of the design -> how it is explained to a reader."""
