"""What feeds and is fed: load cards, generator, inverter, what may run together."""
