"""``lift page`` as a user starts it: where it listens, what it prints, how it refuses."""

import hashlib
import json
import os
import shutil
import signal
import socket
import ssl
import stat
import subprocess
import sys
import time
import urllib.error
import urllib.request

import pytest
from click.testing import CliRunner

from lift.cli import app as command_line
from lift.errors import LiftError
from lift.make import bench_page
from lift.practice.visit.home import data_folder
from lift.show.page import certificate
from lift.show.page.certificate import own_certificate
from lift.show.page.connections import HANDSHAKE_SECONDS
from lift.show.page.serve import Place, listen


def refused(*words):
    done = CliRunner().invoke(command_line, ["page", *words])
    assert isinstance(done.exception, LiftError), done.output
    return str(done.exception)


@pytest.fixture
def start(tmp_path):
    made = []

    def begin(*words):
        command = [sys.executable, "-m", "lift", "page", "--port", "0", "--data", str(tmp_path)]
        process = subprocess.Popen(
            [*command, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )
        made.append(process)
        lines = []
        for line in process.stdout:
            lines.append(line.strip())
            if line.startswith("Estimates"):
                break
        address = lines[0].split()[1]
        return process, int(address.rstrip("/").rpartition(":")[2]), lines

    yield begin
    for process in made:
        process.kill()
        process.wait()
        process.stdout.close()
        process.stderr.close()


def test_connections_do_not_hold_back_the_end_of_an_answer():
    with (
        listen(Place("127.0.0.1", 0)) as listener,
        socket.create_connection(listener.getsockname()),
        listener.accept()[0] as connection,
    ):
        assert connection.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)


def get(url, context=None):
    with urllib.request.urlopen(url, context=context) as reply:
        return reply.read()


@pytest.mark.slow
def test_it_serves_on_loopback_and_stops_quietly(start):
    process, port, lines = start()
    assert lines[0].startswith("Page: http://127.0.0.1:")
    assert not any("Pairing" in line for line in lines)
    assert b"<!doctype html>" in get(f"http://127.0.0.1:{port}/")
    assert json.loads(get(f"http://127.0.0.1:{port}/api/preview"))["inputs"]["level"] == 6.0
    addresses = {a[4][0] for a in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    for address in addresses - {"127.0.0.1", "127.0.1.1"}:
        with pytest.raises(OSError):  # noqa: PT011
            socket.create_connection((address, port), timeout=1)
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=15) == 0
    assert process.stderr.read() == ""


@pytest.mark.slow
@pytest.mark.skipif(not os.path.isdir("/proc"), reason="processes are looked up in /proc")
def test_a_server_that_is_killed_leaves_no_process_behind(start):
    process, port, _ = start()
    get(f"http://127.0.0.1:{port}/api/preview")
    workers = bench_page._children(process.pid)
    assert workers
    process.kill()
    for _ in range(100):
        if not any(os.path.isdir(f"/proc/{pid}") for pid in workers):
            return
        time.sleep(0.1)
    raise AssertionError(f"still there: {workers}")


@pytest.mark.slow
def test_another_host_gets_a_pairing_code(start):
    _, port, lines = start("--host", "0.0.0.0")
    code = next(line for line in lines if line.startswith("Pairing code: "))
    digits = "".join(code.split()[2:5])
    assert len(digits) == 12
    assert digits.isdecimal()
    assert any("Not encrypted" in line for line in lines)
    with pytest.raises(urllib.error.HTTPError, match="401"):
        get(f"http://127.0.0.1:{port}/api/preview")
    assert b"Pairing code" in get(f"http://127.0.0.1:{port}/")


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("openssl") is None, reason="openssl is not installed")
def test_it_serves_over_tls(start, tmp_path):
    key, certificate = str(tmp_path / "key.pem"), str(tmp_path / "certificate.pem")
    words = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"]
    names = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1"]
    files = ["-keyout", key, "-out", certificate]
    subprocess.run([*words, *names, *files], check=True, capture_output=True)
    _, port, lines = start("--certificate", certificate, "--key", key)
    assert lines[0].startswith("Page: https://")
    trusting = ssl.create_default_context(cafile=certificate)
    assert b"lift" in get(f"https://127.0.0.1:{port}/", trusting)


