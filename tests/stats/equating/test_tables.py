"""Tables from raw to equated scores: published lines and equivalents, and standard errors against other ways."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from kit.errors import TooFewError, UnknownChoiceError
from kit.stats.equating.tables import equipercentile_conversion, linear_conversion, mean_conversion

REFERENCE = Path(__file__).parents[2] / "reference"
COUNTS = pd.read_csv(REFERENCE / "equating_random_groups.csv")
X, Y = (np.repeat(COUNTS["score"], COUNTS[column]).to_numpy(float) for column in ("students_x", "students_y"))
RANDOM = {"design": "random groups", "about": "A"}


def anchor_data():
    """Read Kolen and Brennan's common-item example as scores and anchors."""
    table = pd.read_csv(REFERENCE / "equating_anchor.csv")
    taken = {form: part.loc[part.index.repeat(part["students"])] for form, part in table.groupby("form")}
    return taken["x"]["total"], taken["y"]["total"], (taken["x"]["anchor"], taken["y"]["anchor"])


def test_published_line_random_groups():
    """Slope 1.0886 and intercept -2.6319.

    Kolen & Brennan (2004), Test Equating, Scaling, and Linking, table 2.6 (from memory, recomputed in R 4.2.2).
    """
    table = linear_conversion(X, Y, **RANDOM)
    assert [table.slope, table.intercept] == pytest.approx([1.0886, -2.6319], abs=6e-5)
    assert (table.n, table.dropped, table.method) == (8481, 0, "linear, delta standard errors")


def test_published_equivalents_random_groups():
    """Unsmoothed equipercentile equivalents of scores 1, 5, 10, 15 and 20.

    Kolen & Brennan (2004), table 2.7 (from memory, recomputed in R 4.2.2).
    """
    table = equipercentile_conversion(X, Y, **RANDOM)
    assert table.convert([1, 5, 10, 15, 20]) == pytest.approx([0.9796, 3.6205, 8.1607, 13.3929, 19.1647], abs=6e-5)
    assert (table.slope, table.errors, table.scores[0], table.scores[-1]) == (None, None, 1, 40)


def test_published_line_anchor():
    """Tucker's slope 1.0289 and intercept 0.5370, for those who took form X.

    Kolen & Brennan (2004), chapter 4, table 4.5 (from memory, recomputed in R 4.2.2).
    """
    x, y, anchors = anchor_data()
    table = linear_conversion(x, y, design="anchor", anchors=anchors, about="A")
    assert table.slope == pytest.approx(1.0289, abs=1e-4)
    assert table.intercept == pytest.approx(0.537, abs=1e-3)


def test_linear_errors_equal_the_bootstrap():
    """Delta standard errors are those of students redrawn with replacement."""
    rng, drawn = np.random.default_rng(3), []
    for _ in range(500):
        x, y = rng.choice(X, X.size), rng.choice(Y, Y.size)
        drawn.append(y.mean() + y.std() / x.std() * (np.array([5, 20, 38]) - x.mean()))
    table = linear_conversion(X, Y, scores=[5, 20, 38], **RANDOM)
    assert table.errors == pytest.approx(np.std(drawn, axis=0, ddof=1), rel=0.1)


def test_equipercentile_errors_equal_the_formula():
    """Bootstrap standard errors are those of Lord's formula where scores are many.

    Kolen & Brennan (2004), formula 7.12 after Lord (1982) (from memory).
    """
    table = equipercentile_conversion(X, Y, rng=np.random.default_rng(5), draws=2_000, **RANDOM)
    for at in (10, 15, 20, 25, 30):
        rank = (np.sign(at - X).mean() + 1) / 2
        upper = min(score for score in range(41) if (score >= Y).mean() > rank)
        below, share = (upper > Y).mean(), (upper == Y).mean()
        spread = rank * (1 - rank) * (1 / X.size + 1 / Y.size) - (below + share - rank) * (rank - below) / (
            Y.size * share
        )
        assert table.errors[table.scores == at][0] == pytest.approx(spread**0.5 / share, rel=0.12)


def test_mean_table_moves_every_score_alike():
    """Mean equating adds the difference of means, with one standard error, the classic one of two means."""
    table = mean_conversion(X, Y, **RANDOM)
    assert table.slope == 1
    assert table.equated - table.scores == pytest.approx(Y.mean() - X.mean(), abs=1e-9)
    assert table.errors == pytest.approx((X.var(ddof=1) / X.size + Y.var(ddof=1) / Y.size) ** 0.5, rel=1e-9)


@pytest.mark.parametrize("conversion", [mean_conversion, linear_conversion])
def test_lines_reach_beyond_the_table(conversion):
    """A line converts any score, keeps missing ones missing, and agrees with its own table."""
    table = conversion(X, Y, **RANDOM)
    assert table.convert(table.scores) == pytest.approx(table.equated, abs=1e-12)
    assert np.isnan(table.convert([np.nan])).all()
    assert table.convert([[60]]).shape == (1, 1)


@pytest.mark.parametrize(("shift_x", "shift_y", "scale"), [(7, -3, 1), (0, 0, 2), (1e6, 1e6, 5)])
def test_shift_and_scale_pass_through(shift_x, shift_y, scale):
    """Points given away on a form, or another unit, move the line and its errors as they should."""
    plain = linear_conversion(X, Y, scores=[10, 30], **RANDOM)
    moved = linear_conversion(
        scale * X + shift_x, scale * Y + shift_y, scores=[scale * 10 + shift_x, scale * 30 + shift_x], **RANDOM
    )
    assert moved.equated == pytest.approx(scale * plain.equated + shift_y, rel=1e-9)
    assert moved.errors == pytest.approx(scale * plain.errors, rel=1e-6)


def test_there_and_back():
    """Linear equating is symmetric: there and back again is where one started."""
    there, back = linear_conversion(X, Y, **RANDOM), linear_conversion(Y, X, **RANDOM)
    assert back.convert(there.convert([3, 20, 37])) == pytest.approx([3, 20, 37], abs=1e-9)


def test_same_seed_same_errors():
    """A seed settles the bootstrap standard errors."""
    one, two = (
        equipercentile_conversion(X[::40], Y[::40], rng=np.random.default_rng(2), draws=200, **RANDOM) for _ in "ab"
    )
    assert (one.errors == two.errors).all()
    assert one.method == "equipercentile, bootstrap standard errors of 200 resamples"


@pytest.mark.parametrize(
    ("call", "kind", "message"),
    [
        (lambda: equipercentile_conversion([1, 2], [1, 2], **RANDOM).convert([1, 5]), ValueError,
         "convert: scores must be scores of the table. Got 5.0."),
        (lambda: linear_conversion([2, 2], [1, 2], **RANDOM), TooFewError,
         "linear_conversion: needs scores on form X that differ. A has none that do."),
        (lambda: mean_conversion([2, 2], [1, 2], design="paired", about="A"), UnknownChoiceError,
         "mean_conversion: design must be one of 'single group', 'random groups', 'counterbalanced', 'anchor'. "
         "Got 'paired'."),
    ],
)  # fmt: skip
def test_messages(call, kind, message):
    """What has no table is refused with a sentence."""
    with pytest.raises(kind) as caught:
        call()
    assert str(caught.value) == message
