"""A certificate authority of this computer's own, so that phones on the same network can use https.

https is what lets a phone keep the touchline page through a reload without any network. The authority's key never
leaves this computer; its certificate is what a phone installs once.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from tracker.errors import FileError

AUTHORITY_YEARS = 5
SERVER_DAYS = 397  # browsers refuse certificates that are valid for longer than 398 days
_RENEW_BEFORE = timedelta(days=30)


@dataclass(frozen=True, kw_only=True, slots=True)
class Certificates:
    """The files a server needs, and the authority's certificate that phones install (None when files were given)."""

    certificate: Path
    key: Path
    authority: Path | None


def local_certificates(folder: Path, *, names: Sequence[str]) -> Certificates:
    """A server certificate for these names and addresses, signed by this computer's own authority.

    The authority is made once and kept in ``folder``, readable by this user only. Raises FileError.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        authority_key, authority = _authority(folder)
        key = ec.generate_private_key(ec.SECP256R1())
        certificate = _server_certificate(key, authority_key, authority, names)
        files = Certificates(
            certificate=folder / "server.crt", key=folder / "server.key", authority=folder / "strike-ladder-ca.crt"
        )
        chain = certificate.public_bytes(serialization.Encoding.PEM) + authority.public_bytes(
            serialization.Encoding.PEM
        )
        _write_private(files.key, _pem(key))
        files.certificate.write_bytes(chain)
    except OSError as error:
        raise FileError(f"The certificates cannot be kept in {folder} ({error}).") from error
    return files


def _authority(folder: Path) -> tuple[ec.EllipticCurvePrivateKey, x509.Certificate]:
    key_file, certificate_file = folder / "authority.key", folder / "strike-ladder-ca.crt"
    if key_file.exists() and certificate_file.exists():
        key = serialization.load_pem_private_key(key_file.read_bytes(), password=None)
        certificate = x509.load_pem_x509_certificate(certificate_file.read_bytes())
        if isinstance(key, ec.EllipticCurvePrivateKey) and certificate.not_valid_after_utc - _RENEW_BEFORE > _now():
            return key, certificate
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Strike Ladder on this computer")])
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(_now() - timedelta(days=1))
        .not_valid_after(_now() + timedelta(days=365 * AUTHORITY_YEARS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _write_private(key_file, _pem(key))
    certificate_file.write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    return key, certificate


def _server_certificate(
    key: ec.EllipticCurvePrivateKey,
    authority_key: ec.EllipticCurvePrivateKey,
    authority: x509.Certificate,
    names: Sequence[str],
) -> x509.Certificate:
    return (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0][:64])]))
        .issuer_name(authority.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(_now() - timedelta(days=1))
        .not_valid_after(_now() + timedelta(days=SERVER_DAYS - 1))
        .add_extension(x509.SubjectAlternativeName([_general_name(one) for one in names]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(authority_key.public_key()), critical=False)
        .sign(authority_key, hashes.SHA256())
    )


def _general_name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write_private(path: Path, content: bytes) -> None:
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(content)


def _now() -> datetime:
    return datetime.now(UTC)
