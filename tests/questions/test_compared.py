"""Who is compared with whom."""

import pytest

from kit.errors import UnknownChoiceError
from kit.questions.compared import Comparison, between, choir_means, crossed, names_of, rows_of
from tests.questions.comparisons import compared, marked

FOUR = (("A", "ear", [1, 2], [3, 5]), ("B", "page", [4, 6], [5, None]), ("C", "ear", [2], [9]), ("D", "page", [1], [1]))
THREE = (*FOUR, ("E", "usual", [5], [5]))


def test_two_approaches_need_no_declaration():
    """With two approaches the first by name is compared with the other."""
    found = between(marked(FOUR))
    assert names_of(found) == ("ear", "page")
    assert list(found["program"]) == [True, True, False, False, True, False]
    assert (found.attrs["units"], found.attrs["assigned"], found.attrs["measure"]) == ("choirs", "choirs", "total")


def test_the_declared_order_decides_the_sign():
    """The declared program comes first, whatever its name."""
    found = between(marked(FOUR), Comparison(program="page"))
    assert names_of(found) == ("page", "ear")
    assert found["program"].sum() == 3


def test_three_approaches_must_be_declared():
    """With three approaches both must be named, and the message lists them."""
    with pytest.raises(UnknownChoiceError) as refused:
        between(marked(THREE))
    assert str(refused.value) == "between: program must be one of 'ear', 'page', 'usual'. Got ''."
    found = between(marked(THREE), Comparison(program="usual", comparison="ear"))
    assert names_of(found) == ("usual", "ear")
    assert set(found["approach"]) == {"usual", "ear"}


@pytest.mark.parametrize(
    ("declared", "message"),
    [
        (Comparison(program="harp"), "between: program must be one of 'ear', 'page'. Got 'harp'."),
        (Comparison(comparison="harp"), "between: comparison must be one of 'ear', 'page'. Got 'harp'."),
        (Comparison(program="ear", comparison="ear"), "between: comparison must be one of 'page'. Got 'ear'."),
    ],
)
def test_unknown_approaches_are_refused(declared, message):
    """An approach that nobody has, or compared with itself, is refused."""
    with pytest.raises(UnknownChoiceError) as refused:
        between(marked(FOUR), declared)
    assert str(refused.value) == message


def test_one_approach_is_no_comparison():
    """With fewer than two approaches nobody is compared, and nothing breaks."""
    for choirs in ((FOUR[0],), (("A", "", [1], [2]),)):
        found = between(marked(choirs))
        assert len(found) == 0
        assert names_of(found) == ("", "")
        assert choir_means(found).empty
        assert rows_of(found).choirs == 0


def test_where_schools_chose_the_school_is_the_unit():
    """Choirs of one school that chose as a whole count as one; where a school has both approaches, choirs count."""
    schools = ("North", "South", "North", "East")
    found = compared(FOUR, declared=Comparison(how="schools_chose"), schools=schools)
    assert found.attrs["units"] == "schools"
    assert list(choir_means(found)["choir"]) == ["East", "North", "South"]
    mixed = compared(FOUR, declared=Comparison(how="schools_chose"), schools=("North",) * 4)
    assert mixed.attrs["units"] == "choirs"


def test_students_assigned_one_by_one():
    """Where students were assigned, choirs still say who sings together."""
    found = compared(FOUR, declared=Comparison(how="students_at_random"))
    assert (found.attrs["assigned"], found.attrs["units"]) == ("students", "choirs")


def test_choir_means_count_students_tested_both_times():
    """Each choir's averages rest on its students with both tests, by hand."""
    means = choir_means(compared(FOUR))
    assert means.loc[means["choir"] == "A", ["students", "pre", "post", "gain"]].to_numpy().tolist() == [
        [2, 1.5, 4.0, 2.5]
    ]
    assert means.loc[means["choir"] == "B", ["students", "pre", "post", "gain"]].to_numpy().tolist() == [
        [1, 4.0, 5.0, 1.0]
    ]
    assert means.attrs["unit"] == "points"


def test_a_choir_with_both_approaches_makes_two_rows():
    """Where students of one choir are taught in two ways, its averages are kept apart."""
    means = choir_means(compared((("A", "ear", [1], [2]), ("A", "page", [3], [3]))))
    assert list(zip(means["choir"], means["approach"], strict=True)) == [("A", "page"), ("A", "ear")]


def test_blocks_are_schools_where_choirs_were_assigned_inside_them():
    """Declared inside schools, each choir knows its school; otherwise no block stands."""
    schools = ("North", "North", "South", "South")
    found = compared(FOUR, declared=Comparison(within="school"), schools=schools)
    assert list(choir_means(found)["block"]) == ["North", "North", "South", "South"]
    assert set(compared(FOUR, schools=schools)["block"]) == {""}


@pytest.mark.parametrize(("movers", "students"), [("as_assigned", 6), ("left_out", 5)])
def test_movers_are_handled_as_declared(movers, students):
    """A student whose second mark stands in a choir of the other approach stays or is left out, and is counted."""
    moved = {"S0000": "B", "S0001": "C"}
    found = compared(FOUR, declared=Comparison(movers=movers), post_choirs=moved)
    number = crossed(found)
    assert len(found) == students
    assert (number.value, number.about) == (1, "changed approach")
    assert number.n == 5


def test_students_without_a_choir_are_counted_apart():
    """Students tested both times whose choir is not named are in no choir's average."""
    rows = rows_of(compared((*FOUR, ("", "ear", [1], [2]))))
    assert (rows.nameless, rows.pre.size, rows.choirs, rows.fewest) == (1, 5, 4, 2)
