"""Laws of the equations as properties."""
