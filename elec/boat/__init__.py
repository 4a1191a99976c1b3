"""The boat as described: records, reading a boat file, its messages."""