@pytest.mark.slow
def test_it_serves_over_tls_with_a_certificate_of_its_own(start, tmp_path):
    process, port, lines = start("--host", "0.0.0.0", "--tls")
    assert lines[0].startswith("Page: https://")
    assert not any("Not encrypted" in line for line in lines)
    told = next(line for line in lines if "SHA-256 of" in line).split()[-1].replace(":", "")
    der = ssl.PEM_cert_to_DER_cert(ssl.get_server_certificate(("127.0.0.1", port)))
    assert hashlib.sha256(der).hexdigest().upper() == told
    trusting = ssl.create_default_context(cafile=str(tmp_path / "tls" / "certificate.pem"))
    assert b"Pairing code" in get(f"https://127.0.0.1:{port}/", trusting)
    with socket.create_connection(("127.0.0.1", port)) as silent:
        silent.settimeout(HANDSHAKE_SECONDS + 6)
        assert silent.recv(1) == b""
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=15) == 0


def test_a_certificate_is_kept_while_it_lasts_and_has_all_names(tmp_path, monkeypatch):
    first = own_certificate(tmp_path, "0.0.0.0")
    assert own_certificate(tmp_path, "127.0.0.1") == first
    for path in (first.key, first.certificate):
        assert stat.S_IMODE(os.stat(path).st_mode) == 0o600
    other = own_certificate(tmp_path, "salon.example")
    assert other.fingerprint != first.fingerprint
    assert own_certificate(tmp_path, "salon.example") == other
    with open(other.key, "w") as key:
        key.write("no key")
    mended = own_certificate(tmp_path, "salon.example")
    assert mended.fingerprint != other.fingerprint
    monkeypatch.setattr(certificate, "RENEWED_DAYS", 366)
    assert own_certificate(tmp_path, "salon.example").fingerprint != mended.fingerprint


def test_what_tls_is_made_with_is_named_when_missing(monkeypatch, tmp_path):
    monkeypatch.setitem(sys.modules, "cryptography", None)
    where = ["--data", str(tmp_path), "--port", "0"]
    assert "pip install 'lift[tls]'" in refused("--tls", *where)


def test_a_certificate_is_either_given_or_made(tmp_path):
    (tmp_path / "a").touch()
    words = ["--certificate", str(tmp_path / "a"), "--key", str(tmp_path / "a"), "--tls"]
    assert "either" in refused(*words)


def test_a_port_that_is_taken():
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert f"cannot serve on 127.0.0.1, port {port}" in refused("--port", str(port))


@pytest.mark.parametrize("port", ["70000", "-1", "http", "80.5", "nan"])
def test_a_port_that_is_none(port):
    assert "port" in refused("--port", port)


def test_a_host_that_is_none():
    assert "cannot serve on" in refused("--host", "no.such.host.invalid", "--port", "0")


def test_half_of_tls(tmp_path):
    assert "both" in refused("--certificate", str(tmp_path))
    words = ["--certificate", str(tmp_path / "a"), "--key", str(tmp_path / "b")]
    assert "does not exist" in refused(*words)


def test_a_data_folder_that_is_a_file(tmp_path):
    (tmp_path / "file").write_text("")
    assert "cannot use data folder" in refused("--data", str(tmp_path / "file"), "--port", "0")


def test_a_curve_set_that_is_none(tmp_path):
    assert "cannot read curve set" in refused("--curves", str(tmp_path / "none"), "--port", "0")


def test_the_data_folder_follows_the_users_settings(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert data_folder() == tmp_path / "lift" / "page"
    monkeypatch.delenv("XDG_DATA_HOME")
    assert data_folder().is_relative_to(os.path.expanduser("~"))


def test_names_of_the_host():
    assert Place("::1").hosts.allows("[::1]:8181")
    salon = Place("0.0.0.0").hosts
    assert salon.allows("192.168.1.9:8181")
    assert salon.allows(socket.gethostname())
    assert not salon.allows("evil.example")


def test_what_is_missing_is_named(monkeypatch):
    monkeypatch.setitem(sys.modules, "uvicorn", None)
    assert "pip install 'lift[page]'" in refused("--port", "0")


def test_what_the_page_is_made_with_is_named_when_missing(monkeypatch):
    for module in ("serve", "security"):
        monkeypatch.delitem(sys.modules, f"lift.show.page.{module}", raising=False)
    monkeypatch.setitem(sys.modules, "starlette.datastructures", None)
    assert "pip install 'lift[page]'" in refused("--port", "0")
