"""Shore power: inlet, cord, transformer, dock."""
