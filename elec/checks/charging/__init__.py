"""What goes back into a bank, and its charge through time."""
