"""Set-up tokens: what is packed comes back whole, old tokens stay readable, defaults take no room."""

import pytest
from hypothesis import given, settings

from libdamp import Oil, Shock, Thinning, pack, unpack
from libdamp.car import Corner
from libdamp.demo import demo_corner
from libdamp.packing import unpack_data
from tests.drawn import examples
from tests.model_strategies import any_corners, replaced, shocks
from tests.model_strategies import thinning_oils as oils_that_thin

OLD = "1.DrZS0K3S0Q3AIAgFwI0a--gD3H8x-9mkYoh4M9xiIzonIe_G8knXaKXizEtDNFNnNT8TH7t4bKN74qOwONKqJQVMxsPWPPH_Pcq7bwA"
"""A corner packed before an oil could be said to thin; it must stay readable for ever."""


def test_old_token() -> None:
    """A token of the first version gives the corner that it held, and the corner still packs the same data."""
    corner = demo_corner("demo-truck.front")
    assert unpack(OLD) == corner
    assert unpack_data(pack(corner)) == unpack_data(OLD)


@settings(max_examples=examples(25))
@given(shocks(), oils_that_thin())
def test_thinning_comes_back(shock: Shock, oil: Oil) -> None:
    """An oil that thins comes back with its three numbers, bit for bit."""
    thins = replaced(shock, oil=oil)
    assert unpack(pack(thins)) == thins


@settings(max_examples=examples(25))
@given(any_corners())
def test_corners_come_back(corner: Corner) -> None:
    """Any corner comes back as it was."""
    assert unpack(pack(corner)) == corner


def test_defaults_take_no_room() -> None:
    """A floor of 0 and an oil that is not said to thin are left out."""
    shock = demo_corner("demo-truck.front").shock
    assert "thinning" not in unpack_data(pack(shock))["shock"]["oil"]
    law = Thinning(relaxation_time_s=1e-5, power_index=0.5)
    held = unpack_data(pack(replaced(shock, oil=replaced(shock.oil, thinning=law))))
    assert held["shock"]["oil"]["thinning"] == {"relaxation_time_s": 1e-5, "power_index": 0.5}


@pytest.mark.parametrize("label", [None, "summer"])
def test_the_order_of_an_oil_is_kept(label: str | None) -> None:
    """A label packed beside the thinning is read back in its own place."""
    oil = Oil(viscosity_cst=5000.0, thinning=Thinning(relaxation_time_s=1e-4, power_index=0.4), label=label)
    shock = replaced(demo_corner("demo-truck.rear").shock, oil=oil)
    assert unpack(pack(shock)) == shock
