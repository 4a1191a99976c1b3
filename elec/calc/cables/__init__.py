"""Conductors, their duty, faults and protection."""
