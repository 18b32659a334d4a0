"""libdamp: choose, build and tune oil-filled coil-over shocks of radio-controlled model cars.

Calculations are typed functions (`libdamp.ride(corner=...)`); `libdamp.calculate(name, request)` takes and
gives plain data. For model cars only, nothing that carries or protects people.
"""

__version__ = "0.1.0"
