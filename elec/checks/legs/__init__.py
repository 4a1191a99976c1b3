"""What the loads put on each leg."""
