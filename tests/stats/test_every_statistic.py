"""What holds for every statistic alike: its text, its laws, its edges; the table of examples is beside this file."""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil
import re
import time
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import kit.stats
from kit.errors import NotConvergedError, TooFewError
from kit.glossary import GLOSSARY
from kit.sources import SOURCES
from tests.stats.examples import EXAMPLES as BY_STATISTIC
from tests.stats.examples import FOLLOWS, MIRRORS, OTHER_WORDS, STAYS, TURNS

REFERENCE = Path(__file__).parents[1] / "reference"
EXAMPLES = BY_STATISTIC | OTHER_WORDS
NAMES = sorted(EXAMPLES)
WITHOUT_FORMULA = {"count": "everyone is counted", "attrition_boundary": "read off a printed table"}
"""Statistics whose text says in words what is done, and why that is enough."""
DRAWN = {"cluster_wild", "imputed"}
"""Statistics that hang on random draws: the order of rows decides who is drawn."""
RANKS = {"median_gain", "median_difference"}
"""Statistics whose interval may not exist at a higher level: so few students have so few ranks."""


def statistics():
    """Find every public function of kit.stats that gives an Estimate."""
    found = {}
    for module in pkgutil.walk_packages(kit.stats.__path__, "kit.stats."):
        for name, function in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction):
            own = function.__module__ == module.name and not name.startswith("_")
            if own and function.__annotations__.get("return") == "Estimate":
                found[name] = function
    return found


STATISTICS = statistics()


def statistic(name):
    """Give the function of an example."""
    return STATISTICS[name.split(":", maxsplit=1)[0]]


def options_of(name):
    """Name the options of a statistic."""
    return inspect.signature(statistic(name)).parameters


WITH_ROWS = [name for name in NAMES if EXAMPLES[name].rows]
WITH_LEVEL = [name for name in NAMES if "level" in options_of(name)]


def ask(name, data, **more):
    """Ask a statistic, with the words that it needs."""
    words = {"about": "A", "unit": "points", "rng": np.random.default_rng(5)}
    options = options_of(name)
    words = {
        word: value for word, value in words.items() if word in options and options[word].default is options[word].empty
    }
    return statistic(name)(**data, **words | EXAMPLES[name].options | more)


def answer(name, data, **more):
    """Ask a statistic; None where it refuses, with a sentence that says what it needs and what it has."""
    try:
        found = ask(name, data, **more)
    except (TooFewError, NotConvergedError) as refusal:
        assert re.match(r"\w+: (needs|has) .+\. .+\.$", str(refusal))  # noqa: PT017  every refusal, wherever it comes from
        return None
    assert np.isfinite(found.value)
    assert found.name == statistic(name).__name__
    assert found.about == "A"
    if found.interval:
        assert found.interval.low <= found.value + 1e-9 * abs(found.value)
        assert found.value <= found.interval.high + 1e-9 * abs(found.value)
    assert found.p is None or 0 <= found.p <= 1
    assert found.df is None or 0 < found.df < np.inf
    return found


def numbers(found):
    """Give value and ends, nan where there are none."""
    return np.array([found.value, *((found.interval.low, found.interval.high) if found.interval else (np.nan,) * 2)])


def altered(data, names, change):
    """Change some arguments."""
    return data | {name: change(data[name]) for name in names}


def of_rows(name, data, pick):
    """Keep rows of each list of rows."""
    for block in EXAMPLES[name].rows:
        rows = pick(len(data[block[0]]))
        data = altered(data, block, lambda values, rows=rows: np.asarray(values)[rows])
    return data


def measured(name, data):
    """Name the columns of an example that hold measures."""
    return [column for block in EXAMPLES[name].rows for column in block if np.asarray(data[column]).dtype.kind == "f"]


def last_missing(values):
    """Leave the last row empty."""
    values = values.astype(float)
    values[-1] = np.nan
    return values


def agree(found, expected, close):
    """Compare value and ends, to so many digits of the largest of them."""
    largest = np.abs(expected[np.isfinite(expected)]).max()
    assert found == pytest.approx(expected, rel=close, abs=close * (1 + largest), nan_ok=True)


def alike(found, expected, close):
    """Compare all that two answers say."""
    agree(numbers(found), numbers(expected), close)
    assert (found.n, found.dropped, found.clusters) == (expected.n, expected.dropped, expected.clusters)
    for part in ("p", "df"):
        one, other = getattr(found, part), getattr(expected, part)
        assert (one is None) == (other is None)
        assert one is None or one == pytest.approx(other, rel=10 * close, abs=10 * close)


def for_examples(name, law):
    """Hold a law against random examples of a statistic; `law` takes arguments, answer and a random generator."""

    @settings(
        max_examples=EXAMPLES[name].tries, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True
    )
    @given(seed=st.integers(0, 2**32 - 1))
    def hold(seed):
        rng = np.random.default_rng(seed)
        data = EXAMPLES[name].data(rng)
        law(data, ask(name, data), rng)

    hold()


