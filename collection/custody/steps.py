"""What is done after a theft, in parallel, by whoever has a hand free.

The order follows published advice on theft reports (report number and officer first, the list
with serials next, insurer with the number, then shops and repairers); the rest is common
practice, no source.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Step:
    """A task that is ticked with who and when; `first` ones stand before the notice's gate."""

    key: str
    words: str
    hint: str = ""
    first: bool = True


STEPS = (
    Step("people", "Everybody is safe and accounted for", "Nobody searches or follows alone."),
    Step("police", "Police, by telephone", "Ask for the number, the officer, the way to add."),
    Step("security", "Venue security: doors, cameras kept, who has keys"),
    Step("scene", "Room left as it is, photographed"),
    Step("told", "Artist and production told"),
    Step("searched", "Every case opened, truck and dock walked", "Most missing gear is mislaid."),
    Step("serials", "Each serial read off its photo", "Sending waits for this."),
    Step("notice", "Notice to shops and repairers along the way", first=False),
    Step("insurer", "Insurer, with the police reference or 'pending'", first=False),
    Step("reference", "Reference entered, notice sent again with it", first=False),
    Step("watch", "Sales pages, every second day", "Pass it to the officer.", first=False),
)
KEYS = frozenset(step.key for step in STEPS)
