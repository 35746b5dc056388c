"""Cutting a run of names that were written without spaces, such as soso or sml."""

from __future__ import annotations

from collections.abc import Collection


def cut_run(run: str, names: Collection[str], *, marks: str) -> tuple[int, list[int]]:
    """Cut a run into names, each with any marks behind it, and tell whether there is another way.

    Parameters
    ----------
    run : str
        The names one after another.
    names : collection of str
        Every name that may stand in it.
    marks : str
        Signs that belong to the name before.

    Returns
    -------
    (int, list of int)
        How many ways there are, 2 for two or more, and where each name ends if there is one way.
    """
    longest = max(map(len, names), default=0)
    ways, step = [1] + [0] * len(run), [0] * (len(run) + 1)
    for end in range(1, len(run) + 1):
        if run[end - 1] in marks:
            ways[end] = ways[end - 1] if end > 1 else 0
            continue
        for length in range(1, min(longest, end) + 1):
            if ways[end - length] and run[end - length : end] in names:
                ways[end] = min(2, ways[end] + ways[end - length])
                step[end] = length
    ends: list[int] = []
    end = stop = len(run) if ways[-1] == 1 else 0
    while end:
        if step[end]:
            ends.append(stop)
            stop = end - step[end]
        end -= max(step[end], 1)
    return ways[-1], ends[::-1]
