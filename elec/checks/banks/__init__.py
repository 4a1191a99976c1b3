"""One battery bank: what it holds, carries and starts, and how it is fitted."""
