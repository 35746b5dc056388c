"""Aligning a log: marks against a plain table, costs against a general library, rows that cannot be judged."""

from __future__ import annotations

import re
import time
from itertools import islice

import numpy as np
import pandas as pd
import pyarrow as pa
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import Levenshtein

from kit.errors import UnknownChoiceError
from kit.load.melody.alignment import OUTCOMES, UNJUDGED, align
from kit.load.melody.bits import LONGEST
from kit.load.melody.judge import approaches
from kit.load.melody.symbols import FARTHEST

PLAIN = [str(degree) for degree in range(1, 8)]
MARKED = [alter + degree + octave for alter in ("", "#", "b") for degree in "1457" for octave in ("", ",", "'", "*")]
NOTES = st.lists(st.sampled_from([*MARKED, "?"]), max_size=12)
TARGETS = st.lists(st.sampled_from(MARKED), max_size=12)


def same(asked, sung):
    """Say whether two tokens are the same note, by their characters."""
    (left, high), (right, low) = ((token.rstrip(",'*"), token.lstrip("#b1234567")) for token in (asked, sung))
    return "?" not in (asked, sung) and left == right and (high == low or "*" in (high, low))


def plain(asked, sung):
    """Needleman-Wunsch with unit costs, tied ways settled from the end: pair, else omit, else add."""
    table = [[max(i, j) if 0 in (i, j) else 0 for j in range(len(sung) + 1)] for i in range(len(asked) + 1)]
    for i, note in enumerate(asked, 1):
        for j, heard in enumerate(sung, 1):
            table[i][j] = min(
                table[i - 1][j - 1] + (not same(note, heard)), table[i - 1][j] + 1, table[i][j - 1] + 1
            )  # fmt: skip
    i, j = len(asked), len(sung)
    marks, before = [("omitted", "")] * i, [0] * (i + 1)
    while i or j:
        alike = bool(i and j) and same(asked[i - 1], sung[j - 1])
        if i and j and table[i][j] == table[i - 1][j - 1] + (not alike):
            i, j = i - 1, j - 1
            marks[i] = ("right" if alike else "substituted", sung[j])
        elif i and table[i][j] == table[i - 1][j] + 1:
            i -= 1
        else:
            j -= 1
            before[i] += 1
    return table[-1][-1], marks, before


def drawn(rng, tokens, count, longest):
    """Draw melodies; half of the sung ones are the target with slips, half are drawn afresh."""
    targets = [list(rng.choice(tokens, rng.integers(0, longest + 1))) for _ in range(count)]
    sung = []
    for number, target in enumerate(targets):
        heard = list(rng.choice(tokens, rng.integers(0, longest + 1)))
        if number % 2 and target:
            heard = [note for note in target if rng.random() > 0.1]
            heard.insert(int(rng.integers(0, len(heard) + 1)), str(rng.choice(tokens)))
        sung.append(heard[:LONGEST])
    return targets, sung


def texts(melodies):
    """Write melodies; one without notes as a rest."""
    return [" ".join(melody) or "0" for melody in melodies]


@pytest.mark.parametrize(("longest", "count"), [(9, 6000), (33, 800), (LONGEST, 300)])
def test_costs_are_those_of_a_general_library(longest, count):
    """The cost of every pair is the edit distance of rapidfuzz (Levenshtein.distance, unit weights)."""
    targets, sung = drawn(np.random.default_rng(longest), PLAIN, count, longest)
    costs = align(texts(targets), texts(sung)).rows()["cost"].tolist()
    assert costs == [Levenshtein.distance(asked, heard) for asked, heard in zip(targets, sung, strict=True)]
    assert len(set(costs)) > 5


@pytest.mark.parametrize(("tokens", "longest", "count"), [(PLAIN, 8, 6000), (MARKED, 8, 3000), (["1", "1'", "1*"], 20, 500),
                                                          (MARKED, LONGEST, 100)])  # fmt: skip
def test_marks_are_those_of_a_plain_table(tokens, longest, count):
    """Outcome, note sung instead and places of added notes equal a plain Needleman-Wunsch with the same tie rule."""
    targets, sung = drawn(np.random.default_rng(longest), tokens, count, longest)
    aligned = align(texts(targets), texts(sung))
    notes = iter(aligned.frame()[["target", "outcome", "sung", "added_before"]].astype(object).to_numpy().tolist())
    for row, (asked, heard) in enumerate(zip(targets, sung, strict=True)):
        cost, marks, before = plain(asked, heard)
        expected = [[note, *mark, added] for note, mark, added in zip(asked, marks, before, strict=False)]
        assert list(islice(notes, len(asked))) == expected
        assert aligned.added[aligned.pair[row]] == sum(before)
        assert aligned.cost[aligned.pair[row]] == cost
    assert not list(notes)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(TARGETS, NOTES), max_size=8))
