"""What a drill review and the practice part of a term review must not tell: every file they make is searched."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import openpyxl
import pytest

from kit.load.log_checks import check_logs
from kit.load.no_school import days_without_school
from kit.new import notebook_folder
from kit.questions import log_honesty
from kit.questions.practice.confusion import confusion
from kit.questions.practice.degrees import by_week
from kit.questions.practice.notes import notes, tries
from kit.questions.practice.plan import spoken
from kit.report.build import build_report
from kit.report.privacy import SMALLEST_GROUP
from kit.study import load_study

DEMO = Path(__file__).parents[2] / "synthetic_data" / "two_larches"
CHOIR = "Hobnail Treble"
PICTURES = {".png", ".pdf", ".docx"}
AUDIENCES = list(SMALLEST_GROUP)


@pytest.fixture(scope="module")
def study():
    """Read the district once."""
    return load_study(DEMO)


@pytest.fixture(scope="module")
def private():
    """Give every name and school id of the roster."""
    with (DEMO / "roster.csv").open(encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    return [row["Name"] for row in rows], [row["Student ID"] for row in rows]


@pytest.fixture(scope="module")
def built(study, tmp_path_factory):
    """Build a report for an audience, once, and give its folder."""
    known = {}

    def build(name, audience, choir=CHOIR):
        if (name, audience, choir) not in known:
            folder = tmp_path_factory.mktemp("out") / "report"
            options = {"folder": str(DEMO.resolve()), "audience": audience, "choir": choir}
            build_report(
                notebook_folder() / f"{name}.ipynb", options, folder, name=name, personal=study.loaded.personal
            )
            known[name, audience, choir] = folder
        return known[name, audience, choir]

    return build


def texts(folder):
    """Give the text of every file that was made, pictures aside; what is drawn in them stands in their alternatives."""
    found = {}
    for path in sorted(one for one in folder.rglob("*") if one.is_file() and one.suffix not in PICTURES):
        if path.suffix == ".xlsx":
            book = openpyxl.load_workbook(path, read_only=True)
            cells = [str(cell) for sheet in book for row in sheet.iter_rows(values_only=True) for cell in row]
            found[path.name] = "\n".join(cells)
        else:
            text = path.read_text(encoding="utf-8")
            found[path.name] = re.sub(r"data:[^\"']+", "", re.sub(r"<path[^>]*>", "", text))
    return found


def words(text):
    """Give the different words of a text."""
    return set(re.findall(r"[A-Za-z0-9]+", text))


def tables(page):
    """Give every table of a page as rows of dicts."""
    found = {}
    for table in re.findall(r"<figure[^>]*>.*?</figure>|<table.*?</table>", page, flags=re.DOTALL):
        heads = [_plain(one) for one in re.findall(r"<th scope=\"col\"[^>]*>(.*?)</th>", table, flags=re.DOTALL)]
        if not heads:
            continue
        rows = [
            [_plain(one) for one in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, flags=re.DOTALL)]
            for row in re.findall(r"<tr[^>]*>(.*?)</tr>", table.partition("</thead>")[2], flags=re.DOTALL)
        ]
        found.setdefault(heads[0], []).extend(dict(zip(heads, row, strict=False)) for row in rows)
    return found


def _plain(cell):
    """Take the marks out of a cell."""
    return re.sub(r"<[^>]+>|&[a-z#0-9]+;", " ", cell).replace("\u00a0", " ").strip()


@pytest.mark.parametrize("audience", AUDIENCES)
@pytest.mark.parametrize("name", ["drill_review", "term_review"])
def test_no_file_holds_a_name_or_a_school_id(built, private, name, audience):
    """For no reader does any file hold a name or a school's own number, nor beyond the teacher a random id."""
    names, ids = private
    found = texts(built(name, audience))
    assert len(found) > 5
    for file, text in found.items():
        assert not words(text) & set(ids), file
        assert [one for one in names if re.search(rf"\b{re.escape(one)}\b", text)] == [], file


@pytest.mark.parametrize("audience", ["district", "public"])
@pytest.mark.parametrize("name", ["drill_review", "term_review"])
def test_no_file_beyond_the_teacher_holds_a_random_id(built, study, name, audience):
    """The ids made by the kit are for the teacher's own copy alone."""
    for file, text in texts(built(name, audience)).items():
        assert not words(text) & set(study.students["student"]), file


def test_the_teacher_finds_whom_to_hear(built, study):
    """The search would find an id: the teacher's own copy holds some."""
    assert words(texts(built("drill_review", "teacher"))["drill_review.html"]) & set(study.students["student"])


