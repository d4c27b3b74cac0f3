"""Mains volts and hertz by country, and what on the rig plan does not fit them."""
