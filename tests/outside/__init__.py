"""Tests that need more than pip: an office program, a browser, npm packages. Run with `pytest -m outside`."""