def test_every_statistic_has_its_line():
    """The table names just the functions of kit.stats that give an Estimate."""
    assert set(BY_STATISTIC) == set(STATISTICS)


@pytest.mark.parametrize("name", STATISTICS)
def test_text(name):
    """A statistic's text says what it assumes, what becomes of gaps, formula, refusals, source, and shows an example."""
    text = inspect.getdoc(STATISTICS[name])
    parts = re.split(r"\n\n(Parameters|Returns|Raises|Notes|References|Examples)\n-+\n", text)
    assert parts[1::2] == ["Parameters", "Returns", "Raises", "Notes", "References", "Examples"]
    about, (parameters, _, refusals, notes, references, example) = parts[0], parts[2::2]
    assert re.search(r"assum|takes for granted", about)
    assert re.search(r"\bNaN\b|missing|left out", parameters + about + notes)
    assert (":math:" in notes) != (name in WITHOUT_FORMULA)
    assert re.search(r"Error\n", refusals)
    keys = re.findall(r"``([a-z0-9-]+)``", references)
    assert keys
    assert set(keys) <= set(SOURCES)
    assert f"{name}(" in example


@pytest.mark.parametrize("name", STATISTICS)
def test_word_source_and_reference_file(name):
    """Every statistic has a word in the glossary, sources that are listed, and a file of outside values."""
    found = ask(name, EXAMPLES[name].data(np.random.default_rng(1)))
    assert GLOSSARY[name].name == name
    assert found.source in SOURCES
    assert found.interval is None or found.interval.source in SOURCES
    assert (REFERENCE / f"{name}.json").is_file()


@pytest.mark.parametrize("name", [name for name in WITH_ROWS if not EXAMPLES[name].ordered and name not in DRAWN])
def test_order_of_rows_is_nothing(name):
    """Rows in another order give the same answer."""

    def law(data, found, rng):
        alike(ask(name, of_rows(name, data, rng.permutation)), found, EXAMPLES[name].close)

    for_examples(name, law)


@pytest.mark.parametrize("name", [name for name in NAMES if EXAMPLES[name].scale or EXAMPLES[name].shift])
def test_unit_and_zero_of_the_scale(name):
    """Scores in another unit, or counted from another zero, give the same answer in that unit, and the same p."""
    example = EXAMPLES[name]

    def law(data, found, rng):
        scale, shift = float(rng.uniform(0.1, 9)), float(rng.integers(0, 50))
        other = altered(data, example.scale, lambda values: values * scale)
        expected = numbers(found) * (scale if example.scaled == FOLLOWS else 1)
        agree(numbers(ask(name, other)), expected, example.close)
        assert (ask(name, other).p is None) == (found.p is None)
        assert found.p is None or ask(name, other).p == pytest.approx(found.p, rel=1e-6, abs=1e-9)
        moved = altered(data, example.shift, lambda values: values + shift)
        expected = numbers(found) + (shift if example.shifted == FOLLOWS else 0)
        agree(numbers(ask(name, moved)), expected, example.close)

    for_examples(name, law)


@pytest.mark.parametrize("name", [name for name in NAMES if EXAMPLES[name].swap])
def test_two_sides_exchanged(name):
    """Both sides exchanged turn value and ends round, mirror them or leave them, and leave p."""
    example = EXAMPLES[name]

    def law(data, found, rng):
        value, low, high = numbers(found)
        sides = {TURNS: [-value, -high, -low], MIRRORS: [1 - value, 1 - high, 1 - low], STAYS: [value, low, high]}
        other = ask(name, example.swap(data))
        agree(numbers(other), np.array(sides[example.swapped]), example.close)
        assert other.p == (None if found.p is None else pytest.approx(found.p, rel=1e-4, abs=10 * example.close))

    for_examples(name, law)


@pytest.mark.parametrize("name", [name for name in WITH_ROWS if name not in DRAWN])
def test_a_missing_row_is_a_removed_row(name):
    """A row with a gap counts as dropped; all else is as if it had never been there."""
    example = EXAMPLES[name]

    def law(data, found, rng):
        for block in example.rows:
            for gap in set(block) - set(example.kept):
                more = altered(data, block, lambda values: np.concatenate([values, np.asarray(values)[:1]]))
                more = altered(more, [gap], last_missing)
                holed = ask(name, more)
                assert holed.dropped == found.dropped + 1
                alike(dataclasses.replace(holed, dropped=found.dropped), found, example.close)

    for_examples(name, law)


