"""Small groups, complementary suppression, bands, and the search for names."""

import pandas as pd
import pytest

from kit.errors import UnknownChoiceError
from kit.estimate import Estimate
from kit.report import privacy


def group(about, n):
    """Make an estimate of a group."""
    return Estimate(about=about, name="mean_gain", value=1.0, unit="points", n=n, source="student-1908", notes=("none",))


def test_a_single_hidden_group_takes_the_next_smallest_with_it():
    """Soprano 14, Alto 12, Tenor 4, Bass 11: hiding Tenor alone lets it be subtracted, so Bass is hidden too.

    Worked example after the Privacy Technical Assistance Center's advice on complementary suppression.
    """
    voices = [group("Soprano", 14), group("Alto", 12), group("Tenor", 4), group("Bass", 11)]
    shown, hidden = privacy.keep(voices, "public")
    assert [e.about for e in shown] == ["Soprano", "Alto"]
    assert [e.about for e in hidden] == ["Tenor", "Bass"]
    assert len(privacy.keep(voices, "public", total_known=False)[1]) == 1
    assert privacy.keep(voices, "teacher")[1] == []
    assert [e.about for e in privacy.keep(voices, "district")[1]] == ["Tenor", "Bass"]


def test_an_unknown_audience_is_refused():
    """Audiences are three words."""
    with pytest.raises(UnknownChoiceError) as refused:
        privacy.keep([], "everybody")
    assert str(refused.value) == "smallest_group: audience must be one of 'teacher', 'district', 'public'. Got 'everybody'."


def test_small_bands_are_joined_until_nobody_can_be_recognised():
    """Every band of a public distribution holds nobody or at least ten; nobody is lost."""
    bands = pd.DataFrame({"low": range(5), "high": range(1, 6), "before": [0, 3, 12, 9, 4], "after": [0, 0, 11, 15, 2]})
    public = privacy.merge_small_bands(bands, "public")
    assert public[["before", "after"]].sum().tolist() == [28, 28]
    assert all(count == 0 or count >= 10 for count in public[["before", "after"]].to_numpy().ravel()) or len(public) == 1
    assert privacy.merge_small_bands(bands, "teacher").equals(bands)


def test_names_ids_and_addresses_are_found():
    """Whole words only, whatever their case; bare digits cannot be told from a count."""
    text = "Quillon Ferbrake scored 11 of 16, id 00417, ask quill@example.org about 417 rows."
    assert privacy.find_personal(text, ["quillon ferbrake", "00417", "417", "an"]) == [
        "quill@example.org", "00417", "Quillon Ferbrake",
    ]  # fmt: skip
    assert privacy.find_personal("nothing here", ["00417"]) == []
