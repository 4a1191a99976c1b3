"""Metals in water: potentials, rates, protection."""