@pytest.mark.parametrize("name", [name for name in WITH_LEVEL if name != "power_simulated"])
def test_higher_level_is_not_narrower(name):
    """An interval of a higher level holds that of a lower one; both say their level, and the value is the same."""

    def law(data, found, rng):
        inner, outer = (ask(name, data, level=level) for level in sorted(rng.uniform(0.5, 0.99, 2)))
        if outer.interval is None:
            assert name in RANKS or inner.interval is None
            return
        dust = EXAMPLES[name].close * (1 + np.abs(numbers(inner)[np.isfinite(numbers(inner))]).max())
        assert outer.interval.low <= inner.interval.low + dust
        assert outer.interval.high >= inner.interval.high - dust
        assert inner.interval.level < outer.interval.level
        assert inner.value == outer.value

    for_examples(name, law)


@pytest.mark.parametrize("name", WITH_LEVEL)
def test_a_level_is_a_proportion(name):
    """A level that is not between 0 and 1 is refused."""
    data = EXAMPLES[name].data(np.random.default_rng(2))
    for level in (0, 1, 95, np.nan):
        with pytest.raises(ValueError, match=r"^\w+: level must be between 0 and 1\. Got "):
            ask(name, data, level=level)


@pytest.mark.parametrize("name", WITH_ROWS)
def test_infinite_numbers_are_refused(name):
    """An infinite number in any column is refused with a sentence."""
    data = EXAMPLES[name].data(np.random.default_rng(3))
    for column in measured(name, data):
        for wrong in (np.inf, -np.inf):
            values = np.array(data[column])
            values.flat[1] = wrong
            with pytest.raises(ValueError, match=r"^\w+: .+\."):
                ask(name, data | {column: values})


@pytest.mark.parametrize("name", NAMES)
def test_single_numbers_are_finite(name):
    """A printed number, a count or a share that is missing or infinite is refused with a sentence (df and a width may be infinite)."""
    data = EXAMPLES[name].data(np.random.default_rng(3))
    single = [argument for argument, value in data.items() if type(value) in (int, float)]
    for argument in single:
        for wrong in (np.nan, np.inf) if argument not in {"df", "within"} else (np.nan,):
            with pytest.raises(ValueError, match=r"^[\w ']+: .+\."):
                ask(name, data | {argument: wrong})


@pytest.mark.parametrize("name", WITH_ROWS)
def test_few_rows(name):
    """With no rows, one, two or three there is an answer that can be printed, or a refusal that says what is missing."""
    data = EXAMPLES[name].data(np.random.default_rng(4))
    for few in range(4):
        answer(name, of_rows(name, data, lambda n, few=few: np.arange(n)[:few]))
        answer(name, of_rows(name, data, lambda n, few=few: np.arange(n)[n - few :]))


@pytest.mark.parametrize("name", WITH_ROWS)
def test_scores_that_say_little(name):
    """All the same, all at the ceiling, nothing but ties, one column like another: an answer, or a refusal."""
    data = EXAMPLES[name].data(np.random.default_rng(6))
    columns = measured(name, data)
    first = np.asarray(data[columns[0]])
    odd = {
        "none right": np.zeros_like, "all right": np.ones_like, "ties": lambda values: (values > np.nanmedian(values)) * 1.0,
        "one like another": lambda values: first if values.shape == first.shape else values,
        "in tenths": lambda values: values / 10,
    }  # fmt: skip
    for change in odd.values():
        for changed in (columns, *([column] for column in columns)):
            try:
                answer(name, altered(data, changed, change))
            except ValueError as refusal:
                assert re.match(r"\w+: .+\.", str(refusal))  # noqa: PT017  a mark that is none, a time that comes twice


@pytest.mark.parametrize("name", WITH_ROWS)
def test_any_list_of_numbers_will_do(name):
    """Lists, columns of a table with any index, and numbers that must not be written to give the same answer."""
    data = EXAMPLES[name].data(np.random.default_rng(7))
    found = ask(name, data)
    columns = [column for block in EXAMPLES[name].rows for column in block]

    def sealed(values):
        values = np.array(values)
        values.flags.writeable = False
        return values

    def column(values):
        return (pd.Series if values.ndim == 1 else pd.DataFrame)(values, index=np.arange(len(values))[::-1])

    for form in (lambda values: values.tolist(), column, sealed):
        alike(ask(name, altered(data, columns, form)), found, 1e-12)


@pytest.mark.parametrize("name", [name for name in WITH_ROWS if EXAMPLES[name].many])
def test_many_rows_take_no_time(name):
    """Thousands of times as many rows are answered within seconds (a list of all pairs would need gigabytes)."""
    example = EXAMPLES[name]
    data = example.data(np.random.default_rng(8))
    times = example.many // len(data[example.rows[0][0]])
    rows = [column for block in example.rows for column in block]
    start = time.process_time()
    ask(name, altered(data, rows, lambda values: np.repeat(values, times, axis=0)))
    assert time.process_time() - start < 20
