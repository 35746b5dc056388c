"""The plain words."""

from __future__ import annotations

from kit.glossary import GLOSSARY


def test_consistency_of_change_is_never_called_a_size():
    """d_change is called consistency of change and denied to be a size."""
    word = GLOSSARY["d_change"]
    assert word.words == "consistency of change"
    assert "does not say how large" in word.meaning


def test_no_cause_and_no_verdict_in_the_words():
    """No word speaks of effects, causes or statistical significance."""
    for word in GLOSSARY.values():
        text = f"{word.words} {word.meaning}".lower()
        assert not {"effect", "impact", "caused", "significant", "proven"} & set(text.replace(".", "").split())
