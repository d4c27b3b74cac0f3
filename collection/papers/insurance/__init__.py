"""Insurance: policies, what stands under them, values, limits, nights in the truck."""
