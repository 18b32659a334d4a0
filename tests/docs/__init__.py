"""Tests that read the documentation."""
