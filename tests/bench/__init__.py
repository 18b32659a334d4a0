"""Benchmarks: ratios against a baseline in the same run; run with `python -m tests.bench`."""
