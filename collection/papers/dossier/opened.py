"""The entries out of whatever somebody sends: the PDF that carries them, or the file alone."""

import io

from collection.core.dossier_check import MOST_BYTES, NoDossier

ENTRIES = "entries.json"
MOST_FILE = 24 * 2**20
UNPACKED = 64 * 2**20


def entries_of(data: bytes) -> bytes:
    """The bytes of entries.json, unchanged. Raises NoDossier with a sentence."""
    if len(data) > MOST_FILE:
        raise NoDossier(f"The file has more than {MOST_FILE // 2**20} MB; no dossier is so large.")
    return _attached(data) if data.lstrip()[:5] == b"%PDF-" else data


def _attached(data: bytes) -> bytes:
    # Loaded where it is used: 40 ms and a native library that nothing else needs.
    import pikepdf
    from pikepdf import settings

    settings.set_qpdf_limits(
        flate_max_memory=UNPACKED,
        run_length_max_memory=UNPACKED,
        png_max_memory=UNPACKED,
        doc_max_warnings=50,
        parser_max_container_size=200_000,
    )
    try:
        with pikepdf.open(io.BytesIO(data), attempt_recovery=False) as pdf:
            found = [one for key, one in pdf.attachments.items() if ENTRIES in (key, one.filename)]
            content = bytes(found[0].get_file().read_bytes()) if found else None
    except (pikepdf.PdfError, ValueError, RuntimeError, KeyError, AttributeError) as error:
        raise NoDossier("This PDF cannot be read: it is damaged or locked.") from error
    if len(found) > 1:
        # A reader of PDFs would show one, and this page would have checked another.
        raise NoDossier(f"This PDF has more than one {ENTRIES} inside; a dossier has one.")
    if content is None:
        raise NoDossier(
            f"This PDF has no {ENTRIES} inside. A printed or newly saved copy may have lost it; "
            "ask for the file as it was made."
        )
    if len(content) > MOST_BYTES:
        raise NoDossier("The entries in this PDF are larger than any dossier.")
    return content
