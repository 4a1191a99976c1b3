"""Alternating current: legs, demand, motors, which loads fit together."""
