"""What has been taken out, and by which entry."""

from collections.abc import Iterable

from collection.ledger.models import Event


def without_words(event: Event) -> bool:
    """Whether an entry had words once and has none now."""
    return bool(event.words_hash) and not (event.words or event.source_note)


def reasons(events: Iterable[Event]) -> dict[int, Event]:
    """The entry that says why, by the number of each entry without its words; at most 1 query."""
    bare = {event.sequence: event for event in events if without_words(event)}
    if not bare:
        return {}
    collection = next(iter(bare.values())).collection_id
    said = Event.objects.filter(collection=collection, kind="redacted")
    found = {one.facts.get("entry"): one for one in said.order_by("sequence")}
    return {number: found[number] for number in bare if number in found}
