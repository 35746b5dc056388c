"""What a committee asks of a study beside its numbers, as study.toml says."""

from __future__ import annotations

import pandas as pd

ASKED = {
    "questions": "Questions and hypotheses", "eligibility": "Who could take part", "recruitment": "How they were found",
    "sample_size": "How its size was chosen", "assignment": "How choirs came to their approach",
    "timing": "When it took place", "masking": "Who did not know the approach",
    "raters_trained": "Training of raters", "raters_masked": "Masking of raters",
    "analysis": "Analyses that were planned", "harms": "What went wrong for students",
    "generality": "To whom results may extend", "interpretation": "What they mean beside earlier work",
    "registration": "Registration", "ethics_review": "Ethics review", "consent": "Consent", "funding": "Funding",
    "conflicts": "Conflicts of interest", "prior_use": "Earlier use of the data", "materials": "Open materials",
}  # fmt: skip
"""Setting of a study -> what is asked."""
ASKED_OF_REPEATS = {
    "kind": "How closely the original was followed", "why": "Why this study was repeated",
    "contact": "Contact with the original's authors",
}  # fmt: skip


def research_table(research: object, repeats: object | None = None) -> pd.DataFrame:
    """Lay out what a committee asks for, as study.toml says.

    Parameters
    ----------
    research : Research
        From the study file; see ``kit.purpose.Research``.
    repeats : Repeats, optional
        From the study file, where another study is repeated.

    Returns
    -------
    DataFrame
        Columns Asked, Said; only what is said.
    """
    of_repeats = ASKED_OF_REPEATS.items() if repeats is not None else ()
    rows = [(asked, getattr(repeats, field)) for field, asked in of_repeats]
    rows += [(asked, getattr(research, field)) for field, asked in ASKED.items()]
    return pd.DataFrame([row for row in rows if row[1]], columns=["Asked", "Said"])
