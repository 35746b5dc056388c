"""From a choir's spreadsheets to honest reports about learning to sing at sight. The public names, loaded when used."""

from __future__ import annotations

from importlib import import_module
from typing import Any

_WHERE = {
    "load_study": "kit.study",
    "Study": "kit.study",
    "Estimate": "kit.estimate",
    "Interval": "kit.estimate",
    "frame": "kit.estimate",
    "StudyProblems": "kit.errors",
    "TooFewError": "kit.errors",
    "UnknownChoiceError": "kit.errors",
    "draw_flow": "kit.figures.flow",
    "draw_before_after": "kit.figures.distribution",
    "draw_gains_by_start": "kit.figures.start",
    "draw_intervals": "kit.figures.intervals",
}
_MODULES = {
    "growth": "kit.questions.growth",
    "quality": "kit.questions.quality",
    "whom": "kit.questions.whom",
    "words": "kit.report.words",
}

__all__ = [
    "Estimate",
    "Interval",
    "Study",
    "StudyProblems",
    "TooFewError",
    "UnknownChoiceError",
    "draw_before_after",
    "draw_flow",
    "draw_gains_by_start",
    "draw_intervals",
    "frame",
    "growth",
    "load_study",
    "quality",
    "whom",
    "words",
]


def __getattr__(name: str) -> Any:  # noqa: ANN401 - PEP 562: whatever the name stands for
    """Import a public name when it is first used, so that ``--help`` costs nothing."""
    if name in _WHERE:
        return getattr(import_module(_WHERE[name]), name)
    if name in _MODULES:
        return import_module(_MODULES[name])
    raise AttributeError(f"module 'kit' has no attribute {name!r}")


def __dir__() -> list[str]:
    """List the public names."""
    return __all__
