"""The road: tours, shows, the rig plan, and who can stand in, in time."""
