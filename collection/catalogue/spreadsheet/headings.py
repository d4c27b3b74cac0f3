"""What people write above the columns of an inventory, in six languages.

Common practice, no source: the words were gathered by asking what such a column would be called.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import lru_cache

LEAVE = "leave"
FUZZY = 0.85
WHOLE = 0.98
MOST_WORDS = 8

# A field whose heading alone does not settle it; `columns` looks at the cells.
UNSETTLED = ("any_name", "any_state", "any_date", "any_number")

SYNONYMS: dict[str, str] = {
    "code": "code|kode|gear code"
    "|tag|asset|asset no|asset number|asset id|asset tag|tag no|inventory no|id"
    "|inventory number|inv no|inv|piece code|piece no|gear id|item no|item number|item code"
    "|item id|label|barcode|inventarnummer|inventarnr|inventar nr|inv nr|kennung|kurzzeichen"
    "|numero d inventaire|no d inventaire|no inventaire|numero inventaire|cote"
    "|inventarisnummer|inventaris nr|objectnummer|inventarnummer|merke nr|lopenummer|lobenummer",
    "kind": "kind|what|category|class|gear type|item type|type of gear|what is it|what it is"
    "|sort of gear|art|gattung|kategorie|geraeteart|gerateart|genre|categorie|nature|soort"
    "|slag|kategori|slags|utstyrstype",
    "maker": "maker|make|brand|manufacturer|manuf|mfr|builder|made by|who made it"
    "|builder maker|maker brand"
    "|hersteller|marke|fabrikat|erbauer|marque|fabricant|facteur|constructeur|merk|fabrikant"
    "|bouwer|merke|produsent|maerke|maerke fabrikat|producent|fabrikat",
    "design": "design|model|model name|model no|model number|modell|baumuster|modele|type model"
    "|modelnaam|modelbetegnelse|modellnavn|typenbezeichnung|product",
    "year": "year|yr|year made|year built|year of manufacture|built|made|date made|made in year"
    "|date of manufacture|manufactured|era|vintage|production year|date built|circa"
    "|baujahr|bj|jahr|jahrgang|herstellungsjahr|annee|annee de fabrication|annee de production"
    "|millesime|jaar|bouwjaar|jaar van fabricage|aar|ar|byggear|arsmodell|produksjonsar"
    "|argang|produktionsar|byggeaar|aargang",
    "circuit": "circuit|schematic|wiring|circuit wiring|circuit revision|schaltung|schaltplan"
    "|verdrahtung|schema|cablage|circuit cablage|schakeling|bedrading|kobling|koblingsskjema"
    "|kredsloeb|kredslob|diagram",
    "serial": "serial|serial no|serial number|serial nr|serial num|serials|sn|s n|ser no|ser nr"
    "|serial no as marked|seriennummer|seriennr|serien nr|fabriknummer|fabriknr|numero de serie"
    "|no de serie|n de serie|no serie|serienummer|serienr|serie nr|serienummer nr",
    "finish": "finish|colour|color|colour finish|finish colour|farbe|lackierung|lack|ausfuehrung"
    "|ausfuhrung|couleur|finition|kleur|afwerking|farge|overflade|finish farge|farve",
    "place": "place|where|location|where is it|where it is|where kept|kept at|kept in|stored"
    "|stored at|storage|store|storage location|shelf|current location|site|room|ort"
    "|standort|lagerort|lager|lagerplatz|platz|wo|lieu|emplacement|endroit|localisation|ou"
    "|plaats|locatie|opslag|waar|sted|plassering|lagerplass|hvor|placering|lokation",
    "holder": "holder|who has it|who has|held by|with|with whom|with who|currently with|custodian"
    "|user|used by|lent to|on loan to|in the hands of|wer hat es|bei wem|bei|verliehen an|inhaber"
    "|detenteur|chez|chez qui|prete a|utilisateur|bij|bij wie|gebruiker|uitgeleend aan|hos|hos hvem"
    "|utlant til|udlant til|hvem har den|bruker|bruger",
    "owner": "owner|owned by|belongs to|property of|whose|eigentuemer|eigentumer|besitzer"
    "|gehort|gehoert|proprietaire|appartient a|eigenaar|eier|ejer",
    "works": "works|working|does it work|working order|operational|functional|functions|playable"
    "|works y n|working y n|funktioniert|geht|spielbar|funktion|funktionsfaehig|funktionsfahig"
    "|fonctionne|en etat de marche|marche|werkt|doet het|fungerer|virker|virker den|funker",
    "checked": "checked|last checked|last check|date checked|check date|last tested|tested"
    "|test date|date tested|last inspected|inspected|inspection date|last inspection"
    "|checked on|last looked at|last verified"
    "|zuletzt geprueft|zuletzt gepruft|geprueft|gepruft|geprueft am"
    "|gepruft am|letzte pruefung|letzte prufung|pruefdatum|prufdatum|verifie|verifie le"
    "|derniere verification|dernier controle|controle le|controle|laatst gecontroleerd"
    "|gecontroleerd|gecontroleerd op|laatste controle|sist sjekket|sist kontrollert|sjekket"
    "|kontrollert|sidst kontrolleret|kontrolleret|sidst tjekket|tjekket",
    "value": "value|worth|valuation|insured value|insurance value|insured for|insurance"
    "|replacement value|replacement cost|replacement|market value|current value|estimate|est value"
    "|estimated value|value each|wert|versicherungswert|zeitwert|wiederbeschaffungswert"
    "|schaetzwert|schatzwert|valeur|valeur assuree|valeur d assurance|estimation|waarde"
    "|verzekerde waarde|verdi|forsikringsverdi|forsikringssum|vaerdi|forsikringsvaerdi",
    "currency": "currency|ccy|cur|waehrung|wahrung|devise|monnaie|munt|valuta",
    "mass": "mass|weight|wt|weighs|gross weight|net weight|gewicht|masse|poids|vekt|vaegt",
    "modifications": "modifications|mods|modified|modification|mod|changes|alterations|changed"
    "|work done|non original|not original|umbauten|modifikationen|aenderungen|anderungen|umbau"
    "|aanpassingen|wijzigingen|ombygginger|endringer|modifiseringer|modifikationer|aendringer",
    "notes": "notes|note|comments|comment|remarks|remark|observations|memo|info|further notes"
    "|other|misc|anmerkungen|anmerkung|bemerkung|bemerkungen|notizen|notiz|hinweise|hinweis"
    "|kommentar|sonstiges|remarques|remarque|commentaire|commentaires|divers"
    "|opmerkingen|opmerking|notities|notater|merknader|merknad|kommentarer|bemaerkninger|noter",
    "nickname": "nickname|nick|known as|aka|alias|pet name|called|what we call it|spitzname"
    "|rufname|surnom|bijnaam|kallenavn|oegenavn|ogenavn|kaldenavn|tilnavn",
    "count": "qty|quantity|count|how many|pieces|pcs|anzahl|stueck|stuck|stueckzahl|menge"
    "|quantite|nombre|qte|aantal|stuks|antall|antal|stk",
    "any_name": "name|title"
    "|item|piece|description|title of item|object|gear|equipment|instrument|unit|thing"
    "|bezeichnung|beschreibung|gegenstand|geraet|gerat|type|typ|objet|designation|appareil"
    "|omschrijving|naam|toestel|navn|betegnelse|beskrivelse|gjenstand|genstand|apparat|udstyr",
    "any_state": "state|status|condition|zustand|etat|staat|toestand|tilstand|stand|conditie",
    "any_date": "date|datum|dato",
    "any_number": "no|nr|number|num|nummer|numero|n|ref|reference|referenz|referanse|serie",
    LEAVE: "purchase price|price paid|bought for|cost|price|purchase date|date bought|bought"
    "|date purchased|purchased|acquired|date acquired|bought from|supplier|kaufpreis|kaufdatum"
    "|preis|gekauft|gekauft am|prix|prix d achat|date d achat|achete|aankoopprijs|aankoopdatum"
    "|gekocht|prijs|pris|kjopt|kjopsdato|kobt|kobsdato|kobspris|picture|photo|image|foto|bild"
    "|row|line|country|made in|country of origin|origin|last seen"
    "|case no|flight case"
    "|dimensions|size|tuning|strings|next check|next service"
    "|due|next due|last service|last serviced|serviced|last played|last gig|restrung|last restrung"
    "|refretted|sold|date sold|insured since|insured until|policy|warranty|volts|voltage|watts",
}

UNITS = re.compile(
    r"\b(kgs?|kilos?|kilograms?|lbs?|pounds?|oz|grams?|g|gbp|eur|euros?|usd|nok|dkk|sek|chf|kr)\b"
)
LETTERS = str.maketrans({"æ": "ae", "ø": "o", "ß": "ss", "œ": "oe", "°": " ", "№": " no "})


@dataclass(frozen=True)
class Recognised:
    """The field a heading names, and how surely, from 0 to 1."""

    field: str
    strength: float


PHRASES = {
    phrase: field for field, phrases in reversed(SYNONYMS.items()) for phrase in phrases.split("|")
}


@lru_cache(maxsize=16384)
def fold(text: str) -> str:
    """Lower case, no accents, every run of other characters one space."""
    plain = unicodedata.normalize("NFKD", text.casefold().translate(LETTERS))
    plain = "".join(char for char in plain if not unicodedata.combining(char))
    return " ".join(re.findall(r"[^\W_]+", plain))


@lru_cache(maxsize=4096)
def recognise(heading: str) -> Recognised | None:
    """What a heading says, if anything: the whole of it, part of it, or nearly it."""
    written = _as_written(heading)
    if written and (written.strength >= WHOLE or written.field not in UNSETTLED):
        return written
    return _nearly(fold(UNITS.sub(" ", fold(heading[:80])))) or written


@lru_cache(maxsize=16384)
def _as_written(heading: str) -> Recognised | None:
    if len(heading) > 80:
        return None
    whole = fold(heading)
    without_units = fold(UNITS.sub(" ", whole))
    for phrase, strength in ((whole, 1.0), (without_units, WHOLE)):
        if phrase in PHRASES:
            return Recognised(PHRASES[phrase], strength)
    return _within(without_units)


def _within(folded: str) -> Recognised | None:
    """The longest known phrase that stands among the words, the last one on a tie."""
    words = folded.split()
    if len(words) > MOST_WORDS:
        return None
    spans = [
        (len(phrase), start, phrase)
        for start in range(len(words))
        for end in range(start + 1, len(words) + 1)
        if (phrase := " ".join(words[start:end])) in PHRASES and len(phrase) > 3
    ]
    if not spans:
        return None
    longest, _, phrase = max(spans)
    return Recognised(PHRASES[phrase], 0.5 + 0.4 * longest / len(folded))


def _nearly(folded: str) -> Recognised | None:
    """A misspelt heading; short words are too alike to guess from."""
    if len(folded) < 5:
        return None
    best, phrase = max(
        (
            (SequenceMatcher(None, folded, phrase).ratio(), phrase)
            for phrase in PHRASES
            if abs(len(phrase) - len(folded)) <= 3 and len(phrase) > 3
        ),
        default=(0.0, ""),
    )
    return Recognised(PHRASES[phrase], 0.8 * best) if best >= FUZZY else None


def known_headings(cells: Iterable[str]) -> int:
    """How many different fields a row of would-be headings names, spelt as they should be."""
    found = (_as_written(cell.strip()) for cell in cells if cell.strip())
    return len({known.field for known in found if known and known.strength > 0.7})
