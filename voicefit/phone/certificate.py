"""The certificate of this machine, made at first use and kept beside the journal.

Duty: make, keep and read it. It must not serve anything.
"""

from __future__ import annotations

import datetime
import ipaddress
import os
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from voicefit.errors import BadInput

VALID = datetime.timedelta(days=397)  # phones refuse a server's certificate that is valid for longer than 398
_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Certificate:
    """``fingerprint`` : SHA-256, in pairs of figures, as a browser shows it."""

    certificate_file: Path
    key_file: Path
    fingerprint: str


def certificate_for(address: str, folder: Path, now: datetime.datetime | None = None) -> Certificate:
    """The certificate for an address, from ``folder``; a new one where there is none or it has run out.

    Raises ``BadInput`` where it cannot be kept.
    """
    now = now or datetime.datetime.now(datetime.UTC)
    name = address.replace(":", "-")
    certificate_file, key_file = folder / f"{name}.crt", folder / f"{name}.key"
    try:
        known = _read(certificate_file, key_file)
        if known is None or not known.not_valid_before_utc <= now < known.not_valid_after_utc - _DAY:
            known = _made(address, certificate_file, key_file, now)
    except OSError as error:
        raise BadInput(f"{folder}: the certificate cannot be kept there ({error.strerror})") from None
    return Certificate(certificate_file, key_file, known.fingerprint(hashes.SHA256()).hex(":").upper())


def _read(certificate_file: Path, key_file: Path) -> x509.Certificate | None:
    if not certificate_file.is_file() or not key_file.is_file():
        return None
    try:
        return x509.load_pem_x509_certificate(certificate_file.read_bytes())
    except ValueError:
        return None


def _made(address: str, certificate_file: Path, key_file: Path, now: datetime.datetime) -> x509.Certificate:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"voicefit on {address}")])
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _DAY)  # a phone's clock may be behind
        .not_valid_after(now - _DAY + VALID)
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address(address))]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    certificate_file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    private = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    with os.fdopen(os.open(key_file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
        file.write(private)
    certificate_file.write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    return certificate
