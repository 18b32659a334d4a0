"""Settings of the service, from flags and from the environment (LIBDAMP_...)."""

import os
from collections.abc import Mapping
from typing import Any

import msgspec


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """What may be set; every field can come from LIBDAMP_<FIELD> in the environment."""

    host: str = "127.0.0.1"
    port: int = 8000
    workers: int = 1
    cors_origins: tuple[str, ...] = ()
    body_bytes: int = 64 * 1024
    address_bytes: int = 4096
    read_seconds: float = 10.0
    pool_workers: int = 1
    pool_queue: int = 8
    pool_seconds: float = 20.0
    most_builds: int = 0
    metrics: bool = False
    log: bool = True


def from_environment(environment: Mapping[str, str] | None = None) -> Settings:
    """Settings from the environment, defaults for the rest.

    Raises
    ------
    ValueError : a value that is none of its kind, with the name of the variable.
    """
    given = os.environ if environment is None else environment
    values: dict[str, Any] = {}
    for field in msgspec.structs.fields(Settings):
        name = f"LIBDAMP_{field.name.upper()}"
        text = given.get(name, "")
        if text:
            raw: object = tuple(filter(None, text.split(","))) if field.name == "cors_origins" else text
            try:
                values[field.name] = msgspec.convert(raw, field.type, strict=False)
            except msgspec.ValidationError as error:
                raise ValueError(f"{name}={text}: {error}") from None
    return Settings(**values)


def to_environment(settings: Settings) -> dict[str, str]:
    """Environment that `from_environment` reads as these settings."""
    values = msgspec.structs.asdict(settings)
    return {
        f"LIBDAMP_{name.upper()}": ",".join(value) if isinstance(value, tuple) else str(value)
        for name, value in values.items()
    }
