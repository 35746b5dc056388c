"""Odd studies: every report is made, or one clear sentence says why not; nothing of a name is run or taken for markup."""

import re

import pytest

from kit.__main__ import READERS
from kit.errors import StudyProblems
from kit.make import make_reports
from tests.fuzz.odd_studies import STUDIES, make

PYTHON = re.compile(r"\b(?:[A-Z]\w*Error|Traceback|NoneType|KeyError)\b")


def reports(folder, readers, audience):
    """Make reports of a study; a study that cannot be used is refused with what to mend."""
    pages, problems = [], ()
    try:
        pages = make_reports(folder, readers, audience=audience, out=folder / audience)
    except StudyProblems as refused:
        problems = refused.problems
    assert bool(pages) != bool(problems)
    assert all(problem.found and problem.do and not PYTHON.search(str(problem)) for problem in problems)
    return pages


# a sign that the letters of the pictures lack is drawn as a box
@pytest.mark.filterwarnings("ignore:Glyph")
@pytest.mark.parametrize("name", ["markup", "other letters"])
def test_names_of_signs_and_other_letters_make_a_public_review(tmp_path, name):
    """Markup stands there as it was typed, and choirs without a Latin letter are told apart."""
    folder, code = make(tmp_path, **STUDIES[name])
    assert code == 0
    [page] = reports(folder, {"educator": READERS["educator"]}, "public")
    text = page.read_text(encoding="utf-8")
    assert "<script" not in text
    assert "<b>North</b>" not in text
    labels = (page.parent / "numbers.csv").read_text(encoding="utf-8").splitlines()
    assert len({line.split(",")[0] for line in labels}) == len(labels)


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore:Glyph")
@pytest.mark.parametrize("audience", ["teacher", "public"])
@pytest.mark.parametrize("name", list(STUDIES))
def test_every_report_of_an_odd_study_is_made_or_refused(tmp_path, name, audience):
    """All three, for the teacher and for everybody: no error of Python's own, no script."""
    folder, code = make(tmp_path, **STUDIES[name])
    for page in reports(folder, dict(READERS), audience) if code == 0 else ():
        assert "<script" not in page.read_text(encoding="utf-8")
