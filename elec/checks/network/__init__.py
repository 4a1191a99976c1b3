"""The direct-current network: drop with everything running, faults, banks as sources."""
