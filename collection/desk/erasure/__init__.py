"""Taking out what the register keeps of a person: their row, letters to them, words about them."""
