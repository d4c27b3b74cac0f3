"""Writing the road: the front of plans, the evening and backups."""

from collection.road.actions.backups import (
    add_outside_candidate,
    add_quote,
    choose_backup,
    set_figures,
)
from collection.road.actions.evening import (
    STRINGS,
    WENT_SILENT,
    checked,
    did_it_again,
    it_died,
    log_show,
    note_show,
    seen_here,
    sound_back,
    strings_on,
)
from collection.road.actions.plans import (
    add_show,
    add_tour,
    carry_beside,
    change_day_sheet,
    change_tour,
    set_list,
    set_position,
    stay_home,
    travel,
)

__all__ = [
    "STRINGS",
    "WENT_SILENT",
    "add_outside_candidate",
    "add_quote",
    "add_show",
    "add_tour",
    "carry_beside",
    "change_day_sheet",
    "change_tour",
    "checked",
    "choose_backup",
    "did_it_again",
    "it_died",
    "log_show",
    "note_show",
    "seen_here",
    "set_figures",
    "set_list",
    "set_position",
    "sound_back",
    "stay_home",
    "strings_on",
    "travel",
]
