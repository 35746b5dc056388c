"""Sentences and tables about practice, continued: what is weak, and what was sung instead."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import pandas as pd

from kit.estimate import Estimate
from kit.report.numbers import bare, interval_cell, value_cell
from kit.report.phrases import unbroken
from kit.report.said import Said


class Shares(Protocol):
    """Shares of first tries right."""

    by: str
    labels: tuple[str, ...]
    why: str
    pooled: object | None
    unplaced: int
    wrong: int


def weak_table(found: Shares, *, smallest: int = 1) -> pd.DataFrame:
    """Lay out shares of first tries right, fewest right first."""
    if found.pooled is None:
        return pd.DataFrame()
    pooled, kept = found.pooled, _kept(found, smallest)
    every = zip(found.labels, pooled.estimates, pooled.hits, pooled.tries, pooled.singers, strict=True)
    rows = sorted((one for one, seen in zip(every, kept, strict=True) if seen), key=lambda one: one[1].value)
    return pd.DataFrame([
        {
            found.by.capitalize(): label, "Right": unbroken(f"{hits} of {asked}"), "Singers": int(singers),
            "Share, all asked": value_cell(estimate), "Plausible range": interval_cell(estimate),
        }
        for label, estimate, hits, asked, singers in rows
    ])  # fmt: skip


def weak_estimates(found: Shares, *, smallest: int = 1) -> tuple[Estimate, ...]:
    """Give the estimates behind `weak_table`."""
    if found.pooled is None:
        return ()
    return tuple(one for one, seen in zip(found.pooled.estimates, _kept(found, smallest), strict=True) if seen)


def _kept(found: Shares, smallest: int) -> list[bool]:
    """Say which rows are shown: those of too few singers, maybe the same few, take the next smallest with them."""
    singers = [int(one) for one in found.pooled.singers]
    hidden = {at for at, number in enumerate(singers) if number < smallest}
    if hidden:
        hidden |= set(sorted(set(range(len(singers))) - hidden, key=lambda at: singers[at])[:1])
    return [at not in hidden for at in range(len(singers))]


def weak_notes(found: Shares, *, smallest: int = 1, again: bool = False) -> list[str]:
    """Say how shares and counts go together, what single notes leave out, and how many rows are hidden."""
    if found.pooled is None:
        return []
    told = [] if again else _how_they_go_together(found)
    if found.unplaced and not again:
        told.append(
            f"Left out: {found.unplaced} of {found.wrong} wrong first tries, which do not say which note was missed. "
            "So the shares are a little too high."
        )
    if hidden := _kept(found, smallest).count(False):
        told.append(f"Rows left out because too few singers stand behind one of them: {hidden}.")
    return told


def _how_they_go_together(found: Shares) -> list[str]:
    """Say how shares and counts go together."""
    return [
        "Right: as counted. Share: what would be right if every one of these singers had been asked; what was seldom "
        "asked is drawn towards the rest, and a singer heard often weighs no more than one heard once.",
        *(
            ()
            if found.by == "pattern"
            else ("Single notes of first tries; notes of one try are alike, so the ranges are somewhat too narrow.",)
        ),
    ]


def instead_table(found: pd.DataFrame) -> pd.DataFrame:
    """Lay out what was sung in place of each degree, most often first: percent of its misses."""
    rows = []
    for label, mine in found.groupby("label", sort=False):
        often = mine.sort_values("share", ascending=False)
        answers = [f"{one.sung_label} {bare(one.share, 'share')}" for one in often.itertuples(index=False)]
        rows.append({
            "Asked": label, "Misses": int(mine["misses"].iloc[0]), "Singers": int(mine["singers"].iloc[0]),
            "Sung instead": ", ".join(answers),
        })  # fmt: skip
    return pd.DataFrame(rows)


def instead_notes(found: pd.DataFrame, fewest: int) -> list[str]:
    """Say of what the percentages are."""
    told = [f"Percent of the misses of each note. A note with fewer than {fewest} misses has no row."]
    if hidden := found.attrs.get("hidden", 0):
        told.append(f"Notes left out because misses or singers are too few: {hidden}.")
    return told


def name_or_pitch(estimates: Sequence[Estimate], why: str = "") -> Said:
    """Say how often the name was right and the pitch wrong, and the other way round; or why that is not told."""
    if not estimates:
        return Said((why,))
    both, name, pitch, neither = estimates
    return Said(
        (
            f"Of {both.n:,} first tries marked for both, {name.value:,.0f} had the right names with a wrong pitch, "
            f"{pitch.value:,.0f} the right pitches with a wrong name, and {neither.value:,.0f} had both wrong.",
            "Many teachers answer a right name with a wrong pitch by ear training, a right pitch with a wrong name by "
            "reading and naming (common practice, no source).",
        ),
        tuple(estimates),
    )
