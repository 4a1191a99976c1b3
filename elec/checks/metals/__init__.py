"""Metals: couples, rates, anodes, readings, bonds, terminals."""
