"""Presets of care: each says what it rests on, and none is the interval."""

from collection.core.care import MARKS, PRESETS, preset
from collection.core.due import MEASURES


def test_every_preset_says_what_it_rests_on():
    for care in PRESETS:
        assert len(care.basis) > 10, care.key
        assert care.mark in MARKS, care.key
        assert care.measured_by in MEASURES, care.key


def test_a_figure_without_a_source_is_marked_so():
    marks = {care.key: care.mark for care in PRESETS}
    assert marks["bias"] == marks["contacts"] == "practice"
    assert marks["tape-loop"] == "memory"


def test_where_a_hand_goes_inside_the_work_is_never_one_press():
    opened = {care.key for care in PRESETS if care.opens}
    assert {"output-tubes", "bias", "capacitors", "contacts"} <= opened


def test_keys_are_unique_and_lead_back():
    assert len({care.key for care in PRESETS}) == len(PRESETS)
    assert preset("strings").consumes == "set of strings"
    assert preset("none such") is None
