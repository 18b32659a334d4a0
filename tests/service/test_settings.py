"""Settings come from flags, then from the environment, then from the defaults; what is no setting is told."""

import os
import socket
import sys

import msgspec
import pytest

from service import server
from service.__main__ import main
from service.settings import Settings, from_environment, to_environment

OWN = Settings(
    host="127.0.0.2",
    port=8123,
    workers=3,
    cors_origins=("http://a.example", "http://b.example"),
    body_bytes=1000,
    address_bytes=2000,
    read_seconds=1.5,
    pool_workers=2,
    pool_queue=4,
    pool_seconds=2.5,
    most_builds=77,
    metrics=True,
    log=False,
)


def test_defaults() -> None:
    """Nothing set: this machine only, nobody else's pages, bounds as documented."""
    settings = from_environment({})
    assert settings == Settings()
    assert (settings.host, settings.port, settings.workers, settings.cors_origins) == ("127.0.0.1", 8000, 1, ())
    assert (settings.body_bytes, settings.address_bytes) == (65_536, 4096)
    assert (settings.metrics, settings.log) == (False, True)


def test_every_setting_has_a_variable() -> None:
    """Each field is read from LIBDAMP_<FIELD>, and what is written for a worker is read back."""
    assert from_environment(to_environment(OWN)) == OWN
    assert from_environment(to_environment(Settings())) == Settings()
    default = msgspec.structs.asdict(Settings())
    assert all(value != default[name] for name, value in msgspec.structs.asdict(OWN).items())


def test_empty_is_not_set() -> None:
    """An empty variable is none."""
    assert from_environment(dict.fromkeys(to_environment(OWN), "")) == Settings()


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("LIBDAMP_PORT", "many"),
        ("LIBDAMP_READ_SECONDS", "soon"),
        ("LIBDAMP_LOG", "perhaps"),
        ("LIBDAMP_WORKERS", "1.5"),
    ],
)
def test_no_setting(
    name: str, text: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A value that is none of its kind ends the start with the variable's name, in one line."""
    monkeypatch.setenv(name, text)
    monkeypatch.setattr(sys, "argv", ["service"])
    assert main() == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(f"{name}={text}: ")


def served(monkeypatch: pytest.MonkeyPatch, *flags: str) -> Settings:
    """Settings with which the server would run."""
    given: list[Settings] = []
    monkeypatch.setattr(server, "serve", given.append)
    monkeypatch.setattr(os, "environ", {k: v for k, v in os.environ.items() if not k.startswith("LIBDAMP_")})
    monkeypatch.setattr(sys, "argv", ["service", *flags])
    assert main() == 0
    assert from_environment() == given[0]
    return given[0]


def free() -> str:
    """A free port."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return str(probe.getsockname()[1])


def test_flags(monkeypatch: pytest.MonkeyPatch) -> None:
    """Flags set what they say, and reach the workers."""
    port = free()
    settings = served(monkeypatch, "--port", port, "--workers", "2", "--metrics", "--quiet")
    assert settings == Settings(port=int(port), workers=2, metrics=True, log=False)


def test_flags_before_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    """A flag beats the environment; the environment beats the default."""
    port = free()
    monkeypatch.setattr(sys, "argv", ["service", "--port", port])
    given: list[Settings] = []
    monkeypatch.setattr(server, "serve", given.append)
    wanted = Settings(port=1, workers=4, pool_seconds=3.0)
    monkeypatch.setattr(os, "environ", {**os.environ, **to_environment(wanted)})
    assert main() == 0
    assert given == [msgspec.structs.replace(wanted, port=int(port))]


def test_port_taken(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A port that is taken is told in one sentence with what to do, exit code 2."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        monkeypatch.setattr(sys, "argv", ["service", "--port", str(port)])
        assert main() == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert f"Port {port} on 127.0.0.1 cannot be used" in line
    assert f"--port {port + 1}" in line


def test_unknown_flag(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """An unknown flag is told."""
    monkeypatch.setattr(sys, "argv", ["service", "--prot", "1"])
    with pytest.raises(SystemExit) as caught:
        main()
    assert caught.value.code == 2
    assert "--prot" in capsys.readouterr().err
