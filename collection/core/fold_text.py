"""Text as the search box compares it."""

import unicodedata


def folded(text: str) -> str:
    """Text without accents and case: 'Bandsling É' → 'bandsling e'.

    NFKD, combining marks dropped, casefolded, runs of space made one. The query is folded alike,
    since `icontains 'é'` misses 'É' on SQLite.
    """
    apart = unicodedata.normalize("NFKD", text)
    kept = "".join(c for c in apart if not unicodedata.combining(c))
    return " ".join(kept.casefold().split())