def test_counts_add_up(rows):
    """Right, substituted and omitted notes are those asked; what was sung is what was asked, less omitted, and added."""
    table = align(texts(asked for asked, _ in rows), texts(sung for _, sung in rows)).rows()
    assert table["asked"].tolist() == [len(asked) for asked, _ in rows]
    assert (table["right"] + table["substituted"] + table["omitted"] == table["asked"]).all()
    assert (table["asked"] - table["omitted"] + table["added"]).tolist() == [len(sung) for _, sung in rows]
    assert (table["substituted"] + table["omitted"] + table["added"] == table["cost"]).all()


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(TARGETS, NOTES), min_size=1, max_size=5), st.randoms(use_true_random=False))
def test_rows_do_not_touch_each_other(rows, random):
    """Each row is marked as if it stood alone, whatever stands beside it and in whatever order."""
    order = random.sample(range(len(rows)), len(rows))
    mixed = [rows[place] for place in (*order, *order)]
    frame = align(texts(asked for asked, _ in mixed), texts(sung for _, sung in mixed)).frame()
    alone = [align(texts([asked]), texts([sung])).frame() for asked, sung in mixed]
    expected = [line[1:] for table in alone for line in table.astype(object).to_numpy().tolist()]
    assert [line[1:] for line in frame.astype(object).to_numpy().tolist()] == expected
    assert frame["row"].tolist() == [row for row, table in enumerate(alone) for _ in range(len(table))]


@settings(max_examples=50, deadline=None)
@given(TARGETS)
def test_what_was_asked_is_right(asked):
    """A melody sung as asked has every note right."""
    table = align(texts([asked]), texts([asked])).rows()
    assert table[["right", "cost"]].iloc[0].tolist() == [len(asked), 0]


@settings(max_examples=50, deadline=None)
@given(st.lists(TARGETS, max_size=6), st.sampled_from(["major", "minor"]))
def test_approaches_are_those_of_the_single_melody(melodies, mode):
    """The approach of every note in the table is that of `approaches`."""
    frame = align(texts(melodies), texts(melodies), mode=mode).frame()
    assert frame["approached_by"].tolist() == [word for text in texts(melodies) for word in approaches(text, mode=mode)]


def outcomes(target, sung, **options):
    """Give the outcome of each note of one melody."""
    return align([target], [sung], **options).frame()["outcome"].tolist()


@pytest.mark.parametrize(
    ("target", "sung", "expected"),
    [
        ("1 3 5", "1 4 5", ["right", "substituted", "right"]),
        ("1 3 5", "1 5", ["right", "omitted", "right"]),
        ("1 1", "1", ["omitted", "right"]),
        ("5, 1", "5 1", ["substituted", "right"]),
        ("5, 1", "5* 1", ["right", "right"]),
        ("5* 1", "5' 1", ["right", "right"]),
        ("4 5", "#4 5", ["substituted", "right"]),
        ("1 0 2 - 3", "1 2 0 3", ["right", "right", "right"]),
        ("1 2 3", "0", ["omitted", "omitted", "omitted"]),
        ("1 2 3", "1 ? 3", ["right", "substituted", "right"]),
    ],
)
def test_rules_of_comparison(target, sung, expected):
    """Alteration and known octaves count, rests and holds do not, an inaudible note is never right."""
    assert outcomes(target, sung) == expected


def test_octaves_can_be_ignored():
    """Names that were spoken tell no octave, so octaves can be left out of the comparison."""
    assert outcomes("5, 1 1'", "5 1 1", octaves="ignored") == ["right", "right", "right"]
    assert outcomes("5, 1 1'", "5 1 1") == ["substituted", "right", "substituted"]


def test_tied_alignments_are_settled_by_rule():
    """Of two alignments that cost the same, notes are paired from the end before any is omitted or added."""
    frame = align(["1 2"], ["2 1"]).frame()
    assert frame[["outcome", "sung", "added_before"]].to_numpy().tolist() == [
        ["substituted", "2", 0],
        ["substituted", "1", 0],
    ]


@pytest.mark.parametrize(
    ("target", "sung", "why"),
    [
        (None, "1 2", "no_target"),
        ("", "1 2", "no_target"),
        ("1 2", None, "not_recorded"),
        ("1 2", float("nan"), "not_recorded"),
        ("1 2", "", "not_recorded"),
        ("1 ?", "1 2", "unclear_target"),
        ("n n", "1 2", "unclear_target"),
        ("1 2", "1 n", "neutral"),
        ("1 2", " ".join(["1"] * (LONGEST + 1)), "too_long"),
        (" ".join(["1"] * (LONGEST + 1)), "1 2", "too_long"),
        ("1 2", "1" + "'" * (FARTHEST + 1), "out_of_range"),
        ("1 2", "1 0 2", ""),
    ],
)
def test_rows_that_cannot_be_judged(target, sung, why):
    """A row that cannot be judged has no marks and says why, and the rows beside it are judged."""
    aligned = align([target, "1 2"], [sung, "1 3"])
    rows, frame = aligned.rows(), aligned.frame()
    assert rows["unjudged"].tolist() == [why, ""]
    assert rows["cost"].isna().tolist() == [bool(why), False]
    assert rows["cost"].iloc[1] == 1
    assert set(frame.loc[frame["row"] == 0, "outcome"]) <= ({"not_judged"} if why else {"right"})
    assert frame.loc[frame["row"] == 0, "cost"].isna().all() == bool(why)


