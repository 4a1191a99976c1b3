"""Batteries: capacity, charging, starting, time, air."""
