"""What each kind of study may say: the words it refuses, and the gate that every printed text passes."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, get_args

from kit.errors import ClaimRefusedError, UnknownChoiceError
from kit.report.spoken import CODES, SPOKEN

__all__ = ["CODES", "REFUSALS", "SPOKEN", "Refusal", "gate"]

Place = Literal["prose", "caption"]

_RANDOM = ("D4", "D5")
_PROGRAM = (
    r"(?:program(?:me)?s?|approach(?:es)?|method|teaching|instruction|lessons?|training|drill(?:s|ing)?|curriculum"
    r"|teachers?|intervention|grant|rehearsals?|ear-first|page-first)"
)
_RAISED = r"(?:improv|rais|increas|boost|help|lift|strengthen|enhanc|better|lower|reduc)(?:e|es|ed|ing|s)?"
_ROSE = r"(?:rose|rise|grew|grow|fell|fall|gain(?:s|ed)?|growth|improved?|increased?|changed?|higher|lower|better)"
_MADE = r"(?:produc|generat|creat|explain|dr(?:ive|iven|ove)|account(?:s|ed)? for|pay)(?:e|es|ed|ing|s)?"
_CAUSES = (
    r"effects?|effected|impact(?:s|ed|ing|ful)?|caus(?:e|es|ed|al|ally|ing|ation)|because of|due to|owing to|thanks to"
    r"|le(?:d|ads?|ading) to|as a result|results? of|result(?:ed|ing) (?:in|from)|results in (?:an?|better|higher|more)"
    r"|attribut(?:e[ds]?|able|ing) to|brought about|responsible for|contribut(?:e[ds]?|ing) to|paid off|pays off"
    r"|ma(?:de|kes?|king) (?:a|the|all the) difference|affect(?:s|ed|ing)?|influenc(?:e|es|ed|ing)|stem(?:s|med) from"
    r"|works|worked|(?:is|are|was|were) working|(?:did|does|do) (?:not )?work|success(?:es|ful|fully)?"
    r"|(?:in)?effective(?:ly|ness)?|efficac(?:y|ious)|beneficial|benefit(?:s|t?ed|t?ing)? from|explained by"
    rf"|c(?:a|o)mes? from (?:the |this |our )?{_PROGRAM}|credit(?:s|ed)? (?:to|for)"
    rf"|{_PROGRAM}(?:\W+\w+){{0,3}}?\W+(?:{_RAISED}|{_MADE})|{_ROSE}\b[^.;]{{0,60}}\bbecause"
    rf"|(?:{_ROSE}|{_RAISED})\W+(?:by|through|with|from) (?:\w+ ){{0,2}}?{_PROGRAM}"
    rf"|consequences? of|(?:reasons?|explanations?) (?:for|of) (?:the|this|that) (?:{_ROSE}|rise)"
    rf"|(?:was|were|is) the {_PROGRAM} that"
)
_THINGS = r"(?:effect|gain|growth|improvement|rise|increase|change|difference|fall|drop|progress|relationship)s?"
_SIZE = (
    r"(?:(?:very |quite |rather |so )?(?:small|medium|large|moderate|big|strong|weak|huge|sizeable|sizable|substantial"
    r"|considerable|modest|tiny|meaningful|dramatic|remarkable|impressive|great|slight))"
)
_SIZES = (
    rf"{_SIZE}(?:[ -]\w+){{0,2}}? {_THINGS}|{_THINGS} (?:is|are|was|were|looks?|seems?|that|this) {_SIZE}"
    r"|greatly|substantially|considerably|dramatically|markedly|remarkably|vastly|slightly"
)
_PERIOD = r"(?:days?|weeks?|months?|terms?|semesters?|years?|school years?)"
_LEARNT = r"(?:\w+ )?(?:learning|growth|progress|schooling|instruction)"
_MONTHS = (
    rf"{_PERIOD}['’]?s?['’]?(?: worth)?(?: of)? {_LEARNT}|{_PERIOD}['’]?s?['’]? worth|(?:months?|years?) gained"
    r"|(?:months?|years?|grade levels?) (?:ahead|behind)"
)
_GROUP = r"(?:choirs?|teachers?|schools?|class(?:es)?|ensembles?)"
_RANKS = (
    r"(?<!signed-)rank(?:s|ed|ing|ings)?|league tables?|outperform(?:s|ed|ing)?|outscor(?:e|es|ed|ing)"
    rf"|(?:best|worst|strongest|weakest|top|bottom|leading|better|worse|most improved)(?:[ -]\w+)? {_GROUP}"
    rf"|{_GROUP}(?: \w+){{0,3}}? (?<!at )(?:best|worst|most|least)|(?:high|low)est[ -](?:scoring|gaining|rated)"
    r"|(?:did|does|do|fared|sang|read|scored|performed|gained|grew|rose|improved|changed)"
    r" (?:far |much )?(?:better|worse|more|less|higher|lower|faster) than"
    r" (?!expected|by chance|before|about|scoring|\d)"
)
_ALIKE = (
    r"(?:equivalent|equal|comparable|identical|balanced) (?:groups|choirs|classes)"
    r"|(?:groups|choirs|classes) (?:were|are|started|began) (?:equivalent|equal|comparable|identical|balanced|the same)"
    r"|(?:groups|choirs|classes)(?: \w+){0,3}? (?:equivalent|comparable|identical|balanced)"
)
_NOTHING = (
    r"(?:no|zero) (?:effect|impact|difference|improvement|growth|gain|change|relationship|association|progress)s?"
    r"|(?:did|does|do)(?:n['’]t| not) (?:improve|grow|change|learn|help|matter|differ)|failed|failure"
)
_CHANGES = (
    r"(?<!voice )chang(?:e|es|ed|ing)(?! voice)|gr(?:ow|ows|owth|ew|own|owing)|improv(?:e|es|ed|ing|ement|ements)"
    r"|r(?:ose|is(?:e|es|en|ing))|gain(?:s|ed|ing)?|(?:in|de)creas(?:e|es|ed|ing)|f(?:ell|alls|allen)"
    r"|(?:an?|or|to|could|may|did) fall"
    r"|progress(?:es|ed)?|got better|w(?:ent|ay) (?:up|down)|dropp?(?:s|ed|ing)|than before|learn(?:ed|t)"
)
_LOWEST = r"(?:lowest|low|weakest|lower|struggling)\b[^.;]{0,60}\b(?:most|more|biggest|larger|largest|greatest)"
_INTERVAL = re.compile(r"\bintervals?\b|[-−]?\d[\d.]*(?: \w+| %)? (?:to|and) [-−]?\d", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Refusal:
    """Words refused to some designs; what to say instead; what in the same sentence makes them sayable."""

    words: re.Pattern[str]
    instead: str
    codes: tuple[str, ...] = CODES
    unless: re.Pattern[str] | None = None
    places: tuple[str, ...] = get_args(Place)


def _refuse(words: str, instead: str, codes: Iterable[str] = CODES, **options: object) -> Refusal:
    """Make a refusal of whole words, in any case."""
    return Refusal(re.compile(rf"\b(?:{words})\b", re.IGNORECASE), instead, tuple(codes), **options)  # type: ignore[arg-type]


def _without(*codes: str) -> tuple[str, ...]:
    """Give every design but these."""
    return tuple(code for code in CODES if code not in codes)


REFUSALS: tuple[Refusal, ...] = (
    _refuse(_CHANGES, "say how high students scored; with one test nothing rose or fell", ("D0",)),
    _refuse(_CAUSES, 'say "scores rose during the term" or "scores differed"', _without(*_RANDOM)),
    _refuse(_CAUSES, "give the interval in the same sentence", _RANDOM, unless=_INTERVAL, places=("prose",)),
    _refuse(_CAUSES, "keep captions and titles to what is drawn", _RANDOM, places=("caption",)),
    _refuse(
        r"prov(?:e|es|ed|en|ing)|proofs?|guarantee(?:s|d)?|evidence[- ]based", "say what was seen, with its interval"
    ),
    _refuse(r"tiers? [1-4]|(?:strong|moderate|promising) evidence", "describe the design; no tier is claimed"),
    _refuse(r"(?:in|non-?)?significan(?:t|tly|ce)", "give the interval, and say whether it includes zero"),
    _refuse(
        r"p ?[=<>≤≥] ?0?\.\d+|p[- ]values?|CIs?", "give the interval, and say whether it includes zero",
        _without("D3a", "D4", "D5", "D7"),
    ),
    _refuse(_MONTHS, "give the gain in points of the test"),
    _refuse(
        r"percent(?:age)? improvements?|improvements? of \d+ ?(?:%|percent)", "give the gain in points of the test"
    ),
    _refuse(_SIZES, "give the number and its interval, without a size word"),
    _refuse(_RANKS, "give choirs in the order of their names, without comparing them"),
    _refuse(_ALIKE, "say by how much the groups differed at the first test"),
    _refuse(_NOTHING, 'say "the interval includes zero, so it could be a rise or a fall"'),
    _refuse(r"percentiles?(?! bootstrap)", "give the gain in points of the test", ("D0", "D1", "D1b", "D1c", "D2")),
    _refuse(
        r"(?:un)?associated with|association with|went along with|linked (?:to|with)",
        "put the scores side by side", ("D0", "D1", "D1b", "D1c", "D2", "D3", "D3b"),
    ),
    _refuse(
        r"(?:choirs|students|singers) taught [^;]{0,80}\b(?:above|below|higher|lower|ahead|behind|apart)",
        "say how high each scored; with a single choir no difference is told", ("D2",),
    ),
    _refuse(
        r"replicat(?:ed|es)|(?:un)?successful replication", "say under which criterion, set beforehand",
        unless=re.compile(r"\bcriteri(?:on|a)\b|\brule set in advance\b", re.IGNORECASE),
    ),
    _refuse(
        _LOWEST, "say in the same sentence how much is expected by chance alone",
        unless=re.compile(r"\bchance\b", re.IGNORECASE),
    ),
    _refuse(
        rf"(?:all|other|most) (?:students|singers|choirs|schools) (?:will|would|can)|will {_RAISED}|everywhere",
        "speak of these students and this term",
    ),
)  # fmt: skip
"""Every refusal; one word may be met by several."""

_DENIAL = re.compile(
    r"\b(?:(?:can ?not|could not|can't)"
    r" (?:say|show|tell|know|prove|separate|answer|judge|rank|be (?:told|known|read|used|said))"
    r"|(?:does|do|did) not (?:say|show|tell|mean|prove|rank|claim|know)"
    r"|(?:is|are) not (?:evidence|proof|a ranking|known)|must not be (?:used|read|taken)|never (?:rank|say|tell)"
    r"|not (?:evidence|proof)|says? nothing|nor (?:say|show|tell|prove|rank))\b"
    r"(?! (?:enough|only|just|merely|too|much|often))",
    re.IGNORECASE,
)
_TURN = re.compile(
    r"[;:.!?]|, ?$|, (?:as|since|because|for)\b|\bof \w+ that\b"
    r"|\b(?:but|yet|however|although|though|still|nevertheless|nonetheless|except|besides|doubt)\b"
    r"|(?:,|\band|, (?:and|so|which|while)) (?:the|it|this|that|these|our|we|he|she|they|scores|students)\b",
    re.IGNORECASE,
)


def gate(
    text: str, *, code: str, limits: bool = False, place: Place = "prose", names: Iterable[str] = (),
    approaches: Iterable[str] = (),
) -> str:  # fmt: skip
    """Let a text through, or refuse it because the design cannot carry it.

    Parameters
    ----------
    text : str
        Plain text, one or more sentences.
    code : str
        Code of the design, one of ``CODES``; ``D3`` (balance not known) is held to the rules of ``D3b``.
    limits : bool, optional
        Whether the text says what the study cannot say. Then a refused word may stand behind an explicit
        denial in the same clause ("it cannot say how much of the change came from the program"); anywhere
        else it is refused as ever.
    place : {"prose", "caption"}, optional
        Captions, titles and texts for the blind never hold words of cause, whatever the design.
    names : iterable of str, optional
        Names of choirs or schools, which may hold any word.
    approaches : iterable of str, optional
        Names of teaching approaches, which may hold any word; each is read as "the approach", so that what is claimed
        of it is still seen.

    Returns
    -------
    str
        The text, unchanged.

    Raises
    ------
    ClaimRefusedError
        If a refused word stands in the text; it names every such word and what to say instead.
    UnknownChoiceError
        If `code` or `place` is an unknown word.
    """
    if code not in CODES:
        raise UnknownChoiceError("gate", "code", code, CODES)
    if place not in get_args(Place):
        raise UnknownChoiceError("gate", "place", place, get_args(Place))
    found = dict.fromkeys(
        said for sentence in _sentences(text, names, approaches) for said in _refused(sentence, code, limits, place)
    )
    if found:
        raise ClaimRefusedError(_message(text, code, list(found), limits))
    return text


_HAS_LETTER = re.compile(r"[^\W\d_]")


def _sentences(text: str, names: Iterable[str], approaches: Iterable[str]) -> Iterator[str]:
    """Part a text into sentences, with one kind of space and apostrophe and without names."""
    plain = re.sub(r"[\u00ad\u200b-\u200d\u2060\ufeff]", "", unicodedata.normalize("NFKC", text))
    plain = re.sub(r"[\u2010\u2011]", "-", plain).replace("’", "'")
    words = dict.fromkeys(filter(None, names), "it") | dict.fromkeys(filter(None, approaches), "the approach")
    for name in sorted(filter(_HAS_LETTER.search, words), key=len, reverse=True):  # "1" stands inside other numbers
        plain = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", words[name], plain)
    yield from re.split(r"(?<=[.!?]) +", " ".join(plain.split()))


def _refused(sentence: str, code: str, limits: bool, place: str) -> Iterator[tuple[str, str]]:
    """Find refused words of one sentence, each with what to say instead."""
    for refusal in REFUSALS:
        if code not in refusal.codes or place not in refusal.places:
            continue
        if refusal.unless is not None and refusal.unless.search(sentence):
            continue
        for match in refusal.words.finditer(sentence):
            if not (limits and _denied(sentence, match)):
                yield match.group().strip(), refusal.instead


def _denied(sentence: str, match: re.Match[str]) -> bool:
    """Say whether a denial stands before the word, with no turn of the thought between them."""
    denials = list(_DENIAL.finditer(sentence, 0, match.end()))
    return any(
        denial.start() <= match.start() and not _TURN.search(sentence[denial.end() : match.start()])
        for denial in denials
    )  # fmt: skip


def _message(text: str, code: str, found: list[tuple[str, str]], limits: bool) -> str:
    """Say which words were refused, to which design, and what may be said."""
    words = " ".join(f'"{word}": {instead}.' for word, instead in found)
    hint = (
        "In a sentence of limits the denial must stand before the word, in the same clause."
        if limits
        else 'Or deny it in a sentence of limits: "This report cannot say ...".'
    )
    return f'gate: this study ({code}: {SPOKEN[code].title}) cannot say "{text}" {words} {SPOKEN[code].can} {hint}'
