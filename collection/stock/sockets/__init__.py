"""Parts in positions: may it go in, putting it in, taking it out, reading the sockets again."""
