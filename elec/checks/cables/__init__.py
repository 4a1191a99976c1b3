"""One cable run: heat, drop, size, protection and its place."""
