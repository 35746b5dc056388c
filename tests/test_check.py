"""The check page: one page that a teacher understands, of a folder or of one file."""

from kit.check import check_file, check_page
from kit.study import read_study

SCORES = (
    "Treble 2,,\nID,Pre,Post\n00417,11/16,12/16\n00231,abs,9/16\n00118,17/16,IEP\n00990,8/16,10/16\n"
    "00417,11/16,12/16\nClass avg,10,10\n"
)
STUDY = 'title = "Fall"\n[occasions]\npre = ["September", "Pre"]\npost = ["December", "Post"]\n[[scores]]\nfile = "scores.csv"\n'


def test_the_whole_page(tmp_path):
    """What was read, understood, changed, set aside, who has which test, and what kind of study it is."""
    (tmp_path / "scores.csv").write_text(SCORES)
    (tmp_path / "study.toml").write_text(STUDY)
    page = check_page(read_study(tmp_path))
    text = "\n".join(page)
    for line in (
        "  scores.csv: 5 rows = 4 used + 1 set aside (1 title line, 1 header row, 1 totals row besides).",
        "    1 single mark set aside besides.",
        '  scores.csv: student: column "ID"',
        "  scores.csv, Pre, row 5: The mark is above the most points that can be earned. "
        "Correct the mark, or the maximum in study.toml.",
        "  scores.csv, row 7: The row says the same as an earlier one. Delete one.",
        "  total, September: 2 marks out of 16; no mark: 1 absent.",
        "  total, December: 3 marks out of 16; no mark: 1 excused.",
        "What kind of study this is",
    ):
        assert line in page, f"{line}\n\n{text}"
    assert page[-1] == "Nothing stands in the way of a report."
    assert "IEP" not in text


def test_problems_come_first_and_are_counted(tmp_path):
    """A file with problems gives the page all the same, problems at the top."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post\n00123,1,2\n123,3,4\n")
    page = check_page(check_file(tmp_path / "scores.csv"))
    assert page[1] == "What to mend before a report can be made"
    assert page[-1] == "1 problem to mend; the rest was read."


def test_one_file_without_a_study_folder(tmp_path):
    """Nothing is written beside the file."""
    (tmp_path / "scores.csv").write_text(SCORES)
    check_page(check_file(tmp_path / "scores.csv"))
    assert [path.name for path in tmp_path.iterdir()] == ["scores.csv"]


def test_rules_of_a_panel_that_disagree(tmp_path):
    """Where two rules give a panel two results, the page says for how many and asks for the rule."""
    (tmp_path / "festival.csv").write_text("Choir,Judge 1,Judge 2,Judge 3\nTreble,I,I,IV\nConcert,II,II,II\n")
    page = check_page(check_file(tmp_path / "festival.csv"))
    assert (
        "  For 1 of 2 panels the middle rating and the rounded average of the judges differ. "
        "Say in study.toml by which rule the panel decided."
    ) in page


def test_schools_that_nothing_reads(tmp_path):
    """A study declared by hand whose marks name the school has a line under what to look at."""
    (tmp_path / "scores.csv").write_text("ID,Choir,School,Pre,Post\na1,Concert,Alder,5,6\na2,Concert,Cedar,4,6\n")
    (tmp_path / "study.toml").write_text(STUDY)
    page = check_page(read_study(tmp_path))
    line = next(line for line in page if "cannot be used" in line)
    assert page.index("What to look at") < page.index(line)
    assert "[[rosters]]" in line


def test_a_file_of_which_nothing_is_used(tmp_path):
    """No row of a refused file is called used."""
    (tmp_path / "scores.csv").write_text("ID,Pre,Post,Fall\na1,5,6,7\na2,4,6,7\n")
    page = check_page(check_file(tmp_path / "scores.csv"))
    assert "  scores.csv: 2 rows, none of them used: see above." in page
