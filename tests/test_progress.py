"""Progress: a moving line on a screen, nothing where there is none."""

import sys

from kit.progress import shown


def test_nothing_is_written_where_nobody_looks(capsys):
    """In a pipe or a log the steps leave no trace."""
    with shown("reading") as step:
        step("scores.xlsx")
    assert "".join(capsys.readouterr()) == ""


def test_a_screen_shows_what_is_done(monkeypatch, capsys):
    """On a screen the step is named, on the error stream only."""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setenv("TERM", "xterm")
    with shown("reading") as step:
        step("scores.xlsx")
    out, err = capsys.readouterr()
    assert out == ""
    assert "reading" in err
