"""Whatever the site lists, as a file for a spreadsheet."""
