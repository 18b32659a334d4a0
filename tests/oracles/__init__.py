"""Plain, slow evaluations, written apart from the library."""
