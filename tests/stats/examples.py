"""One example of every statistic, and the laws it keeps: what `test_every_statistic` goes through.

Add a line for each new statistic; a statistic without one fails there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

Data = dict[str, Any]
STAYS, FOLLOWS = "stays", "follows"
"""Value and ends do not change; change as the numbers do."""
TURNS, MIRRORS = "turns", "mirrors"
"""Value and ends change their sign; become one less themselves."""


@dataclass(frozen=True, kw_only=True)
class Example:
    """How one statistic is asked, and what it must not care about.

    Attributes
    ----------
    data : callable
        Makes the arguments from a random generator.
    rows : tuple of tuple of str
        Arguments that list the same rows; a tuple for each list of rows. None where a summary is asked for.
    kept : tuple of str
        Those of them in which nothing can be missing.
    ordered : bool
        Whether the order of rows says something.
    scale, shift : tuple of str
        Arguments in the unit of the scores, and those that a shift of the scale moves.
    scaled, shifted, swapped : str
        What becomes of value and ends.
    swap : callable or None
        Exchanges the two sides of a comparison.
    tries : int
        How many random examples are worth their time.
    close : float
        Digits of results that are searched for.
    many : int
        Rows that are no trouble.
    """

    data: Callable[[np.random.Generator], Data]
    rows: tuple[tuple[str, ...], ...] = ()
    kept: tuple[str, ...] = ()
    ordered: bool = False
    scale: tuple[str, ...] = ()
    scaled: str = STAYS
    shift: tuple[str, ...] = ()
    shifted: str = STAYS
    swap: Callable[[Data], Data] | None = None
    swapped: str = TURNS
    tries: int = 4
    close: float = 1e-8
    many: int = 30_000
    options: Data = field(default_factory=dict)


def marks(rng: np.random.Generator, n: int = 14, top: int = 24) -> np.ndarray:
    """Draw whole points, ties likely, the ends of the scale among them."""
    return np.append(rng.integers(0, top + 1, n - 2), [0, top]).astype(float)


def exchange(one: str, other: str) -> Callable[[Data], Data]:
    """Exchange two arguments."""
    return lambda data: data | {one: data[other], other: data[one]}


def other_group(data: Data) -> Data:
    """Call the program group the comparison group."""
    return data | {"program": ~data["program"]}


def no_yes(data: Data) -> Data:
    """Call right wrong, and wrong right."""
    return data | {"right": 1 - data["right"]}


def paired(rng: np.random.Generator) -> Data:
    return {"pre": marks(rng), "post": marks(rng) + 1.0}


def two_groups(rng: np.random.Generator) -> Data:
    return {"program": marks(rng), "comparison": marks(rng, 10)}


def paired_groups(rng: np.random.Generator) -> Data:
    return paired(rng) | {"program": np.arange(14) % 3 == 0}


def raters(rng: np.random.Generator) -> Data:
    return {"ratings": np.clip(marks(rng, top=6)[:, None] + rng.integers(-1, 2, (14, 3)), 0, 6).astype(float)}


def items(rng: np.random.Generator) -> Data:
    return {"scores": (rng.random((20, 5)) < (np.arange(20)[:, None] + 1) / 21).astype(float)}


def two_raters(rng: np.random.Generator) -> Data:
    first = marks(rng, top=4)
    return {"first": first, "second": np.clip(first + rng.integers(-1, 2, 14), 0, 4)}


def columns(one: str, other: str) -> Callable[[np.random.Generator], Data]:
    return lambda rng: {one: marks(rng), other: marks(rng)}


def choirs(rng: np.random.Generator) -> Data:
    return {"outcome": marks(rng, 36), "clusters": np.repeat(np.arange(9), 4),
            "predictors": np.repeat(np.arange(9) % 2, 4).astype(float)}  # fmt: skip


def doses(rng: np.random.Generator) -> Data:
    return {"outcome": marks(rng, 36), "dose": marks(rng, 36), "clusters": np.repeat(np.arange(9), 4)}


def choir_means(rng: np.random.Generator) -> Data:
    drawn = choirs(rng)
    return {"outcome": drawn["outcome"], "clusters": drawn["clusters"], "program": drawn["predictors"] == 1}


def choir_scores(rng: np.random.Generator) -> Data:
    return {"scores": marks(rng, 36), "clusters": np.repeat(np.arange(9), 4)}


def terms(rng: np.random.Generator) -> Data:
    student, time = np.repeat(np.arange(12), 3), np.tile(np.arange(3.0), 12)
    scores = rng.normal(10, 3, 12)[student] + rng.normal(2, 1, 12)[student] * time + rng.normal(0, 1, 36)
    return {"scores": scores, "students": student, "times": time}


def log(rng: np.random.Generator) -> Data:
    right, student = (rng.random(90) < np.linspace(0.3, 0.8, 90)).astype(float), rng.integers(0, 8, 90)
    return {"right": right, "students": student, "items": rng.integers(0, 3, 90)}


def practised(rng: np.random.Generator) -> Data:
    return log(rng) | {"times": rng.integers(1, 12, 90).astype(float), "days": rng.integers(0, 15, 90).astype(float)}


def before_break(rng: np.random.Generator) -> Data:
    return {"before": rng.integers(0, 2, 40).astype(float), "after": rng.integers(0, 2, 40).astype(float),
            "students": np.repeat(np.arange(10), 4)}  # fmt: skip


def studies(rng: np.random.Generator) -> Data:
    return {"effects": rng.normal(0.3, 0.3, 7), "errors": rng.uniform(0.08, 0.3, 7)}


def phases(rng: np.random.Generator) -> Data:
    return {"before": marks(rng, 6), "after": marks(rng, 8) + 3}


def weeks(rng: np.random.Generator) -> Data:
    return {"values": np.arange(24) / 4 + rng.normal(0, 1, 24), "times": np.arange(24.0), "start": 12.0}


def share(rng: np.random.Generator) -> Data:
    return {"hits": int(rng.integers(0, 13)), "n": 12}


def two_shares(rng: np.random.Generator) -> Data:
    return {"hits": int(rng.integers(1, 12)), "n": 12, "comparison_hits": int(rng.integers(1, 9)), "comparison_n": 9}


def changed(rng: np.random.Generator) -> Data:
    both, lost, gained, neither = (int(count) for count in rng.integers(0, 9, 4))
    return {"both": both, "lost": lost, "gained": gained, "neither": neither + 1}


def fixed(**values: object) -> Callable[[np.random.Generator], Data]:
    """Ask about the same plan or printed summary always."""
    return lambda rng: dict(values)


def two_results(rng: np.random.Generator) -> Data:
    original, replication = (float(value) for value in rng.normal(0.3, 0.3, 2))
    return {"original": original, "original_error": 0.2, "replication": replication, "replication_error": 0.15}


def first_result(rng: np.random.Generator) -> Data:
    return {name: value for name, value in two_results(rng).items() if name != "replication"}


def forms(rng: np.random.Generator) -> Data:
    return {"x": marks(rng), "y": marks(rng)}


def right_item(rng: np.random.Generator) -> Data:
    return {"item": rng.integers(0, 2, 14).astype(float)}


def picked(rng: np.random.Generator) -> Data:
    drawn = paired(rng)
    return drawn | {"group": drawn["pre"] < 12}


def bounded(rng: np.random.Generator) -> Data:
    scores = marks(rng)
    scores[2:4] = np.nan
    return {"scores": scores, "least": 0.0, "most": 24.0}


def waiting(rng: np.random.Generator) -> Data:
    return {"durations": rng.integers(1, 12, 20).astype(float), "reached": (np.arange(20) % 5 > 0).astype(float)}


def choir_shares(rng: np.random.Generator) -> Data:
    return {"holds": rng.integers(0, 2, 36).astype(float), "clusters": np.repeat(np.arange(9), 4)}


def gappy(rng: np.random.Generator) -> Data:
    table = rng.normal(10, 3, (30, 3))
    table[:, 2] += table[:, 0]
    table[::5, 0] = np.nan
    return {"columns": table}


def mean_of_first(table: np.ndarray) -> tuple[float, float]:
    """Give the mean of the first column and its standard error."""
    return table[:, 0].mean(), table[:, 0].std(ddof=1) / len(table) ** 0.5


TESTS, GROUPS, THREE = ("pre", "post"), ("program", "comparison"), ("pre", "post", "program")
PHASES, RATED, FORMS = ("before", "after"), ("first", "second"), ("x", "y")
LOG, PRACTISED = ("right", "students", "items"), ("right", "students", "items", "times", "days")
RESULTS = ("original", "original_error", "replication", "replication_error")
GAIN = {"data": paired, "rows": (TESTS,), "scale": TESTS, "shift": TESTS, "swap": exchange(*TESTS)}
GROUP = {"data": two_groups, "rows": (("program",), ("comparison",)), "scale": GROUPS, "shift": GROUPS,
         "swap": exchange(*GROUPS)}  # fmt: skip
BOTH = {
    "data": paired_groups,
    "rows": (THREE,),
    "kept": ("program",),
    "scale": TESTS,
    "shift": TESTS,
    "swap": other_group,
}
RATINGS = {"data": raters, "rows": (("ratings",),), "scale": ("ratings",), "shift": ("ratings",)}
AGREE = {"data": two_raters, "rows": (RATED,), "scale": RATED, "shift": RATED}
ITEMS = {"data": items, "rows": (("scores",),)}
ONE = {"data": lambda rng: {"scores": marks(rng)}, "rows": (("scores",),), "scale": ("scores",), "shift": ("scores",)}
CHOIRS = {"data": choirs, "rows": (("outcome", "clusters", "predictors"),), "kept": ("clusters",), "scale": ("outcome",),
          "scaled": FOLLOWS, "shift": ("outcome",)}  # fmt: skip
ALIKE = {"data": choir_scores, "rows": (("scores", "clusters"),), "kept": ("clusters",), "scale": ("scores",),
         "shift": ("scores",)}  # fmt: skip
STUDIES = {"data": studies, "rows": (("effects", "errors"),), "kept": ("effects", "errors"),
           "many": 700, "scale": ("effects", "errors"), "shift": ("effects",), "close": 1e-6}  # fmt: skip
PHASE = {"data": phases, "rows": (("before",), ("after",)), "scale": PHASES, "shift": PHASES, "swap": exchange(*PHASES)}
SHARES = {"data": two_shares, "swap": lambda data: {"hits": data["comparison_hits"], "n": data["comparison_n"],
                                                    "comparison_hits": data["hits"], "comparison_n": data["n"]}}  # fmt: skip
CHANGE = {"data": changed, "swap": exchange("lost", "gained")}
ONE_SHARE = {"data": share, "swap": lambda data: data | {"hits": data["n"] - data["hits"]}, "swapped": MIRRORS}
FORM = {"data": forms, "rows": (FORMS,), "scale": FORMS, "scaled": FOLLOWS, "shift": FORMS, "swap": exchange(*FORMS),
        "options": {"design": "single group"}}  # fmt: skip
RESULT = {"data": two_results, "scale": RESULTS, "shift": ("original", "replication"),
          "swap": lambda data: dict(zip(data, [data[name] for name in (*RESULTS[2:], *RESULTS[:2])], strict=True))}  # fmt: skip
CRITERION = {"rows": (PRACTISED[:3],), "kept": ("students", "items"), "ordered": True, "options": {"in_a_row": 2}}

EXAMPLES = {
    "adjusted_difference": Example(**BOTH | {"scaled": FOLLOWS}),
    "adjusted_g": Example(**BOTH),
    "agreement_bias": Example(**AGREE, scaled=FOLLOWS, swap=exchange(*RATED)),
    "attrition_boundary": Example(data=fixed(randomized=(100, 100), kept=(90, 80))),
    "choirs_needed": Example(data=fixed(difference=0.5, students=20, icc=0.15)),
    "cliffs_delta": Example(**GROUP),
    "cluster_mean_difference": Example(
        data=choir_means, rows=(("outcome", "clusters", "program"),), kept=("clusters", "program"), scale=("outcome",),
        scaled=FOLLOWS, shift=("outcome",), swap=other_group,
    ),
    "cluster_robust": Example(**CHOIRS, swap=lambda data: data | {"predictors": 1 - data["predictors"]}),
    "cluster_wild": Example(**CHOIRS | {"close": 1e-6}, tries=3),
    "clustered_t": Example(data=fixed(g=0.3, n_program=60, n_comparison=60, clusters=8, icc=0.1),
                           swap=lambda data: data | {"g": -data["g"]}),
    "correlation": Example(data=columns("x", "y"), rows=(FORMS,), scale=("x",), shift=("y",), swap=exchange(*FORMS),
                           swapped=STAYS),
    "correlation_from_r": Example(data=fixed(r=0.4, n=20), swap=lambda data: data | {"r": -data["r"]}),
    "count": Example(data=fixed(n=12)),
    "cox_index": Example(**SHARES),
    "cronbach_alpha": Example(**ITEMS, scale=("scores",), shift=("scores",)),
    "d_average": Example(**GAIN),
    "d_average_from_summary": Example(
        data=fixed(mean_pre=10.0, mean_post=13.0, sd_pre=4.0, sd_post=5.0, correlation=0.6, n=20),
        scale=("mean_pre", "mean_post", "sd_pre", "sd_post"), shift=("mean_pre", "mean_post"),
        swap=lambda data: exchange("mean_pre", "mean_post")(exchange("sd_pre", "sd_post")(data)),
    ),
    "d_average_groups": Example(**GROUP),
    "d_change": Example(**GAIN),
    "d_change_from_t": Example(data=fixed(t=2.5, n=20), swap=lambda data: data | {"t": -data["t"]}),
    "d_pre": Example(**GAIN | {"swap": None}),
    "days_to_criterion": Example(
        data=lambda rng: log(rng) | {"days": np.arange(90.0)}, scale=("days",), scaled=FOLLOWS, shift=("days",),
        **CRITERION | {"rows": ((*LOG, "days"),), "kept": ("students", "items", "days")},
    ),
    "degree_accuracy": Example(data=log, rows=(LOG,), kept=LOG[1:], options={"item": 1}, swap=no_yes, swapped=MIRRORS,
                               tries=1, close=1e-5),
    "design_effect": Example(**ALIKE),
    "detectable_change": Example(**ONE, scaled=FOLLOWS, options={"reliability": 0.8}),
    "detectable_difference": Example(data=fixed(program=20, comparison=25), swap=exchange(*GROUPS), swapped=STAYS),
    "detectable_difference_clusters": Example(data=fixed(choirs=(6, 5), students=20, icc=0.15)),
    "detectable_difference_staggered": Example(data=fixed(starts=(3, 3, 2), students=20, icc=0.15, correlation=0.6)),
    "detectable_gain": Example(data=fixed(n=20, correlation=0.7)),
    "equate_equipercentile": Example(**FORM | {"swap": None, "scale": (), "scaled": STAYS}, tries=2),
    "equate_linear": Example(**FORM),
    "equate_mean": Example(**FORM),
    "equivalence": Example(data=fixed(value=0.5, error=0.4, bound=2.0, n=20, df=19.0), scale=("value", "error", "bound"),
                           scaled=FOLLOWS, swap=lambda data: data | {"value": -data["value"]}),
    "equivalence_gain": Example(**GAIN | {"scale": (*TESTS, "bound"), "scaled": FOLLOWS,
                                          "data": lambda rng: paired(rng) | {"bound": 5.0}}),
    "equivalence_groups": Example(**GROUP | {"scale": (*GROUPS, "bound"), "scaled": FOLLOWS,
                                             "data": lambda rng: two_groups(rng) | {"bound": 5.0}}),
    "expected_regression": Example(data=picked, rows=((*TESTS, "group"),), kept=("group",), scale=TESTS, scaled=FOLLOWS,
                                   shift=TESTS),
    "forgetting_rate": Example(data=practised, rows=(PRACTISED,), kept=("students", "items"), swap=no_yes, tries=2,
                               close=1e-4),
    "gain_difference": Example(**BOTH | {"scaled": FOLLOWS}),
    "gain_difference_g": Example(**BOTH),
    "gain_reliability": Example(**GAIN | {"swap": None}, options={"reliability_pre": 0.95, "reliability_post": 0.95}),
    "glass_delta": Example(**GROUP | {"swap": None}),
    "growth_model": Example(data=terms, rows=(("scores", "students", "times"),), kept=("students",), scale=("scores",),
                            scaled=FOLLOWS, shift=("scores",), tries=2, close=1e-4),
    "hedges_g": Example(**GROUP, many=5_000),
    "hedges_g_clusters": Example(data=fixed(g=0.3, n_program=60, n_comparison=60, clusters=8, icc=0.1),
                                 swap=lambda data: data | {"g": -data["g"]}),
    "hedges_g_from_t": Example(data=fixed(t=2.5, n_program=12, n_comparison=14),
                               swap=lambda data: data | {"t": -data["t"]}),
    "heterogeneity": Example(**STUDIES, scaled=FOLLOWS),
    "heterogeneity_q": Example(**STUDIES),
    "heterogeneity_share": Example(**STUDIES),
    "icc_average": Example(**RATINGS),
    "icc_clusters": Example(**ALIKE),
    "icc_single": Example(**RATINGS),
    "imputed": Example(data=gappy, options={"estimator": mean_of_first, "draws": 5, "cycles": 2}, tries=2),
    "item_difficulty": Example(data=right_item, rows=(("item",),), swap=lambda data: {"item": 1 - data["item"]},
                               swapped=MIRRORS),
    "item_discrimination": Example(**ITEMS, scale=("scores",), shift=("scores",), options={"item": 2}),
    "kappa_weighted": Example(**AGREE | {"scale": (), "shift": ()}, swap=exchange(*RATED), swapped=STAYS),
    "kr20": Example(**ITEMS, swap=lambda data: {"scores": 1 - data["scores"]}, swapped=STAYS),
    "krippendorff_alpha": Example(**RATINGS, options={"metric": "interval"}),
    "learning_rate": Example(data=practised, rows=(PRACTISED,), kept=("students", "items"), swap=no_yes, tries=2,
                             close=1e-4),
    "limit_of_agreement_high": Example(**AGREE, scaled=FOLLOWS),
    "limit_of_agreement_low": Example(**AGREE, scaled=FOLLOWS),
    "mean_difference": Example(**GROUP, scaled=FOLLOWS),
    "mean_difference_welch": Example(**GROUP, scaled=FOLLOWS),
    "mean_gain": Example(**GAIN, scaled=FOLLOWS),
    "mean_score": Example(**ONE, scaled=FOLLOWS, shifted=FOLLOWS),
    "median_difference": Example(**GROUP, scaled=FOLLOWS),
    "median_gain": Example(**GAIN, scaled=FOLLOWS),
    "median_time": Example(data=waiting, rows=(("durations", "reached"),), kept=("durations", "reached"),
                           scale=("durations",), scaled=FOLLOWS),
    "mixed_difference": Example(**CHOIRS | {"close": 1e-4}, tries=3,
                                swap=lambda data: data | {"predictors": 1 - data["predictors"]}),
    "nap": Example(**PHASE, swapped=MIRRORS),
    "normalized_gain": Example(**GAIN | {"scale": (*TESTS, "maximum"), "shift": (*TESTS, "maximum"), "swap": None,
                                         "data": lambda rng: paired(rng) | {"maximum": 30.0}}),
    "percent_agreement": Example(**RATINGS),
    "percentile_gain": Example(**GROUP, many=5_000),
    "pooled_effect": Example(**STUDIES, scaled=FOLLOWS, shifted=FOLLOWS),
    "power_simulated": Example(data=fixed(choirs=(6, 5), students=20, icc=0.15, difference=0.6), options={"draws": 200}),
    "prediction_interval": Example(**STUDIES, scaled=FOLLOWS, shifted=FOLLOWS),
    "prepost_control_d": Example(**BOTH),
    "probability_of_superiority": Example(**GROUP, swapped=MIRRORS),
    "probability_of_superiority_paired": Example(**GAIN, swapped=MIRRORS),
    "reliable_change": Example(**GAIN | {"swap": None}, options={"reliability": 0.8}),
    "replication_difference": Example(**RESULT, scaled=FOLLOWS),
    "replication_prediction": Example(data=first_result, scale=("original", "original_error", "replication_error"),
                                      scaled=FOLLOWS, shift=("original",), shifted=FOLLOWS),
    "replication_q": Example(**RESULT, swapped=STAYS),
    "retention_change": Example(data=before_break, rows=((*PHASES, "students"),), kept=("students",),
                                swap=exchange(*PHASES)),
    "segmented_change": Example(data=weeks, rows=(("values", "times"),), kept=("times",), scale=("values",),
                                scaled=FOLLOWS, shift=("values",), close=1e-4, many=0),
    "share_change_bonett_price": Example(**CHANGE),
    "share_change_midp": Example(**CHANGE),
    "share_change_newcombe": Example(**CHANGE),
    "share_clusters": Example(data=choir_shares, rows=(("holds", "clusters"),), kept=("holds", "clusters"),
                              swap=lambda data: data | {"holds": 1 - data["holds"]}, swapped=MIRRORS),
    "share_difference_agresti_caffo": Example(**SHARES),
    "share_difference_newcombe": Example(**SHARES),
    "share_exact": Example(**ONE_SHARE),
    "share_wilson": Example(**ONE_SHARE),
    "small_telescopes": Example(data=fixed(replication=0.3, replication_error=0.2, small_effect=0.25, n=30, df=29.0),
                                scale=("replication", "replication_error", "small_effect"), scaled=FOLLOWS,
                                shift=("replication", "small_effect")),
    "smallest_permutation_p": Example(data=fixed(schools=[(3, 3)])),
    "spearman_brown": Example(data=columns(*RATED), rows=(RATED,), scale=("first",), shift=("second",),
                              swap=exchange(*RATED), swapped=STAYS),
    "standard_error_of_measurement": Example(**ONE, scaled=FOLLOWS, options={"reliability": 0.8}),
    "tau": Example(**PHASE),
    "tau_trend_corrected": Example(**PHASE | {"swap": None}, ordered=True),
    "trials_to_criterion": Example(data=log, **CRITERION),
    "within_slope": Example(data=doses, rows=(("outcome", "dose", "clusters"),), kept=("clusters",), scale=("outcome",),
                            scaled=FOLLOWS, shift=("outcome", "dose"),
                            swap=lambda data: data | {"dose": -data["dose"]}),
    "worst_case_bounds": Example(data=bounded, rows=(("scores",),), kept=("scores",), scale=("scores", "least", "most"),
                                 scaled=FOLLOWS, shift=("scores", "least", "most"), shifted=FOLLOWS,
                                 options={"side": "lowest"}),
}  # fmt: skip
"""Name of the statistic -> its example."""

OTHER_WORDS = {
    "adjusted_difference: choirs": Example(
        data=lambda rng: paired_groups(rng) | {"clusters": np.arange(14) // 2}, rows=((*THREE, "clusters"),),
        kept=("program", "clusters"), scale=TESTS, scaled=FOLLOWS, shift=TESTS, swap=other_group,
    ),
    "equate_mean: random groups": Example(**FORM | {"rows": (("x",), ("y",)), "options": {"design": "random groups"}}),
    "equivalence_groups: pooled": Example(**GROUP | {"scale": (*GROUPS, "bound"), "scaled": FOLLOWS,
                                                     "data": lambda rng: two_groups(rng) | {"bound": 5.0},
                                                     "options": {"spreads": "pooled"}}),
    "heterogeneity: Paule and Mandel": Example(**STUDIES, scaled=FOLLOWS, options={"estimator": "paule_mandel"}),
    "icc_average: one way": Example(**RATINGS, options={"form": "one_way_random"}),
    "icc_clusters: approaches": Example(**ALIKE | {
        "data": lambda rng: choir_scores(rng) | {"arms": np.repeat(np.arange(9) % 2, 4)},
        "rows": (("scores", "clusters", "arms"),), "kept": ("clusters", "arms"),
    }),
    "icc_single: consistency": Example(**RATINGS, options={"form": "consistency_fixed"}),
    "kappa_weighted: linear": Example(**AGREE, swap=exchange(*RATED), swapped=STAYS, options={"weights": "linear"}),
    "kappa_weighted: squared": Example(**AGREE | {"scale": (), "shift": ()}, swap=exchange(*RATED), swapped=STAYS,
                                       options={"weights": "squared", "categories": (0, 1, 2, 3, 4)}),
    "krippendorff_alpha: nominal": Example(**RATINGS, options={"metric": "nominal"}),
    "krippendorff_alpha: ordinal": Example(**RATINGS, options={"metric": "ordinal"}),
    "krippendorff_alpha: ratio": Example(**RATINGS | {"shift": ()}, options={"metric": "ratio"}),
    "median_time: students": Example(
        data=lambda rng: waiting(rng) | {"clusters": np.arange(20) // 2}, rows=(("durations", "reached", "clusters"),),
        kept=("durations", "reached", "clusters"), scale=("durations",), scaled=FOLLOWS,
    ),
    "nap: lower": Example(**PHASE, swapped=MIRRORS, options={"better": "lower"}),
    "percent_agreement: within": Example(**RATINGS | {"scale": ("ratings", "within"),
                                                      "data": lambda rng: raters(rng) | {"within": 1.0}}),
    "pooled_effect: one truth": Example(**STUDIES, scaled=FOLLOWS, shifted=FOLLOWS,
                                        options={"estimator": "none", "interval": "normal"}),
    "segmented_change: pace": Example(data=weeks, rows=(("values", "times"),), kept=("times",), scale=("values",),
                                      scaled=FOLLOWS, shift=("times", "start"), many=0,
                                      options={"change": "slope", "errors": "newey-west"}),
    "tau_trend_corrected: lower": Example(**PHASE | {"swap": None}, ordered=True, options={"better": "lower"}),
    "worst_case_bounds: two groups": Example(
        data=lambda rng: bounded(rng) | {"program": np.arange(14) % 2 == 0}, rows=(("scores", "program"),),
        kept=("scores", "program"), scale=("scores", "least", "most"), scaled=FOLLOWS, shift=("scores", "least", "most"),
        options={"side": "highest"},
    ),
}  # fmt: skip
"""The same for other words of some statistics: name, colon, what is other."""
