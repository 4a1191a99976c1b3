"""The direct-current network and its faults."""
