"""How many failures at once a rig survives, held against trying every assignment."""

from itertools import combinations, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from collection.core.rig_survival import MOST_POSITIONS, survival

SPARES = ["A-1", "A-2", "A-3", "A-4"]
rigs = st.dictionaries(
    st.sampled_from(["1", "2", "3", "4"]), st.frozensets(st.sampled_from(SPARES)), min_size=1
)


def can_all_fail(usable: dict[str, frozenset[str]], names: tuple[str, ...]) -> bool:
    """Second opinion: some assignment of different spares to the names, tried one by one."""
    orders = permutations(SPARES, len(names))
    return any(all(s in usable[n] for n, s in zip(names, o, strict=True)) for o in orders)


@given(rigs)
def test_any_so_many_may_fail_and_no_more(usable: dict[str, frozenset[str]]) -> None:
    found = survival(usable)
    for size in range(1, found.any_of + 1):
        assert all(can_all_fail(usable, names) for names in combinations(usable, size))
    if found.short:
        assert len(found.short) == found.any_of + 1
        assert not can_all_fail(usable, found.short)
    else:
        assert found.any_of == len(usable)


def test_two_positions_on_one_spare_survive_one_failure() -> None:
    found = survival({"2": frozenset({"A-018"}), "3": frozenset({"A-018"})})
    assert (found.any_of, found.short, found.spares) == (1, ("2", "3"), ("A-018",))


def test_a_hole_survives_nothing_for_certain() -> None:
    assert survival({"1": frozenset(), "2": frozenset({"A-1"})}).any_of == 0


def test_a_rig_too_large_to_look_at_is_refused() -> None:
    with pytest.raises(ValueError, match="17 positions"):
        survival({str(at): frozenset() for at in range(MOST_POSITIONS + 1)})