def test_every_reason_is_reached():
    """The rows above show every reason there is, and every outcome occurs."""
    reasons = {case[2] for case in test_rows_that_cannot_be_judged.pytestmark[0].args[1]}
    assert reasons == set(UNJUDGED)
    rules = test_rules_of_comparison.pytestmark[0].args[1]
    assert {word for case in rules for word in case[2]} | {"not_judged"} == set(OUTCOMES)


def test_longest_melodies_are_judged():
    """A melody of the most notes allowed is judged; rests do not count towards them."""
    melody = " ".join(PLAIN * 9 + ["1"])
    assert melody.count(" ") + 1 == LONGEST
    assert align([melody + " 0"], [melody + " - -"]).rows()["right"].tolist() == [LONGEST]


def test_endless_melodies_cost_no_more_than_reading_them():
    """Rows of ten thousand notes a side are told as too long, without a table of their notes being filled."""
    rng = np.random.default_rng(1)
    endless = [" ".join(rng.choice(PLAIN, 10_000)) for _ in range(40)]
    start = time.process_time()
    aligned = align([*endless, *endless, "1 2"], [*endless[::-1], "1"] * 1 + ["1 2"] * 39 + ["1 2"])
    assert time.process_time() - start < 5
    assert aligned.rows()["unjudged"].tolist() == ["too_long"] * 80 + [""]
    assert len(aligned.frame()) == 2
    assert len(aligned.target) == 2


def test_strange_octaves_make_no_strange_tables():
    """Thousands of notes in ever higher octaves are told as out of range, and make no symbols of their own."""
    aligned = align(["1"] * 2000, ["1" + "'" * octave for octave in range(2000)])
    assert aligned.rows()["unjudged"].value_counts().to_dict() | {"": 0} == {
        **dict.fromkeys(UNJUDGED, 0), "out_of_range": 2000 - FARTHEST - 1,
    }  # fmt: skip
    assert len(aligned.tokens) == FARTHEST + 1


@pytest.mark.parametrize(
    "column",
    [
        list,
        tuple,
        lambda values: np.array(values, dtype=object),
        lambda values: pd.Series(values, dtype="str"),
        lambda values: pd.Series(values, dtype="object", index=[5, 5, 2]),
        lambda values: pd.Series(values, dtype="category"),
        pa.array,
        lambda values: pa.chunked_array([values[:1], values[1:]]),
    ],
)
def test_columns_of_any_kind_are_read(column):
    """Lists, arrays and columns of text, with missing ones, give the same marks."""
    aligned = align(column(["1 2", None, "1 3 5"]), column(["1 3", "1", "1 5"]))
    assert aligned.rows()["unjudged"].tolist() == ["", "no_target", ""]
    assert aligned.rows()["cost"].tolist() == [1, pd.NA, 1]


def test_an_empty_log_has_no_rows():
    """No rows in, no rows out, with all columns."""
    aligned = align([], [])
    assert aligned.rows().shape == (0, 7)
    assert aligned.frame().shape == (0, 9)


def test_equal_rows_are_aligned_once():
    """A log of equal answers holds one pair."""
    aligned = align(["1 2", "1 2", "1 3"] * 100, ["1 2", "1 3", "1 2"] * 100)
    assert len(aligned.cost) == 3
    assert len(aligned.pair) == 300


@pytest.mark.parametrize(
    ("targets", "sung", "message"),
    [
        (["1"], ["1", "2"], "align: targets and sung must be equally long. Got 1 and 2."),
        ("1 2", ["1 2"], "align: targets must be a list or column of texts. Got str."),
        (["1"], [1], "align: sung must be a list or column of texts. Got list."),
        (["1"], 3, "align: sung must be a list or column of texts. Got int."),
        (["1"], ["do"], "'do' is not a sequence of notes in the kit's written form: see 'do'."),
        (["1"], ["1  2"], "A sequence of notes in the kit's written form has one space between notes, none at its ends."),
    ],
)  # fmt: skip
def test_what_is_no_log_is_refused(targets, sung, message):
    """Columns that do not fit together, and texts that are not canonical, are refused in words."""
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        align(targets, sung)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"octaves": "some"}, "align: octaves must be one of 'written', 'ignored'. Got 'some'."),
        ({"mode": "dorian"}, "align: mode must be one of 'major', 'minor'. Got 'dorian'."),
    ],
)
def test_unknown_words_are_refused(options, message):
    """A word that an option does not have is refused with the words it has."""
    with pytest.raises(UnknownChoiceError) as caught:
        align(["1"], ["1"], **options)
    assert str(caught.value) == message
