"""Places in words within a page, as its reader may know them."""

from django import template

from collection.custody.whereabouts import Whereabouts

register = template.Library()


@register.simple_tag
def place_words(known: Whereabouts, place_id: int | None) -> str:
    """The words of a place; 'a private place' where it may not be known."""
    return known.words(place_id)
