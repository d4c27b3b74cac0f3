"""Load-out: the truck-door count, by several people at once, and the walk of the stage."""
