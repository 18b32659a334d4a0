"""Pressure loss of one hole in a thick plate by axisymmetric Navier-Stokes solutions.

`python -m tests.oracles.navier_stokes.generate` rewrites table.csv beside this file.
"""
