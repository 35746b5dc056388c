"""Reports of every choir: one bad one stops nobody, and what is made is not made again."""

import json
from importlib.util import find_spec
from pathlib import Path

import pytest

from kit.__main__ import main
from kit.each import INDEX, MADE, PRELOADED, make_each

ROOT = Path(__file__).parents[1]
READERS = {"educator": "term_review.ipynb"}
NOTEBOOK = {
    "cells": [
        {"cell_type": "markdown", "id": "c00", "metadata": {}, "source": "# Short"},
        {"cell_type": "code", "id": "c01", "metadata": {"tags": ["parameters"]}, "outputs": [], "execution_count": None,
         "source": 'folder = "."\nchoir = ""\nschool = ""\naudience = "teacher"'},
        {"cell_type": "code", "id": "c02", "metadata": {}, "outputs": [], "execution_count": None,
         "source": "from kit import load_study, whom, words\nstudy = load_study(folder).only(choir=choir, school=school)"
                   "\npage = study.page(audience=audience)\nif choir == 'Gold': raise ValueError('No gold today.')\n"
                   "page.banner()"},
        {"cell_type": "code", "id": "c03", "metadata": {}, "outputs": [], "execution_count": None,
         "source": "page.where_from()"},
    ],
    "metadata": {}, "nbformat": 4, "nbformat_minor": 5,
}  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """Make a study of three choirs with a short notebook of its own that fails for one of them."""
    target = tmp_path_factory.mktemp("district")
    rows = [f"{choir[0]}{n},{choir},{n % 9},{n % 9 + 1}" for choir in ("Blue", "Gold", "Red & Co") for n in range(1, 7)]
    (target / "scores.csv").write_text("\n".join(["ID,Choir,Pre,Post", *rows]) + "\n", encoding="utf-8")
    assert main(["new", str(target / "study"), "--from", str(target / "scores.csv")]) == 0
    (target / "study" / "term_review.ipynb").write_text(json.dumps(NOTEBOOK), encoding="utf-8")
    return target / "study"


def test_one_bad_choir_stops_nobody(folder):
    """Two of three are made, the third is listed with its reason, and the index leads to what is there."""
    index, made = make_each(folder, READERS, each="choir", workers=2)
    assert [(one.name, bool(one.pages)) for one in made] == [("Blue", True), ("Gold", False), ("Red & Co", True)]
    assert "No gold today." in made[1].problem
    page = index.read_text(encoding="utf-8")
    assert "Red &amp; Co" in page
    assert "No gold today." in page
    assert all((index.parent / page).is_file() for one in made for page in one.pages)
    assert index == folder / "reports" / INDEX


def test_a_second_run_makes_only_what_is_missing(folder):
    """A page that stands is kept; one that was taken away, and all after a change of the files, are made again."""
    index, made = make_each(folder, READERS, each="choir", workers=1)
    [blue], [red] = (made[at].pages for at in (0, 2))
    times = {page: (index.parent / page).stat().st_mtime_ns for page in (blue, red)}
    (index.parent / red).unlink()
    make_each(folder, READERS, each="choir", workers=1)
    assert (index.parent / blue).stat().st_mtime_ns == times[blue]
    assert (index.parent / red).is_file()
    stamp = json.loads((index.parent / MADE).read_text(encoding="utf-8"))["stamp"]
    study = folder / "study.toml"
    study.write_text(study.read_text(encoding="utf-8") + "\n# changed\n", encoding="utf-8")
    make_each(folder, READERS, each="choir", workers=1)
    assert json.loads((index.parent / MADE).read_text(encoding="utf-8"))["stamp"] != stamp


def test_the_command_says_what_was_not_made(folder, capsys):
    """It ends with 1, the count and the index."""
    assert main(["report", str(folder), "--each", "choir", "--for", "educator"]) == 1
    told = capsys.readouterr()
    assert told.out.splitlines() == ["2 of 3 made", str(folder / "reports" / INDEX)]
    assert told.err.startswith("not made: Gold: ")


def test_a_school_of_the_district():
    """A study narrowed to one school holds its students, their marks and their choirs' logs."""
    from kit.study import load_study

    study = load_study(ROOT / "synthetic_data" / "two_larches")
    one = study.only(school="Corduroy Road Middle")
    assert set(one.students["school"]) == {"Corduroy Road Middle"}
    assert 0 < len(one.scores) < len(study.scores)
    assert set(one.drills["choir"]) <= set(one.choirs)
    assert sum(len(study.only(school=school).students) for school in study.schools) == len(study.students)


def test_a_copy_about_a_small_choir_is_refused_and_its_teachers_is_made(folder, capsys, tmp_path):
    """Six students are too few for the public: each is listed with the reason, and nothing is made or recorded.

    With each reader's usual copy the teacher's page is made and listed, and only the others are refused.
    """
    out = tmp_path / "out"
    assert main(["report", str(folder), "--choir", "Blue", "--for", "educator", "--audience", "public",
                 "--out", str(out)]) == 1  # fmt: skip
    assert capsys.readouterr().err.splitlines()[-1] == (
        'No copy about "Blue" is made for readers beyond the school (term review): fewer than 10 students stand '
        "behind it, or behind another group whose numbers would follow from it. Its teacher may have one: "
        "--audience teacher."
    )
    assert not out.exists()
    both = READERS | {"district": "term_review.ipynb"}
    index, made = make_each(folder, both, each="choir", workers=1, out=out)
    assert [(one.name, len(one.pages)) for one in made] == [("Blue", 1), ("Gold", 0), ("Red & Co", 1)]
    assert all("fewer than 10 students" in made[at].problem for at in (0, 2))
    assert "fewer than 10 students" in index.read_text(encoding="utf-8")
    record = folder / "private" / "releases.json"
    assert not record.is_file() or "district" not in record.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PRELOADED)
def test_what_workers_import_beforehand_is_there(name):
    """A wrong name would be passed over in silence, and every worker would import it by itself."""
    assert find_spec(name) is not None


def test_a_stopped_run_keeps_what_was_made(folder, tmp_path):
    """Stopped after the first report, the index leads to it and no further."""

    def stop(told: str) -> None:
        if told.startswith("1 of"):
            raise KeyboardInterrupt

    out = tmp_path / "stopped"
    with pytest.raises(KeyboardInterrupt):
        make_each(folder, READERS, each="choir", workers=1, out=out, step=stop)
    assert list(json.loads((out / MADE).read_text(encoding="utf-8"))["made"]) == ["Blue"]
    page = (out / INDEX).read_text(encoding="utf-8")
    assert "Blue" in page
    assert "Red" not in page


def test_the_command_says_that_it_was_stopped(folder, capsys, monkeypatch):
    """One sentence in place of a trace, and the code that a shell expects."""

    def stop(*_, **__) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("kit.each.make_each", stop)
    assert main(["report", str(folder), "--for", "educator", "--each", "choir"]) == 130
    assert capsys.readouterr().err.strip().splitlines()[-1] == (
        "Stopped. What was made is kept; the same command again goes on from there."
    )
