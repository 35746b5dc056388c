"""What is said about a program that was carried out, or not, as planned."""

import pandas as pd
import pytest

from kit.figures.fidelity import draw_fidelity
from kit.questions.practice import fidelity
from kit.report.claims import CODES
from kit.report.words.fidelity import delivered, fidelity_caption

CHOIRS = ["Ash", "Birch", "Cedar"]
FOUND = pd.DataFrame({
    "choir": ["Ash", "Birch"], "week": pd.to_datetime(["2026-01-05", "2026-01-05"]), "possible": [4, 4],
    "logged": [3, 1], "minutes": [1018.0, 6.0], "enough": [2, 1], "timed": [3, 1],
    "staged": [3, 1],
})  # fmt: skip
WEEKS = pd.DataFrame({
    "week": pd.to_datetime(["2026-01-05", "2026-01-12"]), "choirs": [2, 2], "possible": [8, 8], "logged": [4, 6],
    "timed": [4, 6], "staged": [4, 6], "enough": [3, 5],
})  # fmt: skip


def test_delivered():
    """The totals of all choirs are told with what they do not show, and who logged nothing."""
    said = delivered(fidelity(FOUND), minutes=5, choirs=CHOIRS, silent=["Cedar"])
    assert said.sentences == (
        "In the program: Ash, Birch and Cedar.",
        "4 of 8 planned meetings are logged, 1,024 minutes in all.",
        "3 of the 4 meetings with minutes had at least 5 minutes of ear training before notation, as planned.",
        "A meeting that is not logged may have been held all the same, so what was carried out is at least this much.",
        "No meeting is logged by 1 choir: Cedar.",
    )
    assert [one.value for one in said.estimates] == [4, 4, 3, 1024]


def test_without_minutes_and_without_a_log():
    """What cannot be known is said."""
    unstaged = FOUND.assign(enough=0, staged=0)
    assert delivered(fidelity(unstaged), minutes=5, choirs=CHOIRS).sentences[2] == (
        "Whether ear training came before notation is not logged, so the plan cannot be checked."
    )
    blank = FOUND.assign(minutes=0.0, enough=0, timed=0, staged=0)
    assert delivered(fidelity(blank), minutes=5, choirs=CHOIRS).sentences[2] == (
        "Minutes are not logged, so those planned cannot be checked."
    )
    assert delivered(fidelity(FOUND.iloc[:0]), minutes=5, choirs=CHOIRS).sentences == (
        "No drill log was read with this study, so whether the program was carried out as planned is not known.",
    )


@pytest.mark.parametrize("code", CODES)
def test_every_design_may_say_it(code):
    """The sentences pass the gate of every design."""
    delivered(fidelity(FOUND), minutes=5, choirs=CHOIRS, silent=["Cedar"]).passed(code)


def test_caption_tells_every_week():
    """The alternative text holds each week's numbers."""
    caption = fidelity_caption(WEEKS)
    assert caption.alt == (
        "A bar for each of 2 weeks. week of 5 January 2026: 4 of 8, 3 with the planned minutes; week of 12 January "
        "2026: 6 of 8, 5 with the planned minutes."
    )


def test_a_log_without_stages_shows_no_planned_minutes():
    """Where no log tells whether ear training came first, the picture and its text say nothing of it."""
    unstaged = WEEKS.assign(staged=0, enough=0)
    caption = fidelity_caption(unstaged)
    assert "planned minutes" not in caption.alt + caption.note
    [axes] = draw_fidelity(unstaged).axes
    assert [[bar.get_height() for bar in bars] for bars in axes.containers] == [[4, 6], [8, 8]]


def test_drawing_has_the_heights_of_the_table():
    """Bars are as high as the meetings of their weeks."""
    [axes] = draw_fidelity(WEEKS).axes
    assert [[bar.get_height() for bar in bars] for bars in axes.containers] == [[4, 6], [3, 5], [8, 8]]
