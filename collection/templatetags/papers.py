"""Words on the pages of papers."""

from collections.abc import Mapping

from django import template

from collection.core.ranges import in_ranges as ranges

register = template.Library()


@register.filter
def of_code(names: Mapping[str, str], code: str) -> str:
    """The name behind a member's code; the code where nobody has it."""
    return names.get(code, code)


@register.filter
def in_ranges(numbers: list[int]) -> str:
    """'12–15, 18' of numbers."""
    return ranges(numbers)
