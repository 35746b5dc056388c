"""Who a row is about: ids, names, random study ids."""

import re

import pytest

from kit.errors import StudyProblems
from kit.load.people.keys import Crosswalk, could_be, id_text, is_partial, name_key, widths_disagree


@pytest.mark.parametrize(
    ("value", "text"),
    [("00123", "00123"), (123, "123"), (123.0, "123"), ("12E3", "12E3"), ("NA", "NA"), ("NULL", "NULL"),
     (True, "TRUE"), (None, ""), (" a  b ", "a b")],
)  # fmt: skip
def test_ids_are_text_as_the_spreadsheet_shows_them(value, text):
    """No id becomes a number, and none becomes missing."""
    assert id_text(value) == text


@pytest.mark.parametrize("name", ["Lee, Ann", "Ann Lee", "Ann  Lee ", "ANN LEE", "lee,ann"])
def test_one_name_in_five_spellings(name):
    """Order, case and spaces make no difference to the key."""
    assert name_key(name) == "ann lee"
    assert name_key("Ann", "Lee") == "ann lee"


def test_partial_names():
    """An initial or a single word points to nobody for certain."""
    assert is_partial("lee")
    assert is_partial("a. lee")
    assert not is_partial("ann lee")
    assert could_be("a. lee", "ann lee")
    assert could_be("lee", "ann lee")
    assert not could_be("b. lee", "ann lee")


def test_ids_with_and_without_leading_zeros():
    """00123 beside 123 is a doubt; 00123 beside 45678 is none."""
    assert widths_disagree(["00123", "123", "45678"]) == (["00123"], ["123"])
    assert widths_disagree(["00123", "45678", "x1"]) == ([], [])


def test_study_ids_are_random_and_kept(tmp_path):
    """A study id is drawn anew for each person, says nothing of them, and is the same next time."""
    path = tmp_path / "private" / "crosswalk.csv"
    crosswalk = Crosswalk.open(path)
    ids = {crosswalk.study_id(f"{number:05}", f"ann lee {number}") for number in range(200)}
    assert len(ids) == 200
    assert all(re.fullmatch(r"[BCDFGHJKLMNPQRSTVWXZ2-9]{5}", study_id) for study_id in ids)
    crosswalk.save()
    again = Crosswalk.open(path)
    assert {again.study_id(f"{number:05}", "") for number in range(200)} == ids
    assert (path.parent / ".gitignore").read_text() == "*\n"
    assert path.read_text().splitlines()[0] == "study_id,school_id,name_key"


def test_two_crosswalks_draw_different_ids():
    """The id cannot be made again from the person."""
    drawn = [[Crosswalk().study_id("00417", "ann lee") for _ in range(20)] for _ in range(2)]
    assert drawn[0] != drawn[1]


def test_personal_words_are_listed_for_the_scan():
    """Every id and name that was met is known to the scan of finished reports."""
    crosswalk = Crosswalk()
    crosswalk.study_id("00417", "ann lee")
    crosswalk.study_id("", "bo ek")
    assert crosswalk.personal() == ["00417", "ann lee", "bo ek"]


def test_a_folder_that_cannot_be_written(tmp_path):
    """Study ids must last, so it is told that the study has to be copied."""
    (tmp_path / "private").write_text("a file in place of the folder")
    crosswalk = Crosswalk.open(tmp_path / "private" / "crosswalk.csv")
    crosswalk.study_id("a1", "")
    with pytest.raises(StudyProblems) as refused:
        crosswalk.save()
    assert str(refused.value) == (
        "private: The study folder cannot be written, and the list of study ids must stand in it. "
        "Copy the study to a folder of your own."
    )
