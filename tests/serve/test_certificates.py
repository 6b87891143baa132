"""The certificates phones can trust, tried in a real TLS handshake, and the page that hands out the authority's."""

from __future__ import annotations

import socket
import ssl
import stat
import threading
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from tracker.serve.certificate_page import CERTIFICATE_PATH, serve_certificate
from tracker.serve.certificates import local_certificates
from tracker.serve.outlet import Outlet, free_port


def handshake(folder: Path, *, name: str, authority: Path) -> None:
    """One TLS connection over a socket pair: a server with the folder's certificate, a client that trusts authority."""
    ours, theirs = socket.socketpair()
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(folder / "server.crt", folder / "server.key")

    def serve() -> None:
        with ours:
            try:
                with serving.wrap_socket(ours, server_side=True) as connection:
                    connection.recv(1)
            except OSError:
                return

    server = threading.Thread(target=serve)
    server.start()
    asking = ssl.create_default_context(cafile=str(authority))
    try:
        with theirs, asking.wrap_socket(theirs, server_hostname=name) as connection:
            connection.send(b"x")
    finally:
        server.join(timeout=10)


def test_a_phone_that_trusts_the_authority_trusts_the_server(tmp_path: Path) -> None:
    files = local_certificates(tmp_path, names=["192.168.1.10", "laptop.local"])
    assert files.authority is not None
    handshake(tmp_path, name="laptop.local", authority=files.authority)
    handshake(tmp_path, name="192.168.1.10", authority=files.authority)
    with pytest.raises(ssl.SSLCertVerificationError):
        handshake(tmp_path, name="elsewhere.example", authority=files.authority)


def test_the_authority_stays_the_same_from_start_to_start(tmp_path: Path) -> None:
    first = local_certificates(tmp_path, names=["192.168.1.10"])
    assert first.authority is not None
    kept = first.authority.read_bytes()
    second = local_certificates(tmp_path, names=["192.168.1.11"])
    assert second.authority is not None
    assert second.authority.read_bytes() == kept
    handshake(tmp_path, name="192.168.1.11", authority=first.authority)


def test_keys_are_for_this_user_only(tmp_path: Path) -> None:
    local_certificates(tmp_path / "tls", names=["192.168.1.10"])
    for name in ("authority.key", "server.key"):
        assert stat.S_IMODE((tmp_path / "tls" / name).stat().st_mode) == 0o600


def test_the_page_hands_out_the_certificate_and_nothing_else(tmp_path: Path) -> None:
    files = local_certificates(tmp_path, names=["192.168.1.10"])
    assert files.authority is not None
    port = free_port(0)
    server = serve_certificate(files.authority, address="127.0.0.1", port=port)
    base = f"http://127.0.0.1:{port}"
    with urllib.request.urlopen(base + "/") as page:
        assert b"iPhone" in page.read()
    with urllib.request.urlopen(base + CERTIFICATE_PATH) as certificate:
        assert certificate.read() == files.authority.read_bytes()
        assert certificate.headers["Content-Type"] == "application/x-x509-ca-cert"
    with pytest.raises(urllib.error.HTTPError, match="404"):
        urllib.request.urlopen(base + "/authority.key")
    server.shutdown()
    server.server_close()


def test_an_outlet_for_this_computer_names_no_other_host() -> None:
    outlet = Outlet(port=8460)
    assert (outlet.here, outlet.elsewhere, outlet.listens_on) == ("http://127.0.0.1:8460", None, "127.0.0.1")
    assert outlet.hosts == ["127.0.0.1", "localhost"]


def test_an_outlet_for_the_network_is_reached_by_its_address() -> None:
    outlet = Outlet(port=8460, lan_names=("192.168.1.10", "laptop", "laptop.local"))
    assert (outlet.here, outlet.elsewhere) == ("http://127.0.0.1:8460", "http://192.168.1.10:8460")
    assert outlet.listens_on == "0.0.0.0"
