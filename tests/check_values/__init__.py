"""Check values: rows of data and the test that runs them."""
