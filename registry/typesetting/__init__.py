"""Paper that others are handed: PDF/A-3a, tagged, with attachments; knows nothing of gear."""

from registry.typesetting.attachment import Attachment, Relationship
from registry.typesetting.typeset import PaperFailed, typeset

__all__ = ["Attachment", "PaperFailed", "Relationship", "typeset"]