@pytest.fixture(scope="module")
def tried(study):
    """Take the tries of the choir that can be trusted."""
    here = study.only(choir=CHOIR)
    closed = days_without_school(study.settings.no_school)
    doubts = log_honesty.doubts(here.drills, check_logs(here.drills, study.settings.no_school), closed)
    return tries(log_honesty.trusted(here.drills, doubts))


def singers_of(tried):
    """Count the singers behind each degree, way, interval and pattern."""
    each = notes(tried).astype({"note": str, "reached": str, "interval": str})
    found = {
        by: each[each[column] != ""].groupby(column)["student"].nunique().to_dict()
        for by, column in (("Degree", "note"), ("Approach", "reached"), ("Interval", "interval"))
    }
    found["Degree"] = {spoken(note): singers for note, singers in found["Degree"].items()}
    return found | {"Pattern": tried.groupby("pattern", observed=True)["student"].nunique().to_dict()}


@pytest.mark.parametrize("audience", AUDIENCES)
def test_no_row_of_a_table_stands_on_too_few_singers(built, tried, audience):
    """Every row that counts singers counts enough of them, and a degree with fewer is in no table and no list of numbers."""
    least, folder = SMALLEST_GROUP[audience], built("drill_review", audience)
    page = (folder / "drill_review.html").read_text(encoding="utf-8")
    seen = tables(page)
    for heading, rows in seen.items():
        for row in rows:
            for column in (one for one in row if "ingers" in one and row[one]):
                number = int(re.findall(r"\d+", row[column].replace(",", ""))[-1])
                assert number >= least, (heading, row)
    numbers = (folder / "numbers.csv").read_text(encoding="utf-8")
    hidden = 0
    for by, singers in singers_of(tried).items():
        rows = {row[by] for row in seen.get(by, [])}
        for label, number in singers.items():
            if number < least:
                hidden += 1
                assert not any(one == label or one.endswith(f"({label})") for one in rows), (by, label)
                assert not re.search(rf"{by.lower()} {re.escape(label)}[\",\n]", numbers), (by, label)
            elif by == "Approach":
                assert label in rows
    assert sum(map(len, seen.values())) > 40
    assert (hidden > 0) == (audience == "public")  # of this choir each has five singers or more


@pytest.mark.parametrize("audience", AUDIENCES)
def test_no_cell_of_a_picture_stands_on_too_few_singers(built, tried, audience):
    """The grid of weeks tells as many cells as have enough singers; of each degree never a single one is hidden."""
    least = SMALLEST_GROUP[audience]
    page = (built("drill_review", audience) / "drill_review.html").read_text(encoding="utf-8")
    alt = next(one for one in re.findall(r'alt="([^"]*)"', page) if "weeks from left to right" in one)
    cells = by_week(tried, smallest=least)
    assert len(re.findall(r"% of \d+", alt)) == cells["share"].notna().sum()
    assert cells.loc[cells["share"].notna(), "singers"].min() >= least
    for _, rows in cells.groupby("note"):
        assert rows["share"].isna().sum() != 1 or len(rows) == 1


@pytest.mark.parametrize("audience", AUDIENCES)
def test_no_answer_is_told_of_too_few_singers(built, study, audience):
    """Each answer of the table of what was sung instead was given by enough singers, or is one of many together."""
    least, here = SMALLEST_GROUP[audience], study.only(choir=CHOIR)
    page = (built("drill_review", audience) / "drill_review.html").read_text(encoding="utf-8")
    each = notes(tries(here.drills, accuracy=False))
    missed = each[~each["right"]].astype({"note": str, "sung": str})
    who = missed.groupby(["note", "sung"])["student"].nunique()
    told = {(spoken(note), spoken(sung)) for (note, sung), number in who.items() if number >= least}
    for row in tables(page).get("Asked", []):
        for answer in row["Sung instead"].split(", "):
            name = re.sub(r" [<\d].*$", "", answer)
            assert name == "something else" or (row["Asked"], name) in told
    assert len(confusion(tries(here.drills, accuracy=False), smallest=least)) == sum(
        row["Sung instead"].count("%") for row in tables(page).get("Asked", [])
    )


@pytest.mark.slow
@pytest.mark.parametrize("audience", AUDIENCES)
def test_the_whole_district_tells_no_name(built, private, audience):
    """The same search over all choirs together."""
    names, ids = private
    for file, text in texts(built("drill_review", audience, "")).items():
        assert not words(text) & set(ids), file
        assert [one for one in names if re.search(rf"\b{re.escape(one)}\b", text)] == [], file
