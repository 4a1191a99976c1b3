"""One module per question: a boat in, findings out."""
