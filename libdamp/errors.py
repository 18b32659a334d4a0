"""Every exception that libdamp raises.

DampError
|-- InputError (also ValueError)            what was given is not acceptable; .faults says what, all of it
|-- UnknownCalculation (also LookupError)   no calculation of that name
|-- TooCostly                               the work asked for exceeds a bound; the text names it
`-- Cancelled                               a progress callback asked to stop
"""

from collections.abc import Sequence

import msgspec

__all__ = ["Cancelled", "DampError", "Fault", "InputError", "TooCostly", "UnknownCalculation"]


class Fault(msgspec.Struct, frozen=True, kw_only=True):
    """One thing wrong with an input: where, which rule, what was given, what is allowed, in which unit."""

    pointer: str
    rule: str
    value: str | float | None = None
    limit: str | float | None = None
    unit: str | None = None
    text: str


class DampError(Exception):
    """Whatever libdamp raises on purpose."""


class InputError(DampError, ValueError):
    """What was given is not acceptable; `faults` lists every fault found, each with its place."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__("; ".join(f"{fault.pointer or '/'}: {fault.text}" for fault in self.faults))

    def __reduce__(self) -> tuple[type["InputError"], tuple[tuple[Fault, ...]]]:
        """Let the error cross a process boundary whole."""
        return InputError, (self.faults,)


class UnknownCalculation(DampError, LookupError):  # noqa: N818 - the name is part of the published contract
    """No calculation of that name."""


class TooCostly(DampError):  # noqa: N818 - the name is part of the published contract
    """The work asked for exceeds a bound; the text names the bound and what to leave out."""


class Cancelled(DampError):  # noqa: N818 - the name is part of the published contract
    """A progress callback asked to stop."""
