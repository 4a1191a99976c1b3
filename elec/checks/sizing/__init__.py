"""A size, a fuse and its place for one cable run."""
