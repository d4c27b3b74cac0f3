"""What each stock page is given to show."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from collection.stock.asked import Refused, chance_alone, drivers
from collection.stock.bookings import Booking
from collection.stock.counting import balance, gauge_counts, kept_off_stage
from collection.stock.endangered import tour_chances
from collection.stock.forecast import Prospect
from collection.stock.forms.choice import PullChoiceForm, WhatIfForm
from collection.stock.pulling import pull_columns
from collection.stock.records import LotCount, Shelf
from collection.stock.sheet import card_of, figures_of, first_out
from collection.stock.what_if import may_rest, units_bought, wonder

ASKED = ("shows", "pull", "fails", "buy", "rest", "reserve")


def all_types(shelf: Shelf, *, today: date, bookings: tuple[Booking, ...] = ()) -> dict[str, Any]:
    """Cards of all types, those that run out first before the others.

    A type that was never held, such as the motor of one echo, is a part and no stock.
    """
    held = [stock for stock in shelf.stocks() if stock.lots or not stock.parts]
    cards = [card_of(Prospect(stock, today=today, bookings=bookings)) for stock in held]
    last = float("inf")
    cards.sort(key=lambda card: last if card.median is None else card.median)
    return {"cards": cards, "first": first_out(cards), "has_lots": bool(shelf.lots),
            "bookings": bookings, "alarms": [card for card in cards if card.alarms]}  # fmt: skip


def one_type(
    prospect: Prospect,
    query: Mapping[str, Any],
    *,
    names: Mapping[str, str],
    pull_form: PullChoiceForm | None = None,
) -> dict[str, Any]:
    """Everything of one type's page; the forecast or the reasons why there is none."""
    stock = prospect.stock
    code = stock.choice.chosen_by if stock.choice else ""
    context: dict[str, Any] = {
        "prospect": prospect,
        "stock": stock,
        "type": stock.lead,
        "gauge": gauge_counts(stock.tubes()),
        "off_stage": kept_off_stage(stock.tubes()),
        "lots": [lot_line(lot) for lot in stock.lots],
        "columns": pull_columns(prospect),
        "chosen_by": names.get(code, code),
        "pull_form": pull_form or PullChoiceForm(),
        "set_words": "sets" if stock.lead.set_size > 1 else f"{stock.lead.noun}s",
    }
    try:
        figures = figures_of(prospect)
    except Refused as refused:
        context["refusals"] = refused.reasons
    else:
        context |= {
            "figures": figures,
            "doubts": prospect.doubts(figures.asked),
            "drivers": drivers(figures.asked),
            "by_chance": chance_alone(figures.asked),
            "tours": tour_chances(figures.asked, prospect.bookings, prospect.today),
        }
    return context | what_if(prospect, query)


def what_if(prospect: Prospect, query: Mapping[str, Any]) -> dict[str, Any]:
    """The what-if form and its answer; every question is a plain address."""
    asked = any(name in query for name in ASKED)
    unit = units_bought(prospect.stock.lead)
    form = WhatIfForm(query if asked else None, pieces=may_rest(prospect), unit=unit)
    context = {"what_if": form, "stock": prospect.stock, "type": prospect.stock.lead}
    if not asked or not form.is_valid() or not form.asks:
        return context
    try:
        return context | {"compared": wonder(prospect, form.cleaned_data)}
    except Refused as refused:
        return context | {"not_compared": refused.reasons}


def lot_line(lot: LotCount) -> dict[str, Any]:
    """A lot with the line that must come out."""
    return {"lot": lot.lot, "balance": balance(lot.counts), "gauge": gauge_counts(lot.counts)}
