"""Papers filed with an incident or a piece that came back: letters, releases, scans, by hash."""
