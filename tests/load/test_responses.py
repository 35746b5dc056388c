"""Words in the place of sung notes."""

import pytest

from kit.load.responses import RESPONSES, read_response


@pytest.mark.parametrize(
    ("text", "response"),
    [("flat", "flat"), ("Flat.", "flat"), ("too high", "sharp"), ("sang mi again", "repeated"), ("same note", "repeated"),
     ("??", "unclear"), ("couldn’t hear", "unclear"), ("no idea", "none"), ("shy", "declined"), ("(shy)", "declined")],
)  # fmt: skip
def test_words(text, response):
    """Teachers' words become one of a few categories."""
    assert read_response(text) == response
    assert response in RESPONSES


@pytest.mark.parametrize("text", ["", "so mi la", "5 3 1", "s m l", "looked at the wrong line", "again"])
def test_anything_else(text):
    """Notes and remarks are no response."""
    assert read_response(text) == ""
