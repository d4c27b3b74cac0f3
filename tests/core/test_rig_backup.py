"""A backup for every show and position: the best plan there is, no spare twice at a time."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import product
from time import process_time
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from collection.core.backup import (
    Assignment,
    Candidate,
    Evidence,
    Position,
    Show,
    closers,
    rank,
    rig_backup,
)
from collection.core.rig_records import need_of
from collection.core.transit import Rules
from tests.benchmarks.backup import candidates as many_candidates
from tests.benchmarks.backup import sites as many_sites
from tests.benchmarks.backup import tour as long_tour
from tests.core.backup_builders import BERGEN, CARLISLE, NOW, ODENSE, VOSS, candidate

RULES = Rules()


def show(name: str = "14", hours: float = 0, **changes: Any) -> Show:
    start = NOW + timedelta(hours=hours)
    facts: dict[str, Any] = {
        "name": name, "at": BERGEN, "now": start, "ready_by": start + timedelta(hours=3),
    }  # fmt: skip
    return Show(**(facts | changes))


def position(name: str = "2", **changes: Any) -> Position:
    facts: dict[str, Any] = {
        "name": name, "kind": "amplifier", "design": "Twelve", "circuit": "BR-12/C",
        "code": f"P-{name}",
    }  # fmt: skip
    return Position(**(facts | changes))


def backups(*assignments: Assignment) -> dict[tuple[str, str], str | None]:
    return {(each.show, each.position): each.backup for each in assignments}


def test_one_spare_for_two_positions_covers_one_and_names_the_other() -> None:
    exact = position("3", design="Twenty-Two", circuit="BR-22/A")
    rig = rig_backup([show()], [exact, position("2")], [candidate("A-018")], RULES)
    hole, covered = rig
    assert (covered.backup, covered.shared_with) == ("A-018", ("3",))
    assert (hole.backup, hole.shared_with) == (None, ("2",))
    assert hole.closed_by[0].code == "A-018"
    assert hole.closed_by[0].because == "A second one like it: it backs up position 2."


def test_covering_both_goes_before_the_closest_for_one() -> None:
    fussy = position("3", never=("A-2",))
    pieces = [candidate("A-1"), candidate("A-2", circuit="BR-12/B")]
    rig = rig_backup([show()], [position("2"), fussy], pieces, RULES)
    assert backups(*rig) == {("14", "2"): "A-2", ("14", "3"): "A-1"}


def test_a_spare_serves_again_at_the_next_show_but_not_at_one_that_overlaps() -> None:
    apart = [show("1"), show("2", hours=24)]
    together = [show("1"), show("2", hours=1)]
    spare = [candidate("A-1")]
    assert set(backups(*rig_backup(apart, [position()], spare, RULES)).values()) == {"A-1"}
    found = list(backups(*rig_backup(together, [position()], spare, RULES)).values())
    assert sorted(found, key=str) == ["A-1", None]


def test_what_plays_is_nobody_s_spare() -> None:
    playing = candidate("P-3")
    (assigned, _) = rig_backup([show()], [position("2"), position("3")], [playing], RULES)
    assert assigned.backup is None


def test_a_spare_that_would_be_late_or_stopped_at_a_border_leaves_a_hole_and_says_why() -> None:
    late = candidate("A-1", free_from=NOW + timedelta(hours=4))
    stopped = candidate("A-2", site=CARLISLE, stands="side")
    barred = candidate("A-3", barred=("lent",), evidence=())
    (hole,) = rig_backup([show()], [position()], [late, stopped, barred], RULES)
    assert hole.backup is None
    assert [closer.code for closer in hole.closed_by] == ["A-1", "A-2"]  # A-3 has two reasons
    assert hole.closed_by[0].because == "It would come 1 h 03 late."
    assert "not on the carnet" in hole.closed_by[1].because


def test_the_supply_of_each_show_decides_for_itself() -> None:
    fifty = candidate("A-1", mains_hz=50)
    shows = [show("1", mains_hz=50), show("2", hours=24, mains_hz=60)]
    found = backups(*rig_backup(shows, [position()], [fifty], RULES))
    assert found == {("1", "2"): "A-1", ("2", "2"): None}


def test_the_accepted_outage_prefers_what_is_patched() -> None:
    quick = position("3", outage_minutes=0.5)
    pieces = [candidate("A-1"), candidate("A-2", circuit="BR-12/B", stands="patched")]
    (assigned,) = rig_backup([show()], [quick], pieces, RULES)
    assert (assigned.backup, assigned.within_outage) == ("A-2", True)
    (assigned,) = rig_backup([show()], [quick], pieces[:1], RULES)
    assert (assigned.backup, assigned.within_outage) == ("A-1", False)


def test_holes_are_ranked_by_what_closes_most_of_them() -> None:
    lent = candidate("A-1", barred=("lent",))
    late = candidate("A-2", free_from=NOW + timedelta(hours=4))
    shows = [show("1"), show("2", hours=24)]
    rig = rig_backup(shows, [position()], [lent, late], RULES)
    assert backups(*rig) == {("1", "2"): None, ("2", "2"): "A-2"}
    both = rig_backup(shows, [position()], [lent], RULES)
    assert closers(both) == (("A-1", 2),)


def test_nothing_to_back_up_is_an_empty_plan_and_no_spare_is_all_holes() -> None:
    assert rig_backup([], [position()], [candidate()], RULES) == ()
    assert rig_backup([show()], [], [candidate()], RULES) == ()
    (hole,) = rig_backup([show()], [position()], [], RULES)
    assert (hole.backup, hole.closed_by) == (None, ())


def test_a_piece_in_two_places_is_refused() -> None:
    with pytest.raises(ValueError, match="A-018 is among the candidates more than once"):
        rig_backup([show()], [position()], [candidate(), candidate()], RULES)


def test_a_show_without_a_time_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="names no time zone"):
        show(ready_by=datetime(2026, 11, 24, 19, 0))


def points(at: Show, place: Position, piece: Candidate) -> int | None:
    """Points of one pair from the ranking of that pair alone; None where it cannot be."""
    options = rank(need_of(at, place), [piece], RULES).options
    if not options or not options[0].in_time:
        return None
    option = options[0]
    within = place.outage_minutes is None or place.outage_minutes >= (
        1 / 6 if piece.stands == "patched" else 3
    )
    return (
        10_000 * option.listed
        + 1_000 * (option.closeness - 1)
        + (0 if within else 3_000)
        + (500 if option.basis == "estimate" else 0)
        + (100 if option.stale else 0)
        + min(400, int((option.sounds - at.now).total_seconds() // 60))
    )


def value(plan: tuple[int | None, ...]) -> tuple[int, int]:
    return sum(cost is None for cost in plan), sum(cost or 0 for cost in plan)


def best_value(places: list[tuple[Show, Position]], spares: list[Candidate]) -> tuple[int, int]:
    """Holes and points of the best of all plans there are."""
    best = (len(places), 0)
    for chosen in product([None, *spares], repeat=len(places)):
        codes = [piece.code for piece in chosen if piece]
        costs = tuple(
            points(at, place, piece) if piece else None
            for (at, place), piece in zip(places, chosen, strict=True)
        )
        impossible = any(cost is None for cost, piece in zip(costs, chosen, strict=True) if piece)
        if len(codes) == len(set(codes)) and not impossible:
            best = min(best, value(costs))
    return best


spares = st.lists(
    st.builds(
        candidate,
        code=st.just("?"),
        kind=st.sampled_from(["amplifier", "amplifier", "cabinet"]),
        design=st.sampled_from(["Twelve", "Twenty-Two"]),
        circuit=st.sampled_from(["BR-12/B", "BR-12/C"]),
        site=st.sampled_from([BERGEN, VOSS, ODENSE]),
        stands=st.sampled_from(["patched", "side", "truck", "town", "away"]),
        free_from=st.integers(0, 8).map(lambda hours: NOW + timedelta(hours=hours)),
        on_carnet=st.booleans(),
        mains_hz=st.sampled_from([None, 50, 60]),
    ),
    max_size=4,
).map(lambda drawn: [replace(piece, code=f"A-{n}") for n, piece in enumerate(drawn)])
positions = st.lists(
    st.builds(
        position,
        name=st.just("?"),
        design=st.sampled_from(["Twelve", "Twenty-Two"]),
        outage_minutes=st.sampled_from([None, 0.5, 4]),
        accepted=st.sampled_from([(), ("A-1",), ("Twenty-Two",)]),
        never=st.sampled_from([(), ("A-0",)]),
    ),
    min_size=1,
    max_size=2,
).map(lambda drawn: [replace(place, name=str(n), code=f"P-{n}") for n, place in enumerate(drawn)])


@settings(max_examples=60, deadline=None)
@given(positions, spares, st.booleans(), st.sampled_from([None, 50]))
def test_the_plan_equals_the_best_of_all_plans_on_small_rigs(
    stage: list[Position], pieces: list[Candidate], overlap: bool, hertz: int | None
) -> None:
    shows = [show("1", mains_hz=hertz), show("2", hours=2 if overlap else 30, at=ODENSE)]
    moments = [shows] if overlap else [[each] for each in shows]
    rig = rig_backup(shows, stage, pieces, RULES)
    found = backups(*rig)
    by_code = {piece.code: piece for piece in pieces}
    for moment in moments:
        places = [(at, place) for at in moment for place in stage]
        codes = [found[at.name, place.name] for at, place in places]
        used = [code for code in codes if code]
        assert len(used) == len(set(used))
        costs = tuple(
            points(at, place, by_code[code]) if code else None
            for (at, place), code in zip(places, codes, strict=True)
        )
        assert sum(cost is None for cost in costs) == codes.count(None)
        assert value(costs) == best_value(places, pieces)


@pytest.mark.slow
def test_a_long_tour_is_planned_within_two_seconds_of_processor_time() -> None:
    """The bench measures under one second; a busy machine shall not fail this one."""
    places = many_sites(60, seed=1)
    pieces = many_candidates(2_000, places, seed=3)
    shows, stage = long_tour(60, 12, places)
    start = process_time()
    rig = rig_backup(shows, stage, pieces, RULES)
    assert process_time() - start < 2
    assert len(rig) == 60 * 12
    for number in range(60):
        used = [each.backup for each in rig if each.show == f"show {number}" and each.backup]
        assert used
        assert len(used) == len(set(used))


def test_evidence_ages_along_the_tour() -> None:
    first = datetime(2026, 10, 1, 12, 0, tzinfo=UTC)
    near_the_end = first + timedelta(days=120)
    shows = [
        show("1", now=first, ready_by=first + timedelta(hours=6)),
        show("2", now=near_the_end, ready_by=near_the_end + timedelta(hours=6)),
    ]
    played = Evidence(level="played-hot", on=date(2026, 9, 20))  # counts until 19 December
    checked = Evidence(level="bench-checked", on=date(2026, 9, 20))  # counts until 19 March
    pieces = [
        candidate("A-1", free_from=first, evidence=(played,), stands="patched"),
        candidate("A-2", free_from=first, evidence=(checked,)),
    ]
    found = backups(*rig_backup(shows, [position()], pieces, RULES))
    assert found == {("1", "2"): "A-1", ("2", "2"): "A-2"}


def test_a_hole_says_which_change_would_close_it() -> None:
    late = candidate("A-1", stands="away", site=ODENSE, on_carnet=True)
    unproven = candidate("A-2", evidence=())
    (hole,) = rig_backup([show(hours=0)], [position()], [late, unproven], RULES)
    assert {closer.code: closer.how for closer in hole.closed_by} == {
        "A-1": "late", "A-2": "evidence"
    }  # fmt: skip


def test_every_spare_that_could_stand_in_is_named_once_asked() -> None:
    rig = rig_backup([show()], [position("2"), position("3")],
                     [candidate("A-018"), candidate("A-019"), candidate("A-1", evidence=())],
                     RULES)  # fmt: skip
    assert [each.usable for each in rig] == [("A-018", "A-019")] * 2


def test_no_guitar_backs_up_an_organ_unless_the_artists_list_says_so() -> None:
    organ = position("1", kind="instrument", family="reed organ", code="O-001")
    guitar = candidate("G-012", kind="instrument", family="hollow-body guitar")
    (hole,) = rig_backup([show()], [organ], [guitar], RULES)
    assert hole.backup is None
    assert hole.closed_by[0].how == "family"
    named = replace(organ, emergency=("G-012",))
    assert rig_backup([show()], [named], [guitar], RULES)[0].backup == "G-012"
