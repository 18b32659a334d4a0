"""Landings of many corners by the stiff solver: a committed table, its corners and its generator."""
