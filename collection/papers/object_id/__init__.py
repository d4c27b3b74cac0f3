"""The Object ID sheet: the description by which a stolen piece is known again."""
