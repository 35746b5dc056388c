"""Files of ratings: every judge's rating is a row, and a result that breaks the panel's rule is set aside."""

from pathlib import Path

import pytest

from kit.load.declared import Rules
from kit.load.declared_music import RatingSource
from kit.load.formats.cells import read_book
from kit.load.people.shared_choirs import SharedChoirs
from kit.load.ratings.read import looks_like, read_ratings


def read(folder: Path, text: str, **declared):
    """Write a file of ratings and read it."""
    (folder / "ratings.csv").write_text(text, encoding="utf-8")
    source = RatingSource(file="ratings.csv", **declared)
    return read_ratings(read_book(folder / "ratings.csv"), source, Rules(school_year=2025))


def said(found) -> list[str]:
    """List what was refused or set aside, in sentences."""
    account = found.accounts[0]
    return [str(problem) for problem in (*account.problems, *account.aside.values(), *account.cells_aside)]


def rows(found, *columns) -> list[tuple]:
    """List chosen columns of the ratings."""
    return list(found.table()[list(columns)].itertuples(index=False, name=None))


def test_a_column_for_each_judge(tmp_path):
    """Every judge's rating is a row, the result one of the judge panel, with date, part and the ends of the scale."""
    found = read(tmp_path, "Date,Choir,Event,J1,J2,Final\n3/14/26,Larch,concert,I,II,II\n")
    assert said(found) == []
    table = found.table()
    assert table.judge.tolist() == ["J1", "J2", "panel"]
    assert table.rating.tolist() == [1, 2, 2]
    assert set(zip(table.date.dt.strftime("%Y-%m-%d"), table.part, table.best_rating, table.worst_rating, strict=True)) == {
        ("2026-03-14", "concert", 1, 5)
    }  # fmt: skip


def test_a_row_for_each_judge(tmp_path):
    """With a row for each judge, the result is checked against the rows of the same choir, day and part."""
    text = "Choir,Part,Judge,Rating\nLarch,concert,A,1\nLarch,concert,B,2\nLarch,concert,C,2\nLarch,concert,Final,1\n"
    text += "Larch,sight reading,A,1\nLarch,sight reading,panel,1\n"
    found = read(tmp_path, text, best=1, worst=5, panel_rule="median")
    assert rows(found, "part", "judge", "rating") == [
        ("concert", "A", 1), ("concert", "B", 2), ("concert", "C", 2), ("sight reading", "A", 1),
        ("sight reading", "panel", 1),
    ]  # fmt: skip
    assert said(found) == [
        "ratings.csv, row 5, column Rating: The result is 1; the judges gave 1, 2, 2, which makes 2. "
        "Correct the result, or panel_rule in study.toml."
    ]


def test_a_panel_of_which_a_rating_is_unclear(tmp_path):
    """A result is not held against the rule where one of the ratings behind it could not be read."""
    found = read(tmp_path, "Choir,J1,J2,J3,Final\nLarch,I,I+,II,I\nMoss,I,I,II,II\n", panel_rule="median")
    assert [problem.why for problem in found.accounts[0].cells_aside] == ["unclear_mark", "panel_final"]
    assert rows(found, "choir", "judge", "rating")[2] == ("Larch", "panel", 1)


def test_one_rating_for_each_choir(tmp_path):
    """A list of one rating for each choir is the result of the panel."""
    assert rows(read(tmp_path, "Choir,Rating\nLarch,II\n"), "judge", "rating") == [("panel", 2)]


def test_rows_that_cannot_be_used(tmp_path):
    """Rows without a choir, without a rating or with an unknown one are set aside, each with its reason."""
    text = "Choir,J1,J2\n,I,II\nLarch,DNS,\nFern,Super,\nMoss,II-,I\nAlder,II,\n"
    found = read(tmp_path, text)
    assert said(found) == [
        "ratings.csv, row 2: The row names no choir. Fill in the choir, or delete the row.",
        "ratings.csv, row 3: The row holds no rating. Nothing, if the choir was not rated.",
        'ratings.csv, row 4, column J1: The rating is "Super". This is no rating of the declared scale. '
        "Correct it, or list the ratings from best to worst under labels in study.toml.",
        'ratings.csv, row 5, column J1: The rating is "II-". The mark can be read in two ways. '
        'Write signs = "thirds" (a sign is a third of a rating) or signs = "ignored" beside the file.',
    ]
    assert rows(found, "choir", "judge", "rating") == [("Moss", "J2", 1), ("Alder", "J1", 2)]


