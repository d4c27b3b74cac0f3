"""A fault's way out."""

from collection.core.fault_way import Turn, may_be_proven, way


def reached(*conditions: str) -> list[str]:
    return [step.words for step in way([Turn(one, "") for one in conditions]) if step.reached]


def here(*conditions: str) -> str:
    return next(step.words for step in way([Turn(one, "") for one in conditions]) if step.here)


def test_each_step_is_reached_in_its_turn():
    assert reached("intermittent") == ["intermittent"]
    assert reached("intermittent", "not-reproduced") == ["intermittent", "not reproduced"]
    assert reached("open", "fixed", "proven") == ["open", "fixed", "proven"]


def test_a_fault_that_is_back_was_not_fixed_but_was_not_reproduced_all_the_same():
    turns = ("intermittent", "not-reproduced", "fixed", "intermittent")
    assert reached(*turns) == ["intermittent", "not reproduced"]
    assert here(*turns) == "intermittent"


def test_the_days_are_said_the_last_two_of_them():
    turns = [Turn("open", "2026-11-03"), Turn("open", "2026-11-15"), Turn("open", "2026-11-19")]
    first = way(turns)[0]
    assert first.said == "Sun 15 Nov 2026, Thu 19 Nov 2026"


def test_only_what_was_fixed_is_proven_by_shows():
    assert may_be_proven("fixed", 4, 4)
    assert not may_be_proven("fixed", 3, 4)
    assert not may_be_proven("not-reproduced", 20, 4)
    assert not may_be_proven("intermittent", 20, 4)
