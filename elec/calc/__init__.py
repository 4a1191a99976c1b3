"""Pure calculations: SI-based floats or arrays in and out, nothing else."""
