"""Means and spreads of two forms in one population, against published numbers and against leaving students out."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.special import stdtrit

from kit.errors import TooFewError
from kit.stats.equating.designs import two_forms
from kit.stats.equating.forms import equate_mean
from kit.stats.equating.moments import influences, need_line, population

REFERENCE = Path(__file__).parents[2] / "reference"
DESIGNS = ["single group", "random groups", "counterbalanced", "anchor"]


def forms_of(design, n=40, seed=1):
    """Make two forms of a test for n students, or n students each."""
    rng = np.random.default_rng(seed)
    skill = rng.normal(20, 5, (2, n))
    x, y = skill[0] + rng.normal(0, 2, n), skill[0 if design in DESIGNS[::2] else 1] + 3 + rng.normal(0, 2, n)
    options = {"x_first": None, "anchors": None}
    if design == "counterbalanced":
        options["x_first"] = np.arange(n) % 3 == 0
    if design == "anchor":
        options["anchors"] = tuple(skill * 0.3 + rng.normal(0, 1, (2, n)))
    return two_forms("equate_linear", x, y, design=design, about="A", **options)


def anchor_scores():
    """Read Kolen and Brennan's common-item example: 1,655 and 1,638 students, 36 items, 12 of them in common."""
    table = pd.read_csv(REFERENCE / "equating_anchor.csv")
    x, y = (part.loc[part.index.repeat(part["students"])] for _, part in table.groupby("form"))
    return {"x": x["total"], "y": y["total"], "design": "anchor", "anchors": (x["anchor"], y["anchor"]), "about": "A"}


def anchor_forms():
    """Lay the common-item example out as two forms."""
    return two_forms("equate_linear", x_first=None, **anchor_scores())


def test_published_random_groups():
    """Means 19.8524 and 18.9798, spreads 8.2116 and 8.9393.

    Kolen & Brennan (2004), Test Equating, Scaling, and Linking, table 2.6 (from memory, recomputed in R 4.2.2);
    counts of table 2.5 as in the open R package equate, ACTmath.
    """
    table = pd.read_csv(REFERENCE / "equating_random_groups.csv")
    x, y = (np.repeat(table["score"], table[column]) for column in ("students_x", "students_y"))
    forms = two_forms("equate_linear", x, y, design="random groups", x_first=None, anchors=None, about="A")
    mean_x, variance_x, mean_y, variance_y = population(forms)
    assert [mean_x, variance_x**0.5] == pytest.approx([19.8524, 8.2116], abs=6e-5)
    assert [mean_y, variance_y**0.5] == pytest.approx([18.9798, 8.9393], abs=6e-5)


def test_published_anchor():
    """Means, spreads, covariances with the anchor, and Tucker's mean of form Y among those who took X: 16.8153.

    Kolen & Brennan (2004), chapter 4, tables 4.4 and 4.5 (from memory, recomputed in R 4.2.2); data as in the open R
    package equate, KBneat.
    """
    forms = anchor_forms()
    (x, y), (v, w) = forms.groups[0].T, forms.groups[1].T
    assert [x.mean(), x.std(), y.mean()] == pytest.approx([15.8205, 6.5278, 5.1063], abs=6e-5)
    assert [v.mean(), v.std(), w.mean()] == pytest.approx([18.6728, 6.8784, 5.8626], abs=6e-5)
    assert np.cov(x, y, ddof=0)[0, 1] == pytest.approx(13.4088, abs=6e-5)
    assert np.cov(v, w, ddof=0)[0, 1] == pytest.approx(14.7603, abs=6e-5)
    assert population(forms)[2] == pytest.approx(16.8153, abs=1e-4)


@pytest.mark.parametrize("design", DESIGNS)
@pytest.mark.parametrize("at", [-8.0, 0.0, 6.0])
def test_errors_equal_leaving_students_out(design, at):
    """The delta method's standard error is that of the jackknife, students left out one by one within groups."""
    forms = forms_of(design, n=400)
    centred = forms.centred()

    def line(mean_x, variance_x, mean_y, variance_y):
        return mean_y + (variance_y / variance_x) ** 0.5 * (at - mean_x)

    error = sum(part.var(ddof=1) / part.size for part in influences(centred, line)) ** 0.5
    squares = 0.0
    for place, group in enumerate(centred.groups):
        left = []
        for row in range(len(group)):
            groups = list(centred.groups)
            groups[place] = np.delete(group, row, axis=0)
            left.append(line(*population(type(forms)(design, forms.names, tuple(groups), 0))))
        squares += (len(group) - 1) * np.var(left)
    assert error == pytest.approx(squares**0.5, rel=0.02)


@pytest.mark.parametrize("design", DESIGNS)
def test_influences_are_centred(design):
    """Students' pushes and pulls cancel out within every group."""
    for part in influences(forms_of(design).centred(), lambda mean_x, a, mean_y, b: mean_y + b - a - mean_x):
        assert part.mean() == pytest.approx(0, abs=1e-10)


def test_both_orders_count_half():
    """Counterbalanced, a practice gain on whichever form comes second cancels, however unequal the two groups are."""
    first = np.arange(30) < 10
    skill = np.tile([10.0, 12.0, 14.0, 16.0, 18.0], 6)
    x, y = skill + np.where(first, 0, 2), skill + 1 + np.where(first, 2, 0)
    forms = two_forms("equate_mean", x, y, design="counterbalanced", x_first=first, anchors=None, about="A")
    mean_x, _, mean_y, _ = population(forms)
    assert mean_y - mean_x == pytest.approx(1, abs=1e-12)
    assert np.mean(y - x) < 0.5


@pytest.mark.parametrize(
    ("x", "y", "anchors", "message"),
    [
        ([5, 5, 5], [1, 2, 3], None, "equate_linear: needs scores on form X that differ. A has none that do."),
        ([1, 2, 3], [5, 5, 5], None, "equate_linear: needs scores on form Y that differ. A has none that do."),
        ([1, 2, 3], [1, 2, 3], ([1, 1, 1], [1, 2, 2]),
         "equate_linear: needs scores on the items in common that differ. A has none that do."),
    ],
)  # fmt: skip
def test_messages(x, y, anchors, message):
    """Scores through which no line can be laid are refused with a sentence."""
    design = "single group" if anchors is None else "anchor"
    forms = two_forms("equate_linear", x, y, design=design, x_first=None, anchors=anchors, about="A")
    with pytest.raises(TooFewError) as caught:
        need_line("equate_linear", forms, "A")
    assert str(caught.value) == message


def test_error_of_the_anchor_mean_is_what_the_bootstrap_finds():
    """The formula's standard error is that of 5,000 samples in R 4.2.2 (0.118068; equate_mean.R), 2 % apart at most.

    A standard deviation of 5,000 draws is itself known to 1 % only. Kolen and Brennan's common-item data.
    """
    found = equate_mean(**anchor_scores(), unit="points")
    assert found.value == pytest.approx(0.994751, abs=6e-7)
    error = (found.interval.high - found.value) / stdtrit(found.df, 0.975)
    assert error == pytest.approx(0.118068, rel=0.02)
