"""Ids that look like any number: found where ids stand or where many stand together, and not among ordinary numbers."""

import random
import string

import pytest

from kit.report.privacy.short_ids import ShortIds, is_short, plain_heading

FOUR = [str(number) for number in random.Random(1).sample(range(1000, 10_000), 40)]
ROWS = [str(number) for number in range(1, 41)]
BLOCK = [str(number) for number in range(101, 141)]
INITIALS = ["".join(random.Random(at).choices(string.ascii_uppercase, k=2)) for at in range(30)]


@pytest.mark.parametrize(
    ("word", "short"),
    [("7", True), ("4711", True), ("JS", True), ("b2", True), ("0417", False), ("20417", False), ("P01", False), ("", False)],
)  # fmt: skip
def test_which_ids_are_short(word, short):
    """Up to four digits without a leading zero, and one or two letters; all others are searched for as words."""
    assert is_short(word) is short


@pytest.mark.parametrize("heading", ["Student ID", "student_id", "StudentID", "ID", "Name", "Pupil no.", "Singer code"])
def test_one_id_under_a_heading_of_ids_is_found(heading):
    """However few stand there, and whatever the program made of the number."""
    assert ShortIds(ROWS).in_column(heading, ["8", "x", "99"]) == ["8"]
    assert ShortIds(FOUR).in_column(heading, [f"{FOUR[0]}.0"]) == [FOUR[0]]


@pytest.mark.parametrize("heading", ["Students", "n", "Number", "Code", "Based on", "Row", "", "School code", "No"])
def test_ordinary_numbers_under_other_headings_are_none(heading):
    """Counts, numbers of rows and years may be somebody's id too; three of many are no list."""
    assert ShortIds(ROWS).in_column(heading, [str(number) for number in range(1, 60)]) == []
    assert ShortIds(BLOCK).in_column(heading, ["110", "112", "120", "135", "90", "200", "101"]) == []
    assert ShortIds([*FOUR, "2025", "2026"]).in_column(heading, ["2025", "2026", *map(str, range(1000, 1100))]) == []


def test_ids_that_stand_together_are_found_under_any_heading():
    """Three of scattered ones, or a list of nearly all that lie close; not where rows are numbered."""
    assert ShortIds(FOUR).in_column("Row", FOUR[:3]) == sorted(FOUR[:3])
    assert ShortIds(BLOCK).in_column("What", BLOCK[:38]) == BLOCK[:38]
    assert ShortIds(ROWS).in_column("What", ROWS) == []
    assert len(ShortIds(INITIALS).in_column("", [*INITIALS[:9], "No"])) == 9


@pytest.mark.parametrize(
    ("text", "found"),
    [("student 8 sang", ["8"]), ("Student ID: 8.", ["8"]), ('<td data-student="8">', ["8"]), ("pupil no. 8", ["8"]),
     ("id=8", ["8"]), ("singer #8,", ["8"]), ("8 students", []), ("one student 8 points", []), ("student 8.5", []),
     ("each student 8 %", []), ("students 8", []), ("Student (1908)", []), ("grade 8", []), ("candidate 80", [])],
)  # fmt: skip
def test_an_id_after_a_word_for_one_person_is_found(text, found):
    """And no number that counts or measures."""
    assert ShortIds(ROWS).in_text(text) == found


def test_lists_in_sentences_are_searched():
    """Three scattered ids with commas between them; three counts are none."""
    told = f"Not tested: {FOUR[3]}, {FOUR[7]} and {FOUR[9]}."
    assert ShortIds(FOUR).in_text(told.replace(" and ", ", and ")) == sorted([FOUR[3], FOUR[7], FOUR[9]])
    assert ShortIds(FOUR).in_text(told) == sorted([FOUR[3], FOUR[7], FOUR[9]])
    assert ShortIds(ROWS).in_text("Weeks 12, 15, and 19.") == []


def test_letters_are_ids_only_as_capitals_in_a_sentence():
    """The ids of and is are words too."""
    short = ShortIds(["is", "of", "js"])
    assert short.in_text("a student is one, the id of a singer") == []
    assert short.in_text("student JS") == ["JS"]


def test_without_short_ids_nothing_is_searched():
    """Long ones are words."""
    assert ShortIds(["quill ferbrake", "00417"]).in_text("student 417, id 00417") == []
    assert ShortIds([]).in_column("ID", ["8"]) == []


def test_headings_are_compared_without_signs():
    """As programs and people write them."""
    assert [plain_heading(one) for one in ("Student_ID", "studentId", "  Pupil no.", "ÉLÈVE")] == [
        "student id", "student id", "pupil no", "élève",
    ]  # fmt: skip


@pytest.mark.parametrize("seed", range(5))
def test_ordinary_columns_raise_no_alarm_whatever_the_roster(seed):
    """Counts of meetings, minutes and students of random choirs beside random rosters of two to four digits."""
    draw = random.Random(seed)
    for digits in (2, 3, 4):
        roster = draw.sample(range(10 ** (digits - 1), 10**digits), 40)
        short = ShortIds(map(str, roster))
        for _ in range(40):
            cells = [str(round(draw.gauss(10 ** (digits - 1) * 3, 10 ** (digits - 1)))) for _ in range(14)]
            assert short.in_column("Logged", cells) == []
