"""The three verbs of the command line: new, check, report."""

from __future__ import annotations

import argparse
import gc
import sys
from pathlib import Path

READERS = {
    "educator": "term_review.ipynb", "district": "grant_report.ipynb", "researcher": "classroom_replication.ipynb",
}  # fmt: skip
"""Reader -> the notebook that becomes their report."""
STOPPED = 130
"""What a command ends with that was stopped from the keyboard (common practice, no source)."""


def main(words: list[str] | None = None) -> int:
    """Run one verb.

    Parameters
    ----------
    words : list of str, optional
        The command line without the program's name.

    Returns
    -------
    int
        0 when it went well, 1 when there is something to mend, 2 when the command itself was wrong, 130 when it was
        stopped from the keyboard.
    """
    arguments = _parser().parse_args(words)
    # a command reads much, keeps it and ends: looking for garbage again and again would take a tenth of its time
    gc.set_threshold(200_000, 20, 20)
    from kit.errors import StudyProblems

    try:
        return arguments.verb(arguments)
    except StudyProblems as refused:
        count = len(refused.problems)
        from kit.plaintext import in_one_line

        lines = (f"  {in_one_line(str(problem))}" for problem in refused.problems)
        print(f"{count} thing{'' if count == 1 else 's'} to mend:", *lines, sep="\n", file=sys.stderr)
    except ValueError as refused:
        print(refused, file=sys.stderr)
    except KeyboardInterrupt:
        print("Stopped. What was made is kept; the same command again goes on from there.", file=sys.stderr)
        return STOPPED
    return 1


def new(arguments: argparse.Namespace) -> int:
    """Propose a study folder from school files."""
    from kit.new import make_blanks, make_study

    written = make_study(arguments.folder, arguments.files) if arguments.files else make_blanks(arguments.folder)
    for path in written:
        print(f"wrote {path}")
    if arguments.files:
        print(f"Next: read {arguments.folder / 'study.toml'}, then run: python -m kit check {arguments.folder}")
    else:
        print(f"Next: fill them in, then run: python -m kit new {arguments.folder} --from YOUR FILES")
    return 0


def check(arguments: argparse.Namespace) -> int:
    """Print the check page of a study folder, or of one file."""
    from kit.check import check_file, check_page, write_check
    from kit.study import read_study

    with _progress("reading") as step:
        study = check_file(arguments.study) if arguments.study.is_file() else read_study(arguments.study, step=step)
    print(*check_page(study), sep="\n")
    if arguments.study.is_dir():
        print(f"The same as a page: {write_check(study)}")
    return 1 if study.in_the_way else 0


def report(arguments: argparse.Namespace) -> int:
    """Make the reports of a study folder."""
    readers = READERS if arguments.reader == "all" else {arguments.reader: READERS[arguments.reader]}
    code = _report_each(arguments, readers) if arguments.each else _report_one(arguments, readers)
    if arguments.share:
        from kit.export import export_study
        from kit.study import load_study

        shared = arguments.share
        print(*export_study(load_study(arguments.study), shared), sep="\n")
        _warn(arguments)
    return code


def _report_one(arguments: argparse.Namespace, readers: dict[str, str]) -> int:
    """Make one report for each reader."""
    from kit.make import make_reports

    with _progress("making the report") as step:
        pages = make_reports(
            arguments.study, readers, choir=arguments.choir, school=arguments.school, audience=arguments.audience,
            out=arguments.out, isolated=arguments.isolated, forms=_forms(arguments), step=step,
        )  # fmt: skip
    print(*pages, sep="\n")
    _warn(arguments)
    return 0


def _report_each(arguments: argparse.Namespace, readers: dict[str, str]) -> int:
    """Make the reports of every choir or school, and list at the end what could not be made."""
    from kit.each import make_each

    with _progress(f"reports of each {arguments.each}") as step:
        index, made = make_each(
            arguments.study, readers, each=arguments.each, audience=arguments.audience, out=arguments.out,
            isolated=arguments.isolated, forms=_forms(arguments), step=step,
        )  # fmt: skip
    bad = [one for one in made if one.problem]
    for one in bad:
        print(f"not made: {one.name}: {one.problem}", file=sys.stderr)
    print(f"{len(made) - len(bad)} of {len(made)} made", index, sep="\n")
    _warn(arguments)
    return 1 if bad else 0


def _warn(arguments: argparse.Namespace) -> None:
    """Say which earlier copies the new ones must not lie beside."""
    from kit.report.privacy.release import FILE, warned
    from kit.study import PRIVATE

    for sentence in warned(arguments.study / PRIVATE / FILE):
        print(sentence, file=sys.stderr)


def _forms(arguments: argparse.Namespace):  # noqa: ANN202 - a class of our own, imported only when needed
    """Say in which formats the reports are written, before anything is made."""
    from kit.report.document import forms_of

    return forms_of(arguments.to, arguments.style, arguments.paper)


def _parser() -> argparse.ArgumentParser:
    """Describe the command line."""
    parser = argparse.ArgumentParser(
        prog="python -m kit",
        description="From a choir's spreadsheets to honest reports about learning to sing at sight.",
    )
    verbs = parser.add_subparsers(required=True, metavar="VERB")
    verb = verbs.add_parser("new", help="propose a study folder from your files")
    verb.add_argument("folder", type=Path, help="the folder to make")
    verb.add_argument("--from", dest="files", type=Path, nargs="+", default=[], metavar="FILE",
                      help="your files; without any, blank workbooks to fill in are written")  # fmt: skip
    verb.set_defaults(verb=new)
    verb = verbs.add_parser("check", help="say what was read, what was set aside, and what to mend")
    verb.add_argument("study", type=Path, help="a study folder, or one file")
    verb.set_defaults(verb=check)
    verb = verbs.add_parser("report", help="make the reports")
    verb.add_argument("study", type=Path, help="a study folder")
    verb.add_argument("--for", dest="reader", choices=[*READERS, "all"], default="all", help="whose report")
    part = verb.add_mutually_exclusive_group()
    part.add_argument("--choir", default="", help="one choir only")
    part.add_argument("--school", default="", help="one school only")
    part.add_argument("--each", choices=("choir", "school"), help="one report for every choir, or every school")
    verb.add_argument("--audience", choices=("teacher", "district", "public"), default="",
                      help="whose copy: beyond the teacher's, small groups and single students are hidden")  # fmt: skip
    verb.add_argument("--out", type=Path, help="folder for the reports (default: reports in the study folder)")
    verb.add_argument("--to", default="html", metavar="FORMATS",
                      help="html, docx and pdf, with commas between them; the page (html) is always made")  # fmt: skip
    verb.add_argument("--style", type=Path, metavar="FILE",
                      help="a Word file whose styles, paper, header and footer the docx takes "
                           "(default: reference.docx in the study folder, if there is one)")  # fmt: skip
    verb.add_argument("--paper", choices=("letter", "a4"),
                      help="size of the sheets (default: letter in docx and pdf, your own where a page is "
                           "printed)")  # fmt: skip
    verb.add_argument("--isolated", action="store_true", help="run the notebook in a process of its own, more slowly")
    verb.add_argument("--share", type=Path, metavar="FOLDER",
                      help="also write the tables without anything that names a person, for sharing")  # fmt: skip
    verb.set_defaults(verb=report)
    return parser


def _progress(doing: str):  # noqa: ANN202 - a context manager of our own, imported only when needed
    """Show progress on the error stream, so that what is printed stays clean."""
    from kit.progress import shown

    return shown(doing)


if __name__ == "__main__":
    sys.exit(main())
