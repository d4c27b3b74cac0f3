"""A paper that must not be handed out."""


class HandingRefused(Exception):
    """Why nothing was made; the text is a whole sentence, or several."""
