"""Pages of the road: tours, rig plans, shows, presses of the evening, backups."""
