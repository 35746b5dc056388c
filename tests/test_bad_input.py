"""Files that no report can be made of, or only a poor one: a clear page of problems, or a report that says what it cannot say."""

import re
import shutil
from pathlib import Path

import pandas as pd
import pytest

from kit.__main__ import main

MESSY = Path(__file__).parents[1] / "synthetic_data" / "messy"
STUDY = 'title = "Fall test"\n[[scores]]\nfile = "{file}"\n'


def study(folder: Path, rows: str = "", *, file: str = "scores.csv") -> Path:
    """Make a study folder around one file."""
    (folder / "study.toml").write_text(STUDY.format(file=file))
    if rows:
        (folder / file).write_text(rows)
    return folder


@pytest.mark.parametrize(
    ("file", "why"),
    [("missing.xlsx", "The file is not there."), ("empty.csv", "The file is empty."),
     ("broken.xlsx", "The workbook is damaged."), ("locked.xlsx", "The workbook is protected by a password."),
     ("not_a_sheet.pdf", "This is no spreadsheet"), ("F26_header.csv", "There are headings and nothing below them."),
     ("F28.csv", "Two columns have the heading")],
)  # fmt: skip
@pytest.mark.parametrize("verb", ["report", "check"])
def test_files_that_cannot_be_used(tmp_path, capsys, file, why, verb):
    """Every verb ends with 1 and says in a sentence what is wrong; nothing is written."""
    if (MESSY / file).is_file():
        shutil.copy(MESSY / file, tmp_path / file)
    assert main([verb, str(study(tmp_path, file=file))]) == 1
    said = "".join(capsys.readouterr())
    assert why in said
    assert "Traceback" not in said
    assert not (tmp_path / "reports").exists()


def test_wrong_columns(tmp_path, capsys):
    """A file about something else is refused with its own first row."""
    assert main(["report", str(study(tmp_path, "colour,shape\nred,round\n"))]) == 1
    assert (
        "No row holds headings that the kit knows; the first one that is not blank is row 1." in capsys.readouterr().err
    )


def made(folder: Path, rows: str, capsys, *words: str) -> tuple[str, pd.DataFrame]:
    """Make a report of poor data and give its text and its numbers."""
    assert main(["report", str(study(folder, rows)), "--for", "educator", *words]) == 0
    page = Path(capsys.readouterr().out.strip())
    text = re.sub(
        r"<[^>]+>", " ", re.sub(r"<style>.*?</style>|<pre.*?</pre>", "", page.read_text(encoding="utf-8"), flags=re.S)
    )
    return re.sub(r"\s+", " ", text), pd.read_csv(page.parent / "numbers.csv")


def test_no_student_with_both_tests(tmp_path, capsys):
    """Without anybody tested twice there is a report, and it says that nothing is known of change."""
    text, numbers = made(tmp_path, "ID,Pre,Post\na1,5,abs\na2,abs,6\na3,7,\n", capsys)
    assert "mean_gain" not in set(numbers["name"])
    assert "cannot say whether scores rose or fell" in text
    assert numbers.loc[numbers.about == "tested both times", "value"].tolist() in ([0], [])


def test_one_student(tmp_path, capsys):
    """One student's change is no average of a group, and has no interval."""
    text, numbers = made(tmp_path, "ID,Pre,Post\na1,5,8\n", capsys)
    assert numbers["low"].isna().all() or not numbers.loc[numbers["name"] == "mean_gain", "low"].notna().any()
    assert "1 of 1 student took both tests" in text


def test_all_scores_equal(tmp_path, capsys):
    """Without any spread the average stayed the same, and how sure that is cannot be told."""
    text, numbers = made(tmp_path, "ID,Pre,Post\n" + "".join(f"a{n},5/20,5/20\n" for n in range(9)), capsys)
    gain = numbers[numbers["name"] == "mean_gain"].iloc[0]
    assert (gain.value, gain.n) == (0, 9)
    assert pd.isna(gain.low)
    assert "stayed the same" in text


def test_everything_at_the_ceiling(tmp_path, capsys):
    """Everybody at the top of the scale: the report says that the test cannot show more."""
    text, numbers = made(
        tmp_path, "ID,Pre,Post\n" + "".join(f"a{n},{18 + n % 2}/20,20/20\n" for n in range(12)), capsys
    )
    top = numbers[numbers.about == "total, top score, second test"].iloc[0]
    assert (top.value, top.n) == (1, 12)
    assert "could not show their growth" in text or "top score" in text


def test_too_small_for_the_public(tmp_path, capsys):
    """A choir of six has no public numbers at all."""
    text, numbers = made(tmp_path, "ID,Pre,Post\n" + "".join(f"a{n},{5 + n},{7 + n % 3}\n" for n in range(6)), capsys,
                         "--audience", "public")  # fmt: skip
    assert "mean_gain" not in set(numbers["name"])
    assert "so that nobody can be recognized" in text


def test_names_that_look_like_markup_or_formulas(tmp_path, capsys):
    """What a school writes is text, on the page and in the tables."""
    rows = "ID,Choir,Pre,Post\n" + "".join(f"a{n},<b>=1+1</b>,{n % 9},{n % 7 + 2}\n" for n in range(24))
    made(tmp_path, rows + "zz,<b>=1+1</b>,x?,3\n", capsys)
    assert main(["check", str(tmp_path)]) == 0
    folder = next((tmp_path / "reports").iterdir())
    assert "<b>=1+1" not in (folder / "term_review.html").read_text(encoding="utf-8")
    left_out = pd.read_csv(folder / "left_out.csv")
    assert list(left_out.why) == ["not_a_mark"] or list(left_out.why) == ["unclear_mark"]
