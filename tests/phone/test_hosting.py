"""What the host of the page says of it, and the page over TLS."""

from __future__ import annotations

import base64
import hashlib
import shutil
import socket
import ssl
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from benchmarks.browser import browsing, text, until
from voicefit.errors import BadInput
from voicefit.phone.certificate import certificate_for
from voicefit.phone.hosting import Host
from voicefit.phone.pairing import Pairing, Role
from voicefit.phone.server import Server
from voicefit.phone.sound import Phone


def test_where_the_page_is_can_be_heard(tmp_path: Path) -> None:
    told: list[str] = []
    host = Host("127.0.0.1", 0, tmp_path, told.append, phone=True)
    try:
        port = host.origin.rpartition(":")[2]
        assert host.aloud == f"1 2 7 dot 0 dot 0 dot 1, port {' '.join(port)}"
        assert told[0] == f"The page is on 127.0.0.1:{port}, and nowhere else."
    finally:
        host.close()


@pytest.mark.parametrize("address", ["0.0.0.0", "::", "workshop", "192.168.1"])
def test_no_name_and_not_every_network(address: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"every network|in figures"):
        Host(address, 0, tmp_path, lambda line: None, phone=True)


@pytest.mark.skipif(
    shutil.which("chromium") is None or shutil.which("chromedriver") is None,
    reason="needs Debian's chromium and chromium-driver: tools/system-packages test",
)
def test_a_browser_pairs_and_joins_over_tls_with_the_certificate_made_here(tmp_path: Path) -> None:
    """Who trusts the certificate, here by its key as a person by its fingerprint, gets the page; without TLS nobody."""
    pairing, certificate = Pairing(), certificate_for("127.0.0.1", tmp_path)
    server = Server(pairing, Phone(), "127.0.0.1", certificate=certificate)
    server.start()
    try:
        port = int(server.host.rpartition(":")[2])
        shown = ssl.PEM_cert_to_DER_cert(ssl.get_server_certificate(("127.0.0.1", port)))
        assert hashlib.sha256(shown).hexdigest().upper() == certificate.fingerprint.replace(":", "")
        with socket.create_connection(("127.0.0.1", port)) as plain:
            plain.sendall(f"GET / HTTP/1.1\r\nHost: {server.host}\r\n\r\n".encode())
            assert b"<html" not in plain.recv(1000)
        key = x509.load_der_x509_certificate(shown).public_key()
        pin = base64.b64encode(
            hashlib.sha256(key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)).digest()
        )
        trust = (f"--ignore-certificate-errors-spki-list={pin.decode()}", f"--user-data-dir={tmp_path / 'browser'}")
        with browsing(*trust) as browser:
            browser.get(server.link(pairing.offer(Role.SCREEN)))
            until(lambda: text(browser, "link") == "Showing", told=lambda: text(browser, "link"))
            assert browser.current_url == f"https://{server.host}/"
    finally:
        server.close()
