"""The check page as text: what was read, what was set aside and why, what the design can support, what to mend."""

from __future__ import annotations

from pathlib import Path

from kit.check_parts import CheckPart, check_parts, verdict
from kit.load.files import load_files
from kit.settings import SECTION_OF, Settings
from kit.study import Study
from kit.undeclared import guessed_sources


def check_file(path: Path) -> Study:
    """Read one school file without a study folder, everything recognised from its headings.

    Parameters
    ----------
    path : Path
        The file; the kinds of its sheets are guessed from their headings.

    Returns
    -------
    Study
        ``loaded.problems`` lists what stands in the way.
    """
    sources = guessed_sources(path)
    settings = Settings(title=path.name, **{SECTION_OF[type(source)]: (source,) for source in sources})
    return Study(path.parent, settings, load_files(path.parent, sources))


def check_page(study: Study) -> list[str]:
    """Write the check page.

    Parameters
    ----------
    study : Study
        As read by `kit.study.read_study` or `check_file`.

    Returns
    -------
    list of str
        Lines of plain text; headings stand at the left edge, what belongs to them is indented.
    """
    lines = [line for part in check_parts(study) for line in _text(part)]
    return [*lines, "", verdict(study.in_the_way)]


def write_check(study: Study) -> Path:
    """Write the check page as HTML into the study folder.

    Parameters
    ----------
    study : Study
        As read.

    Returns
    -------
    Path
        The page.
    """
    # here, since the text page needs no style sheet
    from kit.check_html import check_html  # noqa: PLC0415

    page = study.folder / "check.html"
    page.write_text(check_html(study), encoding="utf-8")
    return page


def _text(part: CheckPart) -> list[str]:
    """Put a heading over indented lines."""
    return ["", part.title, *(f"{'    ' if line.within else '  '}{line.text}" for line in part.lines)]
