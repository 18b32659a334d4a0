"""Equations only: SI floats or arrays in, SI floats or arrays out; no models, one subject a file."""
