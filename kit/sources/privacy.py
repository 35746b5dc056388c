"""Texts about what published numbers give away."""

from __future__ import annotations

from kit.sources.source import Source

SOURCES = (
    Source(
        "hundepool-2012", "Hundepool, Domingo-Ferrer, Franconi, Giessing, Schulte Nordholt, Spicer & de Wolf", "2012",
        "Statistical Disclosure Control", "Wiley, chapters 4 and 5", "from memory",
    ),
    Source(
        "fischetti-salazar-2000", "Fischetti & Salazar-González", "2000",
        "Models and algorithms for optimizing cell suppression in tabular data with linear constraints",
        "Journal of the American Statistical Association 95, 916-928, figure 1", "from memory",
    ),
    Source(
        "nces-2011-603", "Seastrom", "2010",
        "Statistical methods for protecting personally identifiable information in aggregate reporting",
        "SLDS Technical Brief 3, NCES 2011-603, National Center for Education Statistics", "from memory",
    ),
)  # fmt: skip
