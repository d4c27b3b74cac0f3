"""Cases: what is in them, what belongs in them, packing, kit, and what goes with a piece."""
