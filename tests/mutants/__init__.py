"""Mutation check of the equations: every number and power made wrong by 1 % must break its module's own tests."""
