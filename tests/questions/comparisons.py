"""Small comparisons for tests: choirs of two approaches, in schools, with marks as given."""

import numpy as np

from kit.questions.compared import Comparison, between
from tests.questions.worlds import lined_up

EAR, PAGE = "ear", "page"


def marked(choirs, *, most=40, schools=(), post_choirs=None):
    """Line up choirs given as (name, approach, pre, post), each with its school if there is one; None is an absence."""
    people, marks = [], []
    for place, (name, approach, pre, post) in enumerate(choirs):
        school = schools[place] if schools else ""
        for first, second in zip(pre, post, strict=True):
            student = f"S{len(people):04}"
            people.append({"student": student, "choir": name, "approach": approach, "school": school})
            for occasion, points in (("pre", first), ("post", second)):
                there = (post_choirs or {}).get(student, name) if occasion == "post" else name
                mark = {"missing_reason": "absent"} if points is None else {"points": points, "max_points": most}
                marks.append({"student": student, "occasion": occasion, "choir": there, **mark})
    return lined_up(people, marks)


def compared(choirs, *, declared=None, **options):
    """Line up choirs and keep the two approaches."""
    return between(marked(choirs, **options), declared or Comparison(program=EAR, comparison=PAGE))


def drawn(seed, *, choirs=12, size=10, effect=0.0, head_start=0.0, apart=1.0, how=None, schools=False, lost=0.0):
    """Draw choirs taught by turns in one way and the other, ear first."""
    rng = np.random.default_rng(seed)
    made = []
    for number in range(choirs):
        program = number % 2 == 0
        level = 15 + rng.normal(0, 2 * apart) + head_start * program
        pre = np.clip(np.round(level + rng.normal(0, 4, size)), 0, 40)
        gains = 3 + rng.normal(0, apart) + effect * program + rng.normal(0, 3, size)
        post = [None if rng.random() < lost else float(mark) for mark in np.clip(np.round(pre + gains), 0, 40)]
        made.append((f"C{number:02}", EAR if program else PAGE, [float(mark) for mark in pre], post))
    named = [f"School {number // 4}" for number in range(choirs)] if schools else ()
    declared = Comparison(
        program=EAR, comparison=PAGE, within="school" if schools else "", how=how or "choirs_at_random"
    )
    return compared(made, declared=declared, schools=named)
