"""The demo's pictures: the project's own, the same every time, no two pieces alike."""

import functools
import io
import itertools

import numpy as np
import pytest
from PIL import Image

from collection.catalogue.photo.accept import accept
from fixtures.demo import drawings
from fixtures.demo.canvas import DOTS
from fixtures.demo.drawings import CLOSE_UPS, KINDS, VIEWS
from fixtures.demo.looks import LOOKS, look_of

# The designs of the invented story, each under the kind it is.
DESIGNS = [
    ("lap steel", "Corrie Long Eight"),
    ("lap steel", "Aldous & Wray Meridian"),
    ("hollow-body guitar", "Corrie Linnet"),
    ("reed organ", "Dunmore Chapel"),
    ("combo amplifier", "Brannoch Twelve"),
    ("head", "Brannoch Twenty-Two"),
    ("head", "Holm Electric Harbour 50"),
    ("cabinet", "Pellow 1"),
    ("cabinet", "Pellow 2"),
    ("tape echo", "Kestrel Works Return Two"),
    ("tape echo", "Kestrel Works Return One"),
    ("tape echo", "Lindqvist Bandsling"),
    ("ribbon microphone", "Fennimore R7"),
    ("road case", "Case 12"),
]


# Each picture once for all tests of the file.
draw = functools.cache(drawings.draw)


def pixels(data, size=(320, 213)):
    return np.asarray(Image.open(io.BytesIO(data)).resize(size)).astype(int)


def apart(one, other):
    """The mean difference of two pictures, in steps of 255."""
    return np.abs(pixels(one) - pixels(other)).mean()


@pytest.mark.parametrize(("kind", "design"), DESIGNS)
def test_a_drawing_is_a_photo_the_site_accepts(kind, design):
    for view in ("front", "back"):
        data = draw(kind, design=design, code="A-001", view=view, seed=1)
        photo = accept(data)
        assert (photo.format, photo.width, photo.height) == ("JPEG", 1600, 1067)
        assert photo.byte_count < 200_000
        assert photo.camera_says == ""


@pytest.mark.parametrize("view", CLOSE_UPS)
def test_a_close_view_is_a_photo_the_site_accepts(view):
    data = draw("lap steel", design="Corrie Long Eight", code="L8-0417", view=view, seed=1)
    assert accept(data).byte_count < 200_000


@pytest.mark.parametrize("kind", KINDS)
def test_a_drawing_is_the_same_every_time(kind):
    design = next(design for like, design in DESIGNS if like == kind)
    asked = {"design": design, "code": "A-001", "view": "front", "seed": 1}
    assert draw(kind, **asked) == drawings.draw(kind, **asked)


@pytest.mark.parametrize("view", VIEWS)
def test_two_seeds_give_two_pieces(view):
    one, other = (
        draw("lap steel", design="Corrie Long Eight", code="A-001", view=view, seed=seed)
        for seed in (1, 2)
    )
    assert apart(one, other) > 0.4


def test_the_grain_of_two_pieces_is_plainly_not_the_same():
    one, other = (
        draw("lap steel", design="Corrie Long Eight", code=code, view="grain", seed=1)
        for code in ("A-001", "A-002")
    )
    assert apart(one, other) > 8


def test_no_two_characters_are_punched_alike():
    assert len(set(DOTS.values())) == len(DOTS) == 39


def test_the_designs_of_one_kind_look_different():
    fronts = {
        (kind, design): draw(kind, design=design, code="A-001", view="front", seed=1)
        for kind, design in DESIGNS
    }
    for (one, first), (other, second) in itertools.combinations(fronts.items(), 2):
        assert apart(first, second) > 4, (one, other)


def test_each_design_of_the_story_has_a_look_of_its_own():
    for kind, design in DESIGNS[:-1]:
        assert look_of(kind, design) in LOOKS.values(), design
    assert look_of("head", "Brannoch Twenty-Two") is LOOKS["Twenty-Two"]
    assert look_of("road case", "Case 12") is LOOKS["Road case"]


def test_a_design_nobody_drew_still_gets_a_picture():
    one, other = (
        draw("cabinet", design=design, code="A-001", view="front", seed=1)
        for design in ("Tarn Valley", "Ostara Ton")
    )
    assert apart(one, other) > 1


@pytest.mark.parametrize(("kind", "view"), [("tuba", "front"), ("head", "inside")])
def test_what_cannot_be_drawn_is_refused(kind, view):
    with pytest.raises(ValueError, match="there are"):
        draw(kind, design="Harbour 50", code="A-001", view=view, seed=1)
