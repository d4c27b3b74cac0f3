"""Lines that somebody has drawn for a type: years that must remain, units that must be there.

An alarm is for the stock page and the weekly letter; tonight's page never shows one before doors.
"""

from collection.stock.forecast import Prospect


def alarms_of(prospect: Prospect, median_years: float | None) -> tuple[str, ...]:
    """What is below its line, in whole sentences.

    `median_years`: even chance without the pulled reserve; None where it lies beyond the horizon
    or cannot be given.
    """
    outlook = prospect.stock.outlook
    if outlook is None:
        return ()
    said = []
    years, units = outlook.alarm_years, outlook.alarm_units
    if years is not None and median_years is not None and median_years < years:
        said.append(
            f"{prospect.stock.name}: {median_years:.1f} years by even chance, "
            f"below the {years:g} somebody asked to be warned at."
        )
    if units is not None and prospect.spares < units:
        what = "sets" if prospect.stock.lead.set_size > 1 else f"{prospect.stock.lead.noun}s"
        said.append(
            f"{prospect.stock.name}: {prospect.spares} {what} can go on stage, fewer than {units}."
        )
    return tuple(said)
