"""Words that a teacher writes where the notes sung should stand -> what happened; anything else stays a remark."""

from __future__ import annotations

import re
from typing import Literal, get_args

Response = Literal["flat", "sharp", "off pitch", "repeated", "unclear", "none", "declined"]
RESPONSES = get_args(Response)
"""Categories of what was noted instead of notes."""

_WORDS: dict[Response, tuple[str, ...]] = {
    "flat": ("flat", "a bit flat", "a little flat", "bit flat", "slightly flat", "very flat", "went flat", "sang flat",
             "too low", "under pitch", "under"),
    "sharp": ("sharp", "a bit sharp", "a little sharp", "bit sharp", "slightly sharp", "very sharp", "went sharp",
              "sang sharp", "too high", "over pitch"),
    "off pitch": ("off pitch", "off-pitch", "off key", "out of tune", "wrong pitch"),
    "repeated": ("same", "same note", "same again", "same as before", "same as previous", "same as last", "repeated",
                 "repeated note", "repeated previous", "repeat", "stayed", "stayed on the same note"),
    "unclear": ("?", "??", "???", "unclear", "not clear", "inaudible", "couldn't hear", "could not hear", "can't tell",
                "cannot tell", "mumbled", "not sure"),
    "none": ("no idea", "no response", "no answer", "nothing", "silent", "silence", "none", "did not sing",
             "didn't sing", "blank", "no sound", "did not know", "didn't know", "forgot"),
    "declined": ("shy", "too shy", "declined", "refused", "wouldn't sing", "would not sing", "did not want to",
                 "didn't want to", "pass", "passed", "opted out"),
}  # fmt: skip
_RESPONSE_OF = {word: response for response, words in _WORDS.items() for word in words}
"""Word or sign -> what happened (common practice, no source)."""
_AGAIN = re.compile(r"(?:sang |sung )?(?:the )?\S{1,4} again")


def read_response(text: str) -> Response | Literal[""]:
    """Say what a word in the place of sung notes stands for.

    Parameters
    ----------
    text : str
        The cell: ``flat``, ``sang mi again``, ``??``, ``no idea``, ``shy``...

    Returns
    -------
    str
        One of `RESPONSES`; empty where the words are none of these, and then they are notes or a remark.
    """
    plain = " ".join(text.replace("’", "'").casefold().split()).strip(' .,;:!()[]"')
    if response := _RESPONSE_OF.get(plain):
        return response
    return "repeated" if _AGAIN.fullmatch(plain) else ""
