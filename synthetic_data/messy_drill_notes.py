"""Messy fixtures about what drill logs say was sung: patterns, syllables, words, signs, mistakes (F96 to F102)."""

from __future__ import annotations

from datetime import datetime

from messy_files import IDS, Messy
from messy_logs import LETTERED, NUMBERED, SPELT, log, tries
from workbook import text_table, workbook

LETTERS_ONLY = "one-letter syllables are read as notes of the scale"


def drill_note_fixtures() -> Messy:
    """Make the fixtures about patterns, notes and marks of drill logs."""
    made = Messy()
    for part in (_dates_for_patterns, _formulas, _systems, _octave_marks, _responses, _signs, _errors_only):
        part(made)
    return made


def _dates_for_patterns(made: Messy) -> None:
    """F96: patterns of scale numbers that a spreadsheet program made dates of."""
    cells = [(datetime(2005, 1, 3), "1 3 5", 1), (datetime(2001, 5, 3), "5 3 1", 1), ("1 2 3", "1 2 3", 1)]
    made.files["F96.xlsx"] = workbook({"Log": tries(cells, datetime(2025, 10, 6))})
    spoilt = [{"target": "", "sung": "1 3 5"}, {"target": "", "sung": "5 3 1"}, {"target": "1 2 3", "sung": "1 2 3"}]
    read = [{"target": sung, "sung": sung} for sung in ("1 3 5", "5 3 1", "1 2 3")]
    lost = [(row, "Asked", "pattern_lost") for row in (2, 3)]
    made.study(
        "F96a", "A pattern that became a date is set aside: 1-3-5 and 3-1-5 give the same date in two countries.",
        sources=log("F96.xlsx", **NUMBERED), used=3, tables={"drills": spoilt}, set_aside=lost,
    )  # fmt: skip
    made.study(
        "F96b", "Where numbers and the order of dates are declared, the pattern is read back.",
        sources=log("F96.xlsx", **NUMBERED), rules={"date_order": "month_first"}, used=3, tables={"drills": read},
        changes=[("date read back as a pattern of numbers", 2)],
    )  # fmt: skip


def _formulas(made: Messy) -> None:
    """F97: patterns that began with a sign and became a formula."""
    rows = [("Date", "Student", "Pattern", "Right"), ["2025-10-06", IDS[0], "#NAME?", 1],
            ["2025-10-06", IDS[1], "=-5+3", 0], ["2025-10-06", IDS[2], "P03", 1]]  # fmt: skip
    made.files["F97.csv"] = text_table(rows)
    made.study(
        "F97", "A pattern that a spreadsheet program took for a formula is set aside; the mark beside it counts.",
        sources=log("F97.csv"), used=3,
        tables={"drills": [{"pattern": pattern, "right": right}
                           for pattern, right in (("", True), ("", False), ("P03", True))]},
        set_aside=[(2, "Pattern", "pattern_lost"), (3, "Pattern", "pattern_lost")],
    )  # fmt: skip


def _systems(made: Messy) -> None:
    """F98: one pattern in five spellings, the last one of another system."""
    spelt = ["so mi la", "s m l", "sml", "Sol-Mi-La", "5 3 6"]
    made.files["F98.csv"] = text_table(tries([(text, text, 1) for text in spelt]))
    right = [{"target": "5 3 6", "sung": "5 3 6"}] * 4
    made.study(
        "F98a", "Four spellings of one system are one; scale numbers among them are set aside.",
        sources=log("F98.csv", **LETTERED), used=5, tables={"drills": [*right, {"target": "", "sung": ""}]},
        set_aside=[(6, "Asked", "syllable_minority"), (6, "Sung", "syllable_minority")],
        changes=[(SPELT, 6), (LETTERS_ONLY, 4)],
    )  # fmt: skip
    made.study(
        "F98b", "Where numbers are declared, the syllables are set aside, however many.",
        sources=log("F98.csv", **NUMBERED), used=5, tables={"drills": [{"target": "", "sung": ""}] * 4 + right[:1]},
        set_aside=[(row, column, "syllable_unknown" if row == 4 else "syllable_minority")
                   for row in (2, 3, 4, 5) for column in ("Asked", "Sung")],
    )  # fmt: skip
    open_rows = [(row, column, "syllable_unclear") for row in (2, 5, 6) for column in ("Asked", "Sung")]
    made.study(
        "F98c", "Undeclared, la has two readings and numbers may be marks; single letters have one.",
        sources=log("F98.csv"), used=5,
        tables={"drills": [{"target": notes, "sung": notes} for notes in ("", "5 3 6", "5 3 6", "", "")]},
        set_aside=open_rows, changes=[(SPELT, 4), (LETTERS_ONLY, 4)],
    )  # fmt: skip


