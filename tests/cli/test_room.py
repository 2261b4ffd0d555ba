"""The room's settings: what they become, and how bad ones are refused before anything starts."""

import importlib.util
import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from traitlets.config import Config

from dampinglab.errors import LearnerError
from tests.conftest import any_free_port

FILE = Path(__file__).parents[2] / "lessons" / "instructor" / "room" / "jupyterhub_config.py"
GOOD = 'password = "bleed screw 19"\n'


@pytest.fixture(scope="module")
def config():
    spec = importlib.util.spec_from_file_location("room_config", FILE)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def write(folder, text):
    (folder / "room.toml").write_text(text, encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("seats = 6", "there is no password in quotes"),
        ('password = ""', "there is no password in quotes"),
        ('password = "        "', "there is no password in quotes"),
        ("password = 12345678", "there is no password in quotes"),
        ('password = "1234567"', "the password has only 7 characters"),
        ('password = "dämpfer 19"', "has an accent, or a space at one end"),
        ('password = "dampers 19 "', "has an accent, or a space at one end"),
        (GOOD + "seats = 0", "seats = 0 is outside 1 to 40"),
        (GOOD + "seats = 2.5", "seats = 2.5 is not whole"),
        (GOOD + 'seats = "some"', "is not one clear number"),
        (GOOD + "port = 80", "port = 80 is outside 1024 to 65000"),
        (GOOD + 'address = "room"', "'room' is not one address"),
        (GOOD + "address = 8", "8 is not one address"),
        (GOOD + 'address = "0.0.0.0"', "'0.0.0.0' is not one address"),
        (GOOD + 'adress = "192.0.2.1"', "'adress' is not known here; perhaps you meant 'address'"),
        ("password = bleed screw", "cannot be read as TOML"),
    ],
)
def test_a_bad_setting_gets_one_sentence_with_its_row(config, tmp_path, text, says):
    with pytest.raises(LearnerError) as told:
        config.read_room(write(tmp_path, text))
    assert says in str(told.value)
    assert str(told.value).startswith("room.toml")
    assert str(told.value).endswith(".")


def test_without_an_address_only_this_machine_reaches_it(config, tmp_path):
    room = config.read_room(write(tmp_path, GOOD))
    assert (room.address, room.port) == ("127.0.0.1", 8000)
    assert room.names == ["seat1", "seat2", "seat3", "seat4", "seat5", "seat6"]
    told = config.read_room(write(tmp_path, GOOD + 'address = "192.0.2.1"\nseats = 2'))
    assert (told.address, told.names) == ("192.0.2.1", ["seat1", "seat2"])


def test_a_port_in_use_and_a_room_open_already_get_one_sentence(config, tmp_path):
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        port = holder.getsockname()[1]
        room = config.read_room(write(tmp_path, f"{GOOD}port = {port - 2}"))
        with pytest.raises(LearnerError, match=f"127.0.0.1 with port {port} cannot be used"):
            config.take(room)
    with pytest.raises(LearnerError, match="is open already; stop it first"):
        config.take(room)
    config.LOCKS.clear()


def test_an_address_of_another_machine_is_told_with_where_to_find_one_s_own(config, tmp_path):
    elsewhere = 'address = "198.51.100.7"\n'  # one that the internet never uses
    room = config.read_room(write(tmp_path, f"{GOOD}{elsewhere}port = {any_free_port()}"))
    with pytest.raises(LearnerError, match=r"198\.51\.100\.7 .*or as address one that `ip -brief"):
        config.take(room)
    config.LOCKS.clear()


def test_a_missing_proxy_gets_one_sentence(config, monkeypatch, tmp_path):
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sys, "executable", str(tmp_path / "python"))
    with pytest.raises(LearnerError, match=r"node is missing; room\.md has the lines"):
        config.find_proxy()


def test_every_setting_is_one_that_jupyterhub_takes(config, tmp_path):
    hub = pytest.importorskip("jupyterhub.app", reason="jupyterhub is not installed")
    from jupyterhub.authenticators.shared import SharedPasswordAuthenticator
    from jupyterhub.proxy import ConfigurableHTTPProxy
    from jupyterhub.spawner import SimpleLocalProcessSpawner

    room = config.read_room(write(tmp_path, GOOD + "seats = 2"))
    settings = Config()
    config.configure(settings, room, "proxy")
    kinds = [hub.JupyterHub, SharedPasswordAuthenticator, SimpleLocalProcessSpawner]
    kinds += [*SharedPasswordAuthenticator.mro(), *SimpleLocalProcessSpawner.mro()]
    known = {kind.__name__: kind for kind in [*kinds, ConfigurableHTTPProxy]}
    for name, values in settings.items():
        assert set(values) <= set(known[name].class_trait_names(config=True)), name
    door = settings.JupyterHub.authenticator_class(config=settings)
    assert door.user_password == "bleed screw 19"
    assert door.allowed_users == {"seat1", "seat2"}
    app = hub.JupyterHub(config=settings)
    assert app.bind_url == "http://127.0.0.1:8000"


def test_jupyterhub_refuses_in_one_line_and_starts_nothing(tmp_path):
    pytest.importorskip("jupyterhub", reason="jupyterhub is not installed")
    told = subprocess.run(
        [sys.executable, "-m", "jupyterhub", "-f", FILE],
        env={**os.environ, "DAMPINGLAB_ROOM": str(tmp_path / "none")},
        capture_output=True,
        text=True,
        cwd=tmp_path,
    )
    assert told.returncode == 1
    assert told.stdout == ""
    (line,) = told.stderr.splitlines()
    assert line.startswith(f"There is no {tmp_path / 'none' / 'room.toml'}: make it")
    assert list(tmp_path.iterdir()) == []
