"""The published examples that the checks of methods show: each is one of the reference values, and comes out as printed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kit.questions.published_examples import COLUMNS, STATISTICS, published_examples, same

ROOT = Path(__file__).parents[2]
EXAMPLES = json.loads((ROOT / "kit" / "questions" / "published_examples.json").read_text(encoding="utf-8"))


def reference(example):
    """Find the reference value that an example is taken from."""
    text = (ROOT / "tests" / "reference" / f"{example['statistic']}.json").read_text(encoding="utf-8")
    (case,) = [case for case in json.loads(text)["cases"] if case["id"] == example["case"]]
    return case


@pytest.mark.parametrize("example", EXAMPLES, ids=[f"{one['statistic']}-{one['case']}" for one in EXAMPLES])
def test_examples_are_those_of_the_reference(example):
    """Data, options and printed numbers are those of the reference value, whose source is a text, not a computation."""
    case = reference(example)
    assert example["data"] == case["data"]
    assert {key: value for key, value in example["options"].items() if key != "unit"} == case["options"]
    assert not case["status"].startswith(("made by", "computed"))
    for part, printed in example["printed"].items():
        expected, tolerance = case["expected"][part]
        digits = len(printed.partition(".")[2])
        assert float(printed) == pytest.approx(expected, abs=tolerance + 0.5 * 10**-digits)


@pytest.mark.parametrize("example", EXAMPLES, ids=[f"{one['statistic']}-{one['case']}" for one in EXAMPLES])
def test_sources_and_status_are_those_of_the_reference(example):
    """The year is that of the reference, and what was only remembered is never called seen."""
    case = reference(example)
    year = [
        word
        for word in example["about"].replace("(", " ").replace(")", " ").split()
        if word.isdigit() and len(word) == 4
    ]
    assert not year or year[0] in case["source"] or "statpsych" in example["source"]
    assert ("memory" in example["status"]) == ("memory" in case["status"] or "data" in case["status"])


def test_every_printed_number_comes_out():
    """All numbers come out with the printed digits."""
    rows = published_examples().rows
    assert tuple(rows.columns) == COLUMNS
    assert len(rows) == sum(len(one["printed"]) for one in EXAMPLES)
    assert rows.loc[~rows["same"], ["about", "part", "printed", "ours"]].to_dict("records") == []


def test_numbers_have_labels_of_their_own():
    """Each example is one estimate, told apart by statistic and by what it is about."""
    estimates = published_examples().estimates
    assert len({one.label for one in estimates}) == len(EXAMPLES)
    assert {one.name for one in estimates} == set(STATISTICS)


@pytest.mark.parametrize(
    ("printed", "ours", "expected"),
    [
        ("0.29", 0.2949, True), ("0.29", 0.2951, False), ("-0.010", -0.0104, True), ("-0.010", -0.0106, False),
        ("20", 20.4, True), ("20", 20.6, False), ("0.0000", 0.0, True), ("1.50", 1.505, True),
    ],
)  # fmt: skip
def test_same_digits(printed, ours, expected):
    """A number is the same if it lies within half a unit of the last printed digit."""
    assert same(printed, ours) is expected
