"""What a field of any form says against what was typed, in the site's own words.

Put into Django's field classes, since forms come from many bases and a form may still say
something nearer; whoever types reads what to type, not that a rule was broken.
"""

from django import forms

TOO_LONG = "Too long: %(show_value)d characters, and %(limit_value)d fit in here."
NOT_LISTED = "This is not on the list here: choose again."
NUMBER = {
    "min_value": "Write %(limit_value)s or more.",
    "max_value": "Write %(limit_value)s or less.",
    "max_digits": "Too many digits: %(max)s fit in here.",
    "max_decimal_places": "Too many places behind the point: %(max)s fit in here.",
    "max_whole_digits": "Too large: %(max)s digits fit in front of the point.",
}
A_NUMBER = "Write a number, such as 12 or 12.5."
A_WHOLE_NUMBER = "Write a whole number, such as 12."
A_DAY = "Write a day, such as 2026-11-24."
A_TIME = "Write a time, such as 15:30."
A_MOMENT = "Write a day and a time, such as 2026-11-24 15:30."
AN_ADDRESS = "Write an address for mail, such as gear@example.org."

WORDS: dict[type[forms.Field], dict[str, str]] = {
    forms.Field: {"required": "Fill this in: nothing stands here yet."},
    forms.CharField: {"required": "Write something here.", "max_length": TOO_LONG},
    forms.IntegerField: NUMBER | {"required": A_WHOLE_NUMBER, "invalid": A_WHOLE_NUMBER},
    forms.FloatField: {"required": A_NUMBER, "invalid": A_NUMBER},
    forms.DecimalField: {"required": A_NUMBER, "invalid": A_NUMBER},
    forms.DateField: {"required": A_DAY, "invalid": A_DAY},
    forms.TimeField: {"required": A_TIME, "invalid": A_TIME},
    forms.DateTimeField: {"required": A_MOMENT, "invalid": A_MOMENT},
    forms.EmailField: {"required": AN_ADDRESS, "invalid": AN_ADDRESS},
    forms.FileField: {"required": "Choose a file."},
    forms.BooleanField: {"required": "Tick this to go on."},
    forms.ChoiceField: {"required": "Choose one of these.", "invalid_choice": NOT_LISTED},
    forms.MultipleChoiceField: {
        "required": "Choose at least one of these.",
        "invalid_choice": NOT_LISTED,
    },
    forms.ModelChoiceField: {"required": "Choose one of these.", "invalid_choice": NOT_LISTED},
    forms.ModelMultipleChoiceField: {
        "required": "Choose at least one of these.",
        "invalid_choice": NOT_LISTED,
    },
}


def speak() -> None:
    """Let every field class say these words where its form says none of its own."""
    for field, words in WORDS.items():
        own = vars(field).get("default_error_messages", {})
        field.default_error_messages = {**own, **words}
