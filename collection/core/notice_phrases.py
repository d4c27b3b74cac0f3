"""The fixed phrases of a theft notice in six languages, and dates as they are written there.

English is ours. The others are our own translations, `checked` by nobody yet: have them read by
somebody who speaks the language before many copies go out. What people typed (names of pieces,
marks, places) is not translated.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from collection.core.lettering import DIGITS, LETTERS, stretches


@dataclass(frozen=True)
class Phrases:
    """One language. `code`: BCP 47. Braces are filled by `str.format`."""

    code: str
    name: str
    checked: bool
    stolen: str
    between: str
    after: str
    before: str
    reported: str
    reference: str
    pending: str
    not_yet: str
    mark: str
    serial: str
    no_serial: str
    read_both: str
    underlined: str
    digits_only: str
    letter: str
    seen_one: str
    the_police: str
    or_ring: str
    gear_desk: str
    do_not: str
    kinds: dict[str, str]
    figures: tuple[str, ...]
    months: tuple[str, ...]
    day_form: str = "{day} {month} {year}, {hour}"

    def moment(self, local: datetime) -> str:
        """A day and hour as written there; `local` is already on the clock of the place."""
        month = self.months[local.month - 1]
        return self.day_form.format(
            day=local.day, month=month, year=local.year, hour=f"{local:%H:%M}"
        )

    def window(self, last: str, gone: str) -> str:
        """Between when and when, of moments in words; '' when neither is known."""
        if last and gone:
            return self.between.format(last, gone)
        return self.after.format(last) if last else self.before.format(gone) if gone else ""

    def spelt(self, serial: str) -> str:
        """The doubtful characters of a serial named one by one; '' when there are none."""
        if any(c.isdigit() for c in serial) and not any(c.isalpha() for c in serial):
            return self.digits_only
        doubtful = "".join(part.text for part in stretches(serial) if part.doubtful)
        said = [self._named(character) for character in doubtful]
        return self.underlined.format(", ".join(said)) if said else ""

    def _named(self, character: str) -> str:
        if character in DIGITS:
            return self.figures[int(character)]
        return self.letter.format(character) if character in LETTERS else character


PHRASES: dict[str, Phrases] = {
    one.code: one
    for one in (
        Phrases(
            "en", "English", True, "Stolen", "between {} and {}", "after {}", "before {}",
            "reported to the police", "reference {}", "reported to the police, reference pending",
            "not reported to the police yet", "Mark", "Serial number", "no serial number",
            "Read each underlined character both ways.", "underlined: {}", "digits only",
            "letter {}", "Seen one? Ring", "the police", "Or", "the gear desk",
            "Do not approach anyone. Do not buy it. Ring.",
            {"instrument": "instrument", "amplifier": "amplifier", "cabinet": "loudspeaker cabinet",
             "effect": "effect", "microphone": "microphone", "other": "equipment"},
            ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"),
            ("January", "February", "March", "April", "May", "June", "July", "August",
             "September", "October", "November", "December"),
        ),
        Phrases(
            "de", "German", False, "Gestohlen", "zwischen {} und {}", "nach {}", "vor {}",
            "der Polizei gemeldet", "Aktenzeichen {}", "der Polizei gemeldet, Aktenzeichen folgt",
            "der Polizei noch nicht gemeldet", "Merkmal", "Seriennummer", "keine Seriennummer",
            "Bitte jedes unterstrichene Zeichen in beiden Lesarten prüfen.",
            "unterstrichen: {}", "nur Ziffern", "Buchstabe {}", "Gesehen? Bitte anrufen",
            "die Polizei", "Oder", "unsere Instrumententechnik",
            "Sprechen Sie niemanden an. Kaufen Sie es nicht. Rufen Sie an.",
            {"instrument": "Instrument", "amplifier": "Verstärker", "cabinet": "Lautsprecherbox",
             "effect": "Effektgerät", "microphone": "Mikrofon", "other": "Gerät"},
            ("Null", "Eins", "Zwei", "Drei", "Vier", "Fünf", "Sechs", "Sieben", "Acht", "Neun"),
            ("Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September",
             "Oktober", "November", "Dezember"), "{day}. {month} {year}, {hour} Uhr",
        ),
        Phrases(
            "nl", "Dutch", False, "Gestolen", "tussen {} en {}", "na {}", "voor {}",
            "gemeld bij de politie", "kenmerk {}", "gemeld bij de politie, kenmerk volgt",
            "nog niet gemeld bij de politie", "Kenmerk", "Serienummer", "geen serienummer",
            "Lees elk onderstreept teken op beide manieren.", "onderstreept: {}", "alleen cijfers",
            "letter {}", "Gezien? Bel", "de politie", "Of", "onze instrumententechniek",
            "Spreek niemand aan. Koop het niet. Bel.",
            {"instrument": "instrument", "amplifier": "versterker", "cabinet": "luidsprekerkast",
             "effect": "effectapparaat", "microphone": "microfoon", "other": "apparaat"},
            ("nul", "één", "twee", "drie", "vier", "vijf", "zes", "zeven", "acht", "negen"),
            ("januari", "februari", "maart", "april", "mei", "juni", "juli", "augustus",
             "september", "oktober", "november", "december"), "{day} {month} {year}, {hour} uur",
        ),
        Phrases(
            "fr", "French", False, "Volé", "entre le {} et le {}", "après le {}", "avant le {}",
            "signalé à la police", "référence {}", "signalé à la police, référence à venir",
            "pas encore signalé à la police", "Signe particulier", "Numéro de série",
            "sans numéro de série", "Lire chaque caractère souligné des deux façons.",
            "souligné : {}", "chiffres seulement", "lettre {}", "Vous l’avez vu ? Appelez",
            "la police", "Ou", "notre régie instruments",
            "N’abordez personne. Ne l’achetez pas. Appelez.",
            {"instrument": "instrument", "amplifier": "amplificateur", "cabinet": "enceinte",
             "effect": "effet", "microphone": "microphone", "other": "appareil"},
            ("zéro", "un", "deux", "trois", "quatre", "cinq", "six", "sept", "huit", "neuf"),
            ("janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre",
             "octobre", "novembre", "décembre"), "{day} {month} {year} à {hour}",
        ),
        Phrases(
            "nb", "Norwegian", False, "Stjålet", "mellom {} og {}", "etter {}", "før {}",
            "meldt til politiet", "referanse {}", "meldt til politiet, referanse kommer",
            "ennå ikke meldt til politiet", "Kjennetegn", "Serienummer", "uten serienummer",
            "Les hvert understreket tegn på begge måter.", "understreket: {}", "bare sifre",
            "bokstav {}", "Sett den? Ring", "politiet", "Eller", "instrumentteknikken vår",
            "Ikke ta kontakt med noen. Ikke kjøp det. Ring.",
            {"instrument": "instrument", "amplifier": "forsterker", "cabinet": "høyttalerkasse",
             "effect": "effektenhet", "microphone": "mikrofon", "other": "utstyr"},
            ("null", "en", "to", "tre", "fire", "fem", "seks", "sju", "åtte", "ni"),
            ("januar", "februar", "mars", "april", "mai", "juni", "juli", "august", "september",
             "oktober", "november", "desember"), "{day}. {month} {year} kl. {hour}",
        ),
        Phrases(
            "da", "Danish", False, "Stjålet", "mellem {} og {}", "efter {}", "før {}",
            "anmeldt til politiet", "journalnummer {}",
            "anmeldt til politiet, journalnummer følger", "endnu ikke anmeldt til politiet",
            "Kendetegn", "Serienummer", "uden serienummer",
            "Læs hvert understreget tegn på begge måder.", "understreget: {}", "kun cifre",
            "bogstav {}", "Set den? Ring til", "politiet", "Eller", "vores instrumentteknik",
            "Henvend dig ikke til nogen. Køb den ikke. Ring.",
            {"instrument": "instrument", "amplifier": "forstærker", "cabinet": "højttalerkabinet",
             "effect": "effektenhed", "microphone": "mikrofon", "other": "udstyr"},
            ("nul", "en", "to", "tre", "fire", "fem", "seks", "syv", "otte", "ni"),
            ("januar", "februar", "marts", "april", "maj", "juni", "juli", "august", "september",
             "oktober", "november", "december"), "{day}. {month} {year} kl. {hour}",
        ),
    )
}  # fmt: skip

# Languages by country, the first one offered; where several are spoken a person chooses.
SPOKEN = {
    "DE": "de", "AT": "de", "CH": "de", "LI": "de", "NL": "nl", "BE": "nl", "FR": "fr", "LU": "fr",
    "MC": "fr", "NO": "nb", "DK": "da", "GB": "en", "IE": "en",
}  # fmt: skip


def language_of(country: str) -> str:
    """The code of the language of a notice for a country (ISO 3166-1 alpha-2); English elsewhere.

    >>> language_of("NO"), language_of("PT")
    ('nb', 'en')
    """
    return SPOKEN.get(country.upper(), "en")
