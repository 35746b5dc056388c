"""From study folder to report folder: whose copy, which files, and what a reader outside the school does not get."""

import re
import shutil
from pathlib import Path

import pandas as pd
import pytest

from kit.__main__ import main
from kit.errors import StudyProblems
from kit.make import _slug, make_reports
from kit.report.document.style import packed, unpacked

ROOT = Path(__file__).parents[1]
READERS = {"educator": "term_review.ipynb"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """Copy the demo choir, so that nothing is written beside the sources."""
    target = tmp_path_factory.mktemp("study") / "one_choir"
    return shutil.copytree(
        ROOT / "synthetic_data" / "one_choir", target, ignore=shutil.ignore_patterns("private", "reports")
    )


def test_the_teachers_folder(folder):
    """Page, numbers, rows left out and tables; names and ids of the input are in none of them."""
    [page] = make_reports(folder, READERS)
    assert page == folder / "reports" / "term_review" / "term_review.html"
    assert sorted(path.name for path in page.parent.iterdir()) == [
        "figures", "left_out.csv", "narrative.md", "numbers.csv", "references.bib", "references.json", "tables",
        "tables.xlsx", "term_review.html",
    ]  # fmt: skip
    crosswalk = pd.read_csv(folder / "private" / "crosswalk.csv", dtype=str)
    written = [path for path in page.parent.rglob("*") if path.is_file() and path.suffix not in (".png", ".xlsx")]
    texts = " ".join(path.read_text(encoding="utf-8") for path in written).lower()
    # ids of a few digits may be a count as well; the ones with a leading zero cannot
    words = [*crosswalk.name_key, *(school_id for school_id in crosswalk.school_id if school_id.startswith("0"))]
    assert len(words) > 40
    assert [word for word in words if word in texts] == []


def test_the_truth_of_the_demo_choir_is_in_the_interval(folder):
    """The page's interval holds the gain that the world was made with (as the own teacher marks it)."""
    [page] = make_reports(folder, READERS)
    gain = pd.read_csv(page.parent / "numbers.csv").set_index("label").loc["mean_gain/total-all-students-tested-twice"]
    truth = pd.read_json(ROOT / "synthetic_data" / "truth.json", typ="series")["one_choir"]
    assert gain.low <= truth["growth"]["as_marked"]["value"] <= gain.high


def test_a_copy_for_the_public_holds_no_single_rows(folder):
    """No row left out, no single students, and no share that tells about one or two but as a range."""
    [page] = make_reports(folder, READERS, audience="public")
    assert page.parent.name == "term_review-public"
    assert not (page.parent / "left_out.csv").exists()
    assert "<h2>Single students" not in page.read_text(encoding="utf-8")
    numbers = pd.read_csv(page.parent / "numbers.csv")
    shares = numbers[(numbers["name"] == "share_wilson") & ~numbers["notes"].astype(str).str.contains("as a range")]
    inside = (shares["value"] * shares["n"]).round()
    assert (inside.ge(3) & (shares["n"] - inside).ge(3)).all()
    assert not numbers.about.str.contains("before: |after: ").any()


def test_a_choir_of_the_district(tmp_path):
    """Any choir of the district has its own folder, named after it."""
    source = ROOT / "synthetic_data" / "two_larches"
    study = shutil.copytree(source, tmp_path / "district", ignore=shutil.ignore_patterns("private", "reports"))
    [page] = make_reports(study, READERS, choir="Thimble Concert", out=tmp_path / "out")
    assert page.parent == tmp_path / "out" / "term_review-Thimble-Concert"
    assert "Thimble Concert" in page.read_text(encoding="utf-8")


def test_a_notebook_of_ones_own_goes_before_the_kits(folder, tmp_path):
    """What a teacher changed in the study folder is what runs."""
    study = shutil.copytree(folder, tmp_path / "own", ignore=shutil.ignore_patterns("reports"))
    own = (
        (ROOT / "notebooks" / "term_review.ipynb").read_text(encoding="utf-8").replace("# Term review", "# Our autumn")
    )
    (study / "term_review.ipynb").write_text(own, encoding="utf-8")
    [page] = make_reports(study, READERS)
    assert "<h1>Our autumn</h1>" in page.read_text(encoding="utf-8")


ALL = {"educator": "term_review.ipynb", "district": "grant_report.ipynb", "researcher": "classroom_replication.ipynb"}
CHOIRS = [f"a{n},C{n % 8},{n % 17 + 1},{(n * 7) % 19 + 1},{'xyz'[n % 2]}" for n in range(72)]
WORLDS = {
    "one test only": ["ID,Pre", *(f"a{n},{n % 17 + 1}" for n in range(20))],
    "one choir": ["ID,Choir,Pre,Post", *(f"a{n},A,{n % 17 + 1},{n % 13 + 2}" for n in range(20))],
    "all groups too small": ["ID,Choir,Pre,Post,Approach", *CHOIRS[:4]],
    "two approaches": ["ID,Choir,Pre,Post,Approach", *CHOIRS],
}


@pytest.mark.parametrize("world", WORLDS)
def test_every_report_builds_and_says_what_it_cannot_show(world, tmp_path):
    """Without a second test, without a comparison, with groups too small: three pages each."""
    (tmp_path / "scores.csv").write_text("\n".join(WORLDS[world]) + "\n", encoding="utf-8")
    assert main(["new", str(tmp_path / "study"), "--from", str(tmp_path / "scores.csv")]) == 0
    pages = make_reports(tmp_path / "study", ALL, audience="public")
    assert [page.stem for page in pages] == ["term_review", "grant_report", "classroom_replication"]
    said = pages[1].read_text(encoding="utf-8")
    assert "study.toml says nothing of the program" in said
    # a grant report without a comparison says by how much scores changed
    assert ("if we could repeat this" in said) == (world == "one choir")
    assert "study.toml names no original" in pages[2].read_text(encoding="utf-8")


def test_each_reader_has_a_copy_of_their_own(folder):
    """A grant report leaves the school unless it is asked for inside: small groups are hidden, no row left out is in it."""
    [page] = make_reports(folder, {"district": "grant_report.ipynb"})
    assert page.parent.name == "grant_report"
    assert "written for</th><td>public" in page.read_text(encoding="utf-8").replace(' class="short"', "")
    assert not (page.parent / "left_out.csv").exists()
    [inside] = make_reports(folder, {"district": "grant_report.ipynb"}, audience="teacher")
    assert inside.parent.name == "grant_report-teacher"


def test_a_study_of_drill_logs_alone_has_no_report_yet(tmp_path):
    """Without marks of tests nothing is made, and what is missing is told in one line."""
    (tmp_path / "log.csv").write_text("Date,Choir,Minutes,Activity\n2025-09-22,Treble,5,echo\n")
    (tmp_path / "study.toml").write_text('title = "x"\n[[drills]]\nfile = "log.csv"\n')
    with pytest.raises(StudyProblems) as refused:
        make_reports(tmp_path, READERS)
    assert [str(problem) for problem in refused.value.problems] == [
        "The study has no marks of tests, and every report needs some. "
        "Add a section [[scores]] or [[items]] to study.toml."
    ]
    assert not (tmp_path / "reports").exists()


def test_word_and_pdf_of_a_study_with_a_file_of_styles(folder, tmp_path, capsys):
    """All three formats on the paper asked for; a reference.docx in the study folder gives the Word file its look and paper."""
    for name in ("pypandoc", "typst"):
        pytest.importorskip(name, reason="the extra documents is not installed")
    study = shutil.copytree(folder, tmp_path / "styled", ignore=shutil.ignore_patterns("reports"))
    words = ["report", str(study), "--for", "educator", "--to", "html,docx,pdf", "--paper", "a4"]
    assert main(words) == 0
    made = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert [path.name for path in made] == ["term_review.html", "term_review.docx", "term_review.pdf"]
    plain = made[1].read_bytes()
    parts = unpacked(plain)
    assert b'w:w="11906"' in parts["word/document.xml"]
    assert "@page { size: a4; }" in made[0].read_text(encoding="utf-8")
    parts["word/document.xml"] = parts["word/document.xml"].replace(b'w:w="11906"', b'w:w="13000"')
    (study / "reference.docx").write_bytes(packed(parts))
    assert main(words) == 0
    assert b'w:w="13000"' in unpacked(made[1].read_bytes())["word/document.xml"]


def test_folders_of_choirs_are_apart():
    """Plain names stay as they are; names that differ in signs, letters of other scripts or far behind are told apart."""
    assert [_slug(name) for name in ("Treble 2", "Chœur", "合唱团")] == ["Treble-2", "Chœur", "合唱团"]
    names = [
        "Treble 1",
        "Treble-1",
        "Treble 1!",
        "Treble/1",
        "合唱团",
        "合唱隊",
        "جوقة",
        "♪",
        "♫",
        "a" * 200,
        "a" * 201,
    ]
    slugs = [_slug(name) for name in names]
    assert len(set(slugs)) == len(names)
    assert all(re.fullmatch(r"[\w-]{1,70}", slug) for slug in slugs)
