"""A certificate made on the spot, for TLS without anybody who vouches for this machine."""

from __future__ import annotations

import hashlib
import ipaddress
import socket
import ssl
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from lift.files import write_whole

if TYPE_CHECKING:
    from cryptography.x509 import GeneralName

LASTS_DAYS = 365
RENEWED_DAYS = 30
FOLDER = "tls"
SOMEWHERE = "192.0.2.1"
"""An address of RFC 5737, for documentation: nothing is sent there."""


@dataclass(frozen=True)
class Certificate:
    """A certificate and its key (PEM files), and its SHA-256 as browsers show it."""

    certificate: str
    key: str
    fingerprint: str


def own_certificate(data: Path, host: str) -> Certificate:
    """Return the certificate of this machine, kept in the page's data folder.

    It is made anew only when it ends within a month or lacks a name, so that a device that has
    been told to trust it goes on doing so.

    Raises
    ------
    ModuleNotFoundError
        Without the extra `tls`.
    LiftError
        When it cannot be written.
    """
    folder = data / FOLDER
    paths = folder / "certificate.pem", folder / "key.pem"
    names = _names(host)
    if not _is_good(*paths, names):
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        certificate, key = _make(names)
        # Never a new certificate with the old key: without a certificate both are made anew.
        paths[0].unlink(missing_ok=True)
        write_whole(paths[1], key, "file.page", private=True)
        write_whole(paths[0], certificate, "file.page", private=True)
    der = ssl.PEM_cert_to_DER_cert(paths[0].read_text("ascii"))
    digest = hashlib.sha256(der).hexdigest().upper()
    pairs = ":".join(digest[start : start + 2] for start in range(0, len(digest), 2))
    return Certificate(str(paths[0]), str(paths[1]), pairs)


def reached_at() -> str | None:
    """Address at which this machine is reached by others on its network, where it has one."""
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect((SOMEWHERE, 9))
        return str(probe.getsockname()[0])
    return None


def _names(host: str) -> list[str]:
    """Names and addresses that the page may be asked for under, each once."""
    own = (host, socket.gethostname(), reached_at(), "localhost", "127.0.0.1", "::1")
    return [*dict.fromkeys(name for name in own if name not in (None, "", "0.0.0.0", "::"))]


def _make(names: Iterable[str]) -> tuple[bytes, bytes]:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "lift")])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=LASTS_DAYS))
        .add_extension(x509.SubjectAlternativeName(map(_general_name, names)), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    secret = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    return made.public_bytes(serialization.Encoding.PEM), secret


def _is_good(certificate: Path, key: Path, names: Iterable[str]) -> bool:
    """Whether what is kept can be read, belongs together, lasts and has all names."""
    from cryptography import x509

    try:
        kept = x509.load_pem_x509_certificate(certificate.read_bytes())
        found = kept.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(certificate, key)
    except (OSError, ValueError, x509.ExtensionNotFound):
        return False
    lasts = kept.not_valid_after_utc - datetime.now(UTC) > timedelta(days=RENEWED_DAYS)
    return lasts and {*map(_general_name, names)} <= {*found}


def _general_name(name: str) -> GeneralName:
    from cryptography import x509

    with suppress(ValueError):
        return x509.IPAddress(ipaddress.ip_address(name))
    return x509.DNSName(name)
