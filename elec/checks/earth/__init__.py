"""The earth of an inlet: what stands in it, what it carries, what it blocks."""