def test_a_date_with_two_readings(tmp_path):
    """A date that has two readings is set aside by itself; the rating stays."""
    found = read(tmp_path, "Date,Choir,Rating\n3/4/26,Larch,I\n")
    assert said(found) == [
        'ratings.csv, row 2, column Date: The date is "3/4/26". Write date_order = "day_first" or '
        'date_order = "month_first" in study.toml.'
    ]
    assert found.table().date.isna().all()
    assert len(read(tmp_path, "Date,Choir,Rating\n3/4/26,Larch,I\n", date_order="day_first").table()) == 1


@pytest.mark.parametrize(
    ("text", "declared", "sentence"),
    [
        ("Choir,J1\nLarch,2\n", {}, "ratings.csv, column J1: The ratings are plain numbers, and nothing tells whether "
         "1 or 5 is the best. Write best = 1 and worst = 5, or best = 5 and worst = 1, beside the file in study.toml."),
        ("Choir,J1\nLarch,I\n", {"judges": ("J1", "J9")}, 'ratings.csv, row 1: There is no column "J9". Correct judges '
         "in study.toml."),
        ("Choir,Event\nLarch,concert\n", {}, "ratings.csv, row 1: No column of ratings is recognised. Name the columns "
         'in study.toml: judges = ["Judge 1", "Judge 2"], or judge and rating.'),
    ],
)  # fmt: skip
def test_refusals(tmp_path, text, declared, sentence):
    """A file whose direction, judges or ratings are not known is refused."""
    found = read(tmp_path, text, **declared)
    assert said(found) == [sentence]
    assert len(found.table()) == 0


def test_looks_like():
    """Judges and ratings are headings of this kind of file alone."""
    assert looks_like(["Choir", "Judge 1", "Judge 2", "Final"]) == 3
    assert looks_like(["Date", "Choir", "Judge", "Rating"]) == 2
    assert looks_like(["ID", "Pre", "Post", "Marked by"]) == 0


def test_two_festivals_without_a_date_are_not_one_panel(tmp_path):
    """A row with one new rating is no repetition, and two ratings of a choir by one judge are told apart or refused."""
    found = read(tmp_path, "Choir,J1,J2,J3\nLarch,I,I,II\nMoss,I,I,II\nLarch,II,I,II\n")
    assert said(found) == [
        "ratings.csv, row 4, column J1: The same judge rated this choir in row 2, with no other date. "
        "Fill in the date of each, or what was rated."
    ]
    dated = read(tmp_path, "Date,Choir,J1,J2,J3\n3/14/26,Larch,I,I,II\n4/18/26,Larch,II,I,II\n")
    assert said(dated) == []
    assert len(dated.table()) == 6


def test_judges_without_names_may_agree(tmp_path):
    """Where the judge is not named, a second row with the same rating may be another judge's."""
    found = read(tmp_path, "Choir,Judge,Rating\nLarch,,I\nLarch,,I\nLarch,A,II\n")
    assert said(found) == []
    assert rows(found, "judge", "rating") == [("judge", 1), ("judge", 1), ("A", 2)]


def test_a_choir_of_several_schools(tmp_path):
    """A rating that names one of several choirs, but not which, is set aside; with the school behind it is used."""
    found = read(tmp_path, "Choir,J1,J2\nConcert,I,II\nConcert (Hobnail),I,I\n")
    found.shared = SharedChoirs(
        {("concert", "hobnail"): "Concert (Hobnail)", ("concert", "thimble"): "Concert (Thimble)"}
    )
    assert rows(found, "choir", "rating") == [("Concert (Hobnail)", 1), ("Concert (Hobnail)", 1)]
    assert said(found) == [
        'ratings.csv, row 2: Several choirs have this name. Write the school behind the name, as "Concert (name of its school)".'
    ]
