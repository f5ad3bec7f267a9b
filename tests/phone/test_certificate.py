"""The certificate names the address, is short-lived enough for phones, and its key is the user's own."""

from __future__ import annotations

import datetime
import ipaddress
import ssl
import stat
from pathlib import Path

import pytest
from cryptography import x509

from voicefit.errors import BadInput
from voicefit.phone.certificate import certificate_for


def test_it_is_for_the_address_and_kept(tmp_path: Path) -> None:
    made = certificate_for("192.0.2.7", tmp_path / "phone")
    read = x509.load_pem_x509_certificate(made.certificate_file.read_bytes())
    names = read.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(x509.IPAddress) == [ipaddress.ip_address("192.0.2.7")]
    assert read.not_valid_after_utc - read.not_valid_before_utc < datetime.timedelta(days=398)
    assert stat.S_IMODE(made.key_file.stat().st_mode) == 0o600
    ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(made.certificate_file, made.key_file)
    der = ssl.PEM_cert_to_DER_cert(made.certificate_file.read_text())
    assert x509.load_der_x509_certificate(der) == read and made.fingerprint.count(":") == 31
    assert certificate_for("192.0.2.7", tmp_path / "phone") == made
    assert certificate_for("192.0.2.8", tmp_path / "phone").fingerprint != made.fingerprint


def test_a_new_one_is_made_where_it_has_run_out_or_is_damaged(tmp_path: Path) -> None:
    first = certificate_for("192.0.2.7", tmp_path)
    later = datetime.datetime.now(datetime.UTC) + datetime.timedelta(days=396)
    second = certificate_for("192.0.2.7", tmp_path, later)
    assert second.fingerprint != first.fingerprint
    second.certificate_file.write_text("no certificate")
    assert certificate_for("192.0.2.7", tmp_path, later).fingerprint != second.fingerprint


def test_a_folder_that_cannot_be_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(BadInput, match="file/phone"):
        certificate_for("192.0.2.7", tmp_path / "file" / "phone")
