"""Columns of personal data: left out, counted, never repeated."""

import pytest

from kit.load.declared import RosterSource, ScoreSource
from kit.load.files import load_files
from kit.load.people.personal import is_personal


@pytest.mark.parametrize(
    "heading",
    ["E-mail", "Email address", "DOB", "Birth date", "Date of Birth", "Parent phone", "Guardian", "Home address"],
)
def test_personal_headings(heading):
    """Headings of data about a person that no table needs."""
    assert is_personal(heading)


@pytest.mark.parametrize("heading", ["Date", "Pre", "Grade", "Voice part", "Trace", "Section", "Name", "Remarks"])
def test_other_headings(heading):
    """Headings that only look alike."""
    assert not is_personal(heading)


@pytest.mark.parametrize("kind", [ScoreSource, RosterSource])
def test_nothing_of_the_column_is_repeated(tmp_path, kind):
    """Neither addresses nor dates of birth are in any table, and the columns are counted."""
    (tmp_path / "file.csv").write_text(
        "ID,Choir,Contact,DOB,Pre\nS1,Treble,a@home.example,2012-03-04,11\nS2,Treble,b@home.example,2012-05-06,12\n"
    )
    loaded = load_files(tmp_path, [kind(file="file.csv")])
    told = loaded.changes[loaded.changes.rule == "column of personal data left out"]
    assert told.times.tolist() == [2]
    everything = "".join(table.to_csv() for table in (loaded.students, loaded.scores, loaded.changes, loaded.set_aside))
    assert "example" not in everything
    assert "2012" not in everything
    assert {"a@home.example", "b@home.example", "2012-03-04", "2012-05-06"} <= set(loaded.personal)


def test_what_is_searched_for_later(tmp_path):
    """Addresses, telephone numbers, parents' names and every reading of a day of birth; no gender, no single word."""
    (tmp_path / "file.csv").write_text(
        "ID,Choir,Birthday,Parent,Phone,Gender,Home address,Place of birth,Pre\n"
        "S1,Treble,5/7/11,Ada Saltmarsh,555-0123,non binary,12 Elm Road,New Hollow,11\n"
        "S2,Treble,14.02.2012,Ferbrake,unknown,girl,,Hollow,12\n"
    )
    loaded = load_files(tmp_path, [RosterSource(file="file.csv")])
    told = set(loaded.personal) - {"S1", "S2"}
    assert told == {
        "5/7/11", "2011-05-07", "2011-07-05", "14.02.2012", "2012-02-14", "ada saltmarsh", "555-0123", "12 elm road",
    }  # fmt: skip


def test_a_declared_column_is_not_left_out(tmp_path):
    """What the study file declares is read, whatever it is called."""
    (tmp_path / "file.csv").write_text("Email,Choir,Pre\na@home.example,Treble,11\nb@home.example,Treble,12\n")
    loaded = load_files(tmp_path, [ScoreSource(file="file.csv", student="Email")])
    assert "column of personal data left out" not in set(loaded.changes.rule)
    assert len(loaded.scores) == 2
