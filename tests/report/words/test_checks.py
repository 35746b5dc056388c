"""What the checks of methods say, whatever was simulated, and the page that they make."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from kit.figures.coverage import KINDS
from kit.questions import coverage
from kit.questions.coverage.ways import OF_CHOIRS, WAYS
from kit.questions.published_examples import published_examples
from kit.report.build import build_report
from kit.report.captions import checks as captions
from kit.report.claims import gate
from kit.report.names_of_ways import CONTRAST, NAMES
from kit.report.tables import checks as tables
from kit.report.words import checks as words

ROOT = Path(__file__).parents[3]
NOTEBOOK = ROOT / "notebooks" / "method_checks.ipynb"
TRIED = coverage.size(students=12, choirs=4, ceiling=0.5)
EXAMPLES = published_examples()


def made_up(shares, *, told=400, draws=400, n=12):
    """Make a run with these shares for three ways of one kind of scores each."""
    ways = ("mean_gain", "mean_gain_choirs_ignored", "share_exact")
    rows = pd.DataFrame([
        {"way": way, "scores": scores, "n": n, "draws": draws, "told": told, "held": round(share * told), "truth": 0.5}
        for way, share in zip(ways, shares, strict=True) for scores in KINDS
    ])  # fmt: skip
    return coverage._coverage(rows, 0.95, "test")


RUNS = {
    "as promised": made_up((0.95, 0.95, 0.95)),
    "one too seldom": made_up((0.95, 0.70, 0.995)),
    "all too seldom": made_up((0.80, 0.0, 0.5)),
    "nothing told": made_up((0, 0, 0), told=0),
    "some told": made_up((0.9, 1.0, 0.5), told=3),
    "true run": coverage.simulate(TRIED, rng=np.random.default_rng(1), draws=50, ways=("d_pre", *OF_CHOIRS)),
    "too small": coverage.simulate(
        coverage.size(students=1, choirs=1, ceiling=0.0), rng=np.random.default_rng(1), draws=50,
        ways=("mean_gain", "cronbach_alpha_bca", "cluster_mean_difference"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", RUNS)
def test_every_sentence_passes_the_gate_and_reads_like_prose(name):
    """Sentences, notes and captions pass the gate of this page and hold no broken number."""
    found = RUNS[name]
    said = [
        words.in_short(found, EXAMPLES), words.missing_too_often(found), words.cautions(), words.what_follows(), words.too_seldom_by_scores(found),
        words.what_is_tried(TRIED, found, alike=0.1),
        words.what_is_tried(dataclasses.replace(TRIED, from_study=("students", "ceiling")), found, alike=0.0),
    ]  # fmt: skip
    for one in said:
        one.passed(words.ANY)
        for sentence in one.sentences:
            assert re.fullmatch(r"[A-Z0-9].*[.]", sentence), sentence
            assert not re.search(r"  |nan|None|\.\.|[,:] ?\.|\b1 choirs|\b1 students", sentence), sentence
    for note in (*tables.coverage_notes(found), *tables.sizes_notes(found), tables.EXAMPLES_NOTE, tables.SOURCES_NOTE):
        assert re.fullmatch(r"[A-Z0-9].*[.]", gate(note, code=words.ANY, limits=True)), note
    captions.coverage_caption(found, what="one group").passed(words.ANY)
    captions.sizes_caption(found).passed(words.ANY)


def test_in_short():
    """The box counts printed numbers and intervals, and names what is too seldom with its worst share."""
    printed = len(EXAMPLES.rows)
    assert words.in_short(RUNS["one too seldom"], EXAMPLES).sentences == (
        f"{printed} of {printed} printed numbers come out with the same digits here.",
        "At this size the kit's 95 % intervals hold the truth about as often as they promise, or more often: 2 of 2 with "
        "normal scores, 2 of 2 with a few far ahead and 2 of 2 with many at the top.",
        "Clearly too seldom, even allowing for chance in the simulation: none that a report takes.",
        "Also tried, for contrast, but taken by no report: average gain, choirs ignored (70.0 % at worst).",
    )
    assert words.in_short(RUNS["as promised"], EXAMPLES).sentences[2:] == (
        "Clearly too seldom, even allowing for chance in the simulation: none that a report takes.",
    )
    assert (
        words.missing_too_often(RUNS["all too seldom"])
        .sentences[0]
        .endswith(": average gain, Student's t (80.0 % at worst); share, Clopper and Pearson (50.0 % at worst).")
    )


def test_in_short_without_any_interval():
    """Where nothing can be told of intervals, the box says so."""
    assert words.in_short(RUNS["nothing told"], EXAMPLES).sentences[1:] == (words.TOO_SMALL,)


def test_a_wrong_digit_is_told():
    """A printed number that does not come out here is counted and marked."""
    rows = EXAMPLES.rows.assign(same=EXAMPLES.rows.index > 0)
    wrong = dataclasses.replace(EXAMPLES, rows=rows)
    assert words.in_short(RUNS["as promised"], wrong).sentences[0].startswith(f"{len(rows) - 1} of {len(rows)} ")
    assert list(tables.examples_table(wrong)["Same digits"][:2]) == ["NO", "yes"]


def test_what_is_tried_tells_where_the_size_comes_from():
    """What was found in a study is told apart from what was typed."""
    inside = dataclasses.replace(TRIED, from_study=("students",))
    told = words.what_is_tried(inside, RUNS["as promised"], alike=0.25).sentences
    assert "Taken from the study: 12 students in one choir, or in each of two groups." in told
    assert (
        "Taken from the settings above: 4 choirs of as many where whole choirs are drawn and 50 percent of the students "
        "at the top of the second test where there is a top."
    ) in told
    assert told[-2].startswith("25 percent of the variance lies between choirs.")
    assert told[-1].startswith("400 studies are drawn for every number.")


def test_long_runs_are_told_by_kind_of_scores():
    """Each kind of scores names its own intervals, those for contrast left out; with nothing to name, that is said."""
    rows = RUNS["one too seldom"].rows
    some = rows.assign(
        off=np.where((rows["way"] == "share_exact") & (rows["scores"] == "skewed"), "below", rows["off"])
    )
    assert words.too_seldom_by_scores(dataclasses.replace(RUNS["one too seldom"], rows=some)).sentences[:-1] == (
        "Clearly too seldom at some size with a few far ahead: share, Clopper and Pearson.",
    )
    assert words.too_seldom_by_scores(RUNS["one too seldom"]).sentences[0] == (
        "No interval that a report takes holds the truth clearly too seldom at any size."
    )


def test_what_follows_is_what_the_long_runs_show():
    """Each sentence on what to trust holds for every cell of the stored table that it speaks of."""
    held = coverage.long_runs().rows.pivot_table(index=["scores", "n"], columns="way", values="value")
    few, skewed = held[held.index.get_level_values("n") <= 20], held.loc["skewed"]
    assert (few["mean_gain"] > few["mean_gain_bca"]).all()
    assert (few["mean_gain"] > few["mean_gain_percentile"]).all()
    assert held["median_gain"].min() > 0.94
    assert held["mean_gain_choirs_ignored"].max() < 0.75
    assert held["mean_gain_choirs"].min() > 0.94
    normal, ceiling = (held.loc[kind] for kind in ("normal", "ceiling"))
    for way in ("d_pre", "correlation", "cronbach_alpha", "kr20", "spearman_brown"):
        assert held[f"{way}_jackknife"].min() > 0.92
        assert (skewed[f"{way}_jackknife"] > skewed[way]).all()
        assert min(normal[f"{way}_jackknife"].min(), ceiling[f"{way}_jackknife"].min()) > 0.93
    assert (held["kappa_weighted_jackknife"] > held["kappa_weighted"] - 0.005).all()
    assert held.xs(5, level="n")["kappa_weighted"].max() < 0.75
    assert held["kappa_weighted_jackknife"].min() > 0.9
    assert held.xs(100, level="n")["icc_single"].max() < 0.9 < held.xs(100, level="n")["icc_single_jackknife"].min()
    still = held[["mean_gain", "icc_single_jackknife", "limit_of_agreement_low"]].loc[("skewed", slice(10, 20)), :]
    assert still.max(axis=None) < 0.93


def test_the_table_of_a_run():
    """A row for each interval, a column for each kind of scores, with chance in brackets and a word if far off."""
    table = tables.coverage_table(RUNS["one too seldom"])
    assert list(table.columns) == ["Interval", *KINDS.values()]
    assert list(table["normal scores"]) == ["95.0 % (92.4 to 96.7)", "70.0 % (65.3 to 74.3) low",
                                            "99.5 % (98.2 to 99.9) high"]  # fmt: skip
    assert set(tables.coverage_table(RUNS["nothing told"])["normal scores"]) == {"–"}


def test_the_table_of_sizes():
    """A row for each interval and a column for each size, in percent."""
    both = pd.concat([made_up((0.95, 0.7, 0.995), n=n).rows for n in (5, 10)])
    table = tables.sizes_table(dataclasses.replace(RUNS["as promised"], rows=both), scores="skewed")
    assert table.to_dict("list") == {
        "Interval": [NAMES[way] for way in ("mean_gain", "mean_gain_choirs_ignored", "share_exact")],
        "n 5": ["95.0", "70.0 low", "99.5 high"], "n 10": ["95.0", "70.0 low", "99.5 high"],
    }  # fmt: skip


def test_every_way_has_a_name_of_its_own():
    """The names are those of the ways that are tried, each once."""
    assert set(NAMES) == set(WAYS)
    assert len(set(NAMES.values())) == len(NAMES)


def test_ways_for_contrast_are_taken_by_no_report():
    """No module of the kit but the trial itself asks for a bootstrap of gains or correlations."""
    assert set(CONTRAST) < set(WAYS)
    users = {
        f"{path.parent.name}/{path.stem}" for path in (ROOT / "kit").rglob("*.py")
        if re.search(r"\bbootstrap_(bca|percentile)\(|import .*bootstrap_(bca|percentile)\b", path.read_text("utf-8"))
    }  # fmt: skip
    assert users <= {"stats/resampling", "coverage/ways"}


def test_examples_have_two_digits_more():
    """Ours stand beside the printed numbers with two digits more, part by part."""
    first = tables.examples_table(EXAMPLES).iloc[0]
    assert first["Number and where it was printed"] == "average gain: Student (1908), hours of sleep"
    assert first["Printed"] == "1.58\nfrom 0.7001142\nto 2.4598858\np 0.002833"
    assert first["This kit"] == "1.5800\nfrom 0.700114237\nto 2.459885763\np 0.00283289"


def test_the_alternative_text_tells_every_share():
    """What a blind reader is told holds the share of every mark, kind by kind."""
    alt = captions.coverage_caption(RUNS["one too seldom"], what="one group").alt
    assert "average gain, Student's t: normal scores 95.0 %, a few far ahead 95.0 %, many at the top 95.0 %" in alt
    assert "normal scores: n 12 70.0 %" in captions.sizes_caption(RUNS["one too seldom"]).alt


@pytest.mark.slow
@pytest.mark.parametrize(
    ("parameters", "told"),
    [
        ({}, "25 students in one choir, or in each of two groups"),
        ({"folder": str(ROOT / "synthetic_data" / "one_choir")}, "Taken from the study:"),
        ({"students": 2, "choirs": 1, "ceiling": 0.0, "alike": 0.0, "level": 0.9}, "2 students in one choir"),
    ],
)
def test_the_workbench_makes_a_page(parameters, told, tmp_path):
    """From plain numbers or a study folder the notebook makes a page whose numbers all have their row."""
    options = parameters | {"draws": 50}
    page = build_report(NOTEBOOK, options, tmp_path / "checks", name="checks").read_text(encoding="utf-8")
    assert told in page
    numbers = pd.read_csv(tmp_path / "checks" / "numbers.csv")
    assert {"share_wilson", "mean_gain", "icc_single"} <= set(numbers["name"])
    assert numbers["label"].is_unique
