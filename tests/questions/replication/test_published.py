"""The table of published studies."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hatchling.builders.wheel import WheelBuilder

from kit.errors import UnknownChoiceError
from kit.questions.replication.original_checks import checks
from kit.questions.replication.published import AS_PRINTED, EFFECT, NO_NUMBERS, published_original, published_studies

ROOT = Path(__file__).parents[3]
STUDIES = published_studies().set_index("study")


def test_derived_effects_follow_from_what_was_printed():
    """Henry (2004) is d_z .54 [.28, .79], McClung (2008) d_av .11; both recomputed, not typed."""
    effects = STUDIES[["effect", "effect_low", "effect_high"]].astype(float)
    assert effects.loc["Henry 2004"].to_numpy() == pytest.approx([0.54, 0.28, 0.79], abs=0.006)
    assert effects.loc["McClung 2008", "effect"] == pytest.approx(0.11, abs=0.006)
    text = (ROOT / "kit/questions/published_studies.csv").read_text(encoding="utf-8")
    assert not set(EFFECT) & set(text.splitlines()[0].split(","))


def test_meta_analyses_stay_as_printed_but_for_the_sign():
    """Mishra (2014, 2016) printed negative as better; here positive is better, ends in order."""
    rows = STUDIES[STUDIES["kind"] == "pooled_studies"]
    assert rows["effect"].tolist() == [0.18, 0.48, 0.34, 0.35]
    assert rows["effect_low"].tolist() == [0.11, 0.40, 0.19, 0.12]
    assert rows["effect_high"].tolist() == [0.24, 0.56, 0.50, 0.59]
    assert set(rows["effect_note"]) == {AS_PRINTED}


def test_every_row_says_where_from():
    """Each study has a source, whether it was seen, and either an effect with both ends or the reason for none."""
    assert STUDIES.index.is_unique
    assert (STUDIES["source"] != "").all()
    assert set(STUDIES["status"]) <= {"seen", "from memory"}
    with_effect = STUDIES["effect"].notna()
    assert with_effect.sum() == 6
    rows = STUDIES[with_effect]
    assert (rows["effect_low"] < rows["effect"]).all()
    assert (rows["effect"] < rows["effect_high"]).all()
    assert (STUDIES.loc[~with_effect, "effect_note"] == NO_NUMBERS).all()


def test_a_higher_level_widens_what_is_worked_out():
    """Intervals that are worked out follow the level; those printed stay."""
    wide = published_studies(level=0.99).set_index("study")
    assert wide.loc["Henry 2004", "effect_low"] < STUDIES.loc["Henry 2004", "effect_low"]
    assert np.array_equal(
        wide.loc["Mishra 2016, melody", list(EFFECT)], STUDIES.loc["Mishra 2016, melody", list(EFFECT)]
    )


def test_originals_can_be_checked():
    """Henry's printed p fits one-sided only, which is flagged; all of McClung's numbers fit."""
    assert {check.what: check.fit for check in checks(published_original("Henry 2004"))} == {
        "p": "fits_one_sided", "df": "fits",
    }  # fmt: skip
    assert {check.fit for check in checks(published_original("McClung 2008"))} == {"fits"}


def test_studies_without_numbers_cannot_be_repeated():
    """A study without numbers, a meta-analysis and an unknown name are refused with the reason."""
    with pytest.raises(
        ValueError, match=r"^published_original: 'Ferrante 2011' cannot be repeated from what was printed: "
    ):
        published_original("Ferrante 2011")
    with pytest.raises(ValueError, match=r"n counts studies; negative was printed as better$"):
        published_original("Mishra 2016, melody")
    with pytest.raises(UnknownChoiceError, match=r"^published_original: study must be one of 'Mishra 2014, between"):
        published_original("Nobody 1900")


def test_the_table_ships_in_the_wheel():
    """The wheel takes the table along."""
    shipped = {file.distribution_path for file in WheelBuilder(str(ROOT)).recurse_included_files()}
    assert "kit/questions/published_studies.csv" in shipped
