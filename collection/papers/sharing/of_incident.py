"""What is handed out of a theft: its notice. The officer's sheet goes from hand to hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from collection.core.notice_phrases import language_of
from collection.papers.sharing.refused import HandingRefused
from collection.papers.theft.papers import NoticeRefused, make_notice
from collection.papers.theft.scene import country_of

if TYPE_CHECKING:
    from collection.papers.sharing.shareable import Order


def notice(order: Order) -> bytes:
    """The notice in the language spoken where it happened; raises HandingRefused."""
    incident = order.subject.incident
    language = language_of(country_of(incident))
    try:
        return make_notice(
            incident=incident, by=order.by, language=language, now=order.now, once=order.once
        )
    except NoticeRefused as refused:
        raise HandingRefused(str(refused)) from refused