def _octave_marks(made: Messy) -> None:
    """F99: the high do with a straight mark, a curly one and a prime."""
    spelt = ["d m s d'", "d m s d’", "d m s d′"]
    made.files["F99.csv"] = text_table(tries([(text, text, 1) for text in spelt]))
    made.study(
        "F99", "Curly and prime marks stand for the high octave as the straight one does.",
        sources=log("F99.csv", **LETTERED), used=3,
        tables={"drills": [{"target": "1 3 5 1'", "sung": "1 3 5 1'"}] * 3},
        changes=[(SPELT, 6), (LETTERS_ONLY, 6)],
    )  # fmt: skip


def _responses(made: Messy) -> None:
    """F100: words in place of the notes sung."""
    words = ["flat", "sang mi again", "??", "no idea", "shy", "looked at the wrong line"]
    made.files["F100.csv"] = text_table(tries([("do mi so", word, 0) for word in words]))
    said = ["flat", "repeated", "unclear", "none", "declined", ""]
    made.study(
        "F100", "Words in place of notes become one of a few categories; anything else stays a remark in the file.",
        sources=log("F100.csv", **LETTERED, errors_only=False), used=6,
        tables={"drills": [{"target": "1 3 5", "sung": "", "response": word, "right": False} for word in said]},
        changes=[("word in place of notes", 5), ("remark in place of notes left out", 1)],
    )  # fmt: skip


def _signs(made: Messy) -> None:
    """F101: ticks, crosses, strokes and circles."""
    signs = ["✔", "x", "X", "/", "o"]
    made.files["F101.csv"] = text_table(tries([("", "", sign) for sign in signs]))
    made.study(
        "F101a", "A cross, a stroke or a circle can mean right or wrong: asked about.",
        sources=log("F101.csv"), used=1,
        tables={"drills": [{"right": True}]}, set_aside=[(row, "Right", "right_unclear") for row in (3, 4, 5, 6)],
        changes=[("sign or word read as right", 1)],
    )  # fmt: skip
    made.study(
        "F101b", "Declared, they are what the study file says.",
        sources=log("F101.csv", right_words={"x": "wrong", "/": "partly", "o": "right"}), used=5,
        tables={"drills": [{"right": right} for right in (True, False, False, False, True)]},
        changes=[("sign or word read as right", 2), ("sign or word read as wrong", 2),
                 ("partly right counted as not right", 1)],
    )  # fmt: skip


def _errors_only(made: Messy) -> None:
    """F102: a log of mistakes."""
    wrong = [("do mi so", "do mi la", 0), ("do re mi", "do do mi", 0), ("so mi do", "so mi re", 0),
             ("do mi so", "do fa so", 0), ("mi re do", "mi do do", 0)]  # fmt: skip
    made.files["F102.csv"] = text_table(tries(wrong))
    made.files["F102_few.csv"] = text_table(tries(wrong[:2]))
    made.study(
        "F102a", "Where every one of five tries is wrong, the log is taken for one of mistakes only.",
        sources=log("F102.csv", **LETTERED), used=5, tables={"drills": [{"right": False, "errors_only": True}] * 5},
    )  # fmt: skip
    made.study(
        "F102b", "Two wrong tries show nothing; the study file can still say so.",
        sources=log("F102_few.csv", **LETTERED, errors_only=True), used=2,
        tables={"drills": [{"right": False, "errors_only": True}] * 2},
    )  # fmt: skip
    made.study(
        "F102c", "Two wrong tries are two wrong tries.", sources=log("F102_few.csv", **LETTERED), used=2,
        tables={"drills": [{"right": False, "errors_only": False}] * 2},
    )  # fmt: skip
