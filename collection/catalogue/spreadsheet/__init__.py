"""Read an inventory that somebody already keeps in a spreadsheet; no database here."""
