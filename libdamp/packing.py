"""A set-up as a short text token and back; the token holds all data, so nothing need be stored anywhere.

token = "1." + base64url(CRC-32 of the JSON, big-endian, then the JSON deflated with a frozen dictionary)

The JSON is canonical: {"corner": ...}, {"shock": ...} or {"car": ...}; fields in the order of their Struct,
defaults left out, whole numbers without a point. The dictionary must never change within version 1.
"""

import base64
import binascii
import json
import re
import zlib
from typing import Any

import msgspec

from .car import Car, Corner
from .checked import MISSING, Model, build
from .errors import Fault, InputError
from .parts import Holes, Shock

VERSION = "1"
LARGEST_JSON = 65_536
LONGEST_TOKEN = 4_000
PACKED: dict[str, type[Model]] = {"corner": Corner, "shock": Shock, "car": Car}
"""What can be packed, by the key under which it stands."""

_DICTIONARY = (
    b'{"car":{"front":{"label":"wheelbase_mm":,"track_mm":,"cg_height_mm":,"scale_readings_g":{"front_left":'
    b',"front_right":,"rear_left":,"rear_right":},"rear":{"second_point":{"viscosity_cst":,"temperature_c":}'
    b'"vtc":0.6,"family":"petroleum","density_kg_m3":,"eccentricity":,"block_length_mm":,"sidewall_mm":'
    b',"preload_mm":,"exponent":1.3,"filled_at_c":20,"room_ml":"vented""emulsion""direction":"compression"'
    b'"rebound","edge_factor":{"count":,"diameter_mm":}{"kind":"pairs","travel_mm":[-10,-5,0,5,10],'
    b'"shock_length_mm":[{"kind":"ratio","motion_ratio":0.67,"level_length_mm":'
    b'{"corner":{"sprung_mass_g":,"unsprung_mass_g":,"level_clearance_mm":27,"linkage":{"kind":"arm",'
    b'"arm_length_mm":,"lower_mount_along_mm":,"lower_mount_above_mm":6,"upper_mount_out_mm":30,'
    b'"upper_mount_up_mm":},"tyre":{"rate_n_mm":1.,"loss_factor":0.3,"damping_n_s_m":,"radius_mm":},'
    b'"shock":{"bore_mm":12,"shaft_mm":3,"stroke_mm":30,"extended_length_mm":,"limiter_mm":4,'
    b'"cavity_length_mm":,"seat_offset_mm":10,"seal_drag_n":0.25,"piston":{"holes":"2x1.","thickness_mm":2.4,'
    b'"diameter_mm":11.9},"oil":{"viscosity_cst":,"reference_temperature_c":40},"fill":{"kind":"bladder",'
    b'"gas_ml":0.4,"closing_insertion_mm":15}},"spring":{"rate_n_mm":0.,"free_length_mm":}}}'
)


def _lean(value: Any) -> Any:
    """Plain data without defaults, whole numbers without a point, holes as text where that says all."""
    if isinstance(value, float):
        return int(value) if value.is_integer() and abs(value) < 1e15 else value
    if isinstance(value, tuple):
        texts = [_holes(item) for item in value]
        return "+".join(str(t) for t in texts) if texts and None not in texts else [_lean(item) for item in value]
    if not isinstance(value, msgspec.Struct):
        return value
    data: dict[str, Any] = {}
    tag = value.__struct_config__.tag
    if tag is not None:
        data["kind"] = tag
    for field in msgspec.structs.fields(value):
        inner = getattr(value, field.name)
        if field.required or inner != field.default:
            data[field.name] = _lean(inner)
    return data


def _holes(item: Any) -> str | None:
    if isinstance(item, Holes) and item.direction == "both" and item.edge_factor == 1.0:
        text = f"{item.count}x{_lean(item.diameter_mm)!r}"
        return text if re.fullmatch(r"\d+x\d+(\.\d+)?", text) else None
    return None


def pack(setup: Corner | Shock | Car) -> str:
    """Token of a corner, a shock or a car.

    Parameters
    ----------
    setup : the Struct.

    Raises
    ------
    InputError : something else was given.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> len(pack(demo_corner("demo-truck.front"))) <= 210
    True
    """
    key = next((name for name, kind in PACKED.items() if type(setup) is kind), None)
    if key is None:
        text = f"only a corner, a shock or a car can be packed, not {type(setup).__name__}"
        raise InputError([Fault(pointer="", rule="type", text=text)])
    plain = json.dumps({key: _lean(setup)}, separators=(",", ":"), ensure_ascii=False).encode()
    squeeze = zlib.compressobj(9, zlib.DEFLATED, -15, 9, zlib.Z_DEFAULT_STRATEGY, _DICTIONARY)
    body = zlib.crc32(plain).to_bytes(4, "big") + squeeze.compress(plain) + squeeze.flush()
    return f"{VERSION}.{base64.urlsafe_b64encode(body).decode().rstrip('=')}"


def unpack_data(token: str) -> dict[str, Any]:
    """Plain data in a token: {"corner": ...}, {"shock": ...} or {"car": ...}.

    Raises
    ------
    InputError : no token, cut short, changed, of another version.
    """
    version, _, text = token.strip().partition(".")
    if version != VERSION or not text:
        raise _refused(token, f"is no set-up token: one begins with '{VERSION}.'")
    if len(token) > LONGEST_TOKEN:
        raise _refused(token, f"is longer than {LONGEST_TOKEN} characters")
    try:
        body = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
        squeezed = zlib.decompressobj(-15, _DICTIONARY)
        plain = squeezed.decompress(body[4:], LARGEST_JSON)
    except (binascii.Error, ValueError, zlib.error):
        raise _refused(token, "is damaged: copy the whole token again") from None
    if not squeezed.eof or zlib.crc32(plain).to_bytes(4, "big") != body[:4]:
        raise _refused(token, "is damaged or cut short: copy the whole token again")
    data = json.loads(plain)
    if not isinstance(data, dict) or len(data) != 1 or next(iter(data)) not in PACKED:
        raise _refused(token, "holds no corner, shock or car")
    _spell_holes(data)
    return data


def _spell_holes(data: Any) -> None:
    """Put holes packed as text back into their fields, so that a request takes them without reading."""
    for key, value in data.items():
        if isinstance(value, dict):
            _spell_holes(value)
        elif key == "holes" and isinstance(value, str):
            data[key] = Holes.many_from_text(value)


def unpack(token: str) -> Corner | Shock | Car:
    """Corner, shock or car of a token.

    Parameters
    ----------
    token : as `pack` gives it.

    Raises
    ------
    InputError : no token, cut short, changed, of another version.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> corner = demo_corner("demo-truck.front")
    >>> unpack(pack(corner)) == corner
    True
    """
    ((key, data),) = unpack_data(token).items()
    faults: list[Fault] = []
    made: Corner | Shock | Car | Any = build(PACKED[key], data, f"/{key}", faults)
    if made is MISSING:
        raise InputError(faults)
    return made


def _refused(token: str, why: str) -> InputError:
    rule = "token" if len(token) <= LONGEST_TOKEN else "length"
    return InputError([Fault(pointer="/setup", rule=rule, value=token[:40], text=f"setup {why}")])
