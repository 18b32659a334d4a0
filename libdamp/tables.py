"""Builds as columns: some of them, several tables below each other, each build once."""

from typing import Any

import numpy as np

from .physics.numbers import Mask, Places

Table = dict[str, Any]
"""Columns of builds: their number in the grid, where they stand on each axis, figures, distance, effort, rank."""


def joined(tables: list[Table]) -> Table:
    """Tables below each other."""
    filled = [table for table in tables if table]
    return {name: np.concatenate([t[name] for t in filled]) for name in filled[0]} if filled else {}


def picked(table: Table, rows: Places | Mask | slice) -> Table:
    """Some rows of a table."""
    return {name: column[rows] for name, column in table.items()}


def merged(table: Table, more: Table) -> Table:
    """Both tables' builds, each once, in order of rank."""
    whole = joined([table, more])
    if not whole:
        return whole
    whole = picked(whole, np.unique(whole["number"], return_index=True)[1])
    return picked(whole, np.argsort(whole["rank"], kind="stable"))
