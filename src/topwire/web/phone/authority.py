"""A certificate authority of this machine's own, so that the grower's phone trusts the pages over https.

It can vouch for one name that ends in .local and for private addresses, for nothing in the wide world: whoever stole
its key could not pose as a bank (RFC 5280, 4.2.1.10, name constraints). The key never leaves this machine.
"""

import socket
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address, ip_network
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from topwire.files.safely import write_safely

PRIVATE = tuple(ip_network(one) for one in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16"))  # RFC 1918
AUTHORITY_LASTS = timedelta(days=5 * 365)
LEAF_LASTS = timedelta(days=90)
RENEWED_AT = timedelta(days=60)  # left of a leaf, at a start: it then holds for as long as a server runs
EARLIER = timedelta(days=1)  # a phone's clock may be behind
_ANOTHER = "--new-authority makes another, which the phone installs"
_AUTHORITY, _AUTHORITY_KEY = "authority.crt", "authority.key"
_LEAF, _LEAF_KEY = "pages.crt", "pages.key"


class NoAuthority(Exception):
    """What lies in the authority's folder cannot be used; says what to do."""


@dataclass(frozen=True)
class Paper:
    """What https wants, and what a phone installs.

    Attributes
    ----------
    chain, key : files of the pages' own certificate
    authority : bytes a phone installs (DER)
    name : as the phone lists it
    fingerprint : SHA-256 of `authority`, to be compared by eye
    ends : when the phone has to install a new one
    """

    chain: Path
    key: Path
    authority: bytes
    name: str
    fingerprint: str
    ends: datetime


def local_name() -> str:
    """This machine's name as its own network knows it, “farm-laptop.local”."""
    said = socket.gethostname().partition(".")[0].lower()
    kept = "".join(sign for sign in said if sign.isascii() and (sign.isalnum() or sign == "-")).strip("-")
    return f"{kept or 'topwire'}.local"


def papers(
    folder: Path, address: str, name: str = "", *, anew: bool = False, now: datetime | None = None
) -> Paper:
    """The authority of this machine, made where there is none, and a fresh certificate for the pages.

    Parameters
    ----------
    address : private address the pages are at
    name : their other name; it ends in .local
    anew : forget the authority there was: every phone installs the new one

    Raises
    ------
    NoAuthority
        The address is none the authority may vouch for, or what is kept cannot be read.
    """
    now = now or datetime.now(UTC)
    name = name or local_name()
    if not name.endswith(".local") or len(name) > 60 or not all(_label(one) for one in name.split(".")):
        raise NoAuthority(
            f"“{name[:60]}” is no name for this: write letters, digits and dashes and .local at the end"
        )
    if not any(ip_address(address) in net for net in PRIVATE):
        raise NoAuthority(f"{address} is no private address: the certificate is for your own network only")
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(0o700)
    if anew:
        for old in (_AUTHORITY, _AUTHORITY_KEY, _LEAF, _LEAF_KEY):
            (folder / old).unlink(missing_ok=True)
    if not (folder / _AUTHORITY).exists():
        _make_authority(folder, name, now)
    authority, key = _read(folder, _AUTHORITY, _AUTHORITY_KEY)
    if authority.not_valid_after_utc <= now:
        raise NoAuthority(
            f"the certificate on your phone was good until {authority.not_valid_after_utc:%d %B %Y}; {_ANOTHER}"
        )
    allowed = (
        authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    )
    if x509.DNSName(name) not in allowed:
        known = next((one.value for one in allowed if isinstance(one, x509.DNSName)), "another name")
        raise NoAuthority(f"the certificate on your phone is for {known}, not for {name}; {_ANOTHER}")
    if not _holds(folder, authority, address, name, now):
        _make_leaf(folder, authority, key, address, name, now)
    der = authority.public_bytes(serialization.Encoding.DER)
    return Paper(
        folder / _LEAF, folder / _LEAF_KEY, der, _common_name(authority), fingerprint(authority),
        authority.not_valid_after_utc,
    )  # fmt: skip


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256 in pairs of signs, as phones show it."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def _label(one: str) -> bool:
    return 0 < len(one) < 64 and one.isascii() and one.replace("-", "a").isalnum() and one.strip("-") == one


def _make_authority(folder: Path, name: str, now: datetime) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    who = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"topwire on {name}, {now:%Y-%m-%d}")])
    permitted = [x509.DNSName(name), *(x509.IPAddress(net) for net in PRIVATE)]
    made = (
        x509.CertificateBuilder()
        .subject_name(who)
        .issuer_name(who)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _keep(folder, _AUTHORITY_KEY, _private(key))
    _keep(folder, _AUTHORITY, made.public_bytes(serialization.Encoding.PEM))


def _make_leaf(
    folder: Path,
    authority: x509.Certificate,
    signer: ec.EllipticCurvePrivateKey,
    address: str,
    name: str,
    now: datetime,
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    known = [x509.DNSName(name), x509.IPAddress(ip_address(address))]
    made = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)]))
        .issuer_name(authority.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(min(now + LEAF_LASTS, authority.not_valid_after_utc))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(known), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False
        )
        .sign(signer, hashes.SHA256())
    )
    _keep(folder, _LEAF_KEY, _private(key))
    _keep(folder, _LEAF, made.public_bytes(serialization.Encoding.PEM))


def _holds(folder: Path, authority: x509.Certificate, address: str, name: str, now: datetime) -> bool:
    """Whether the kept leaf is of this authority, for this place, and good for long enough."""
    try:
        leaf, _ = _read(folder, _LEAF, _LEAF_KEY)
        leaf.verify_directly_issued_by(authority)
    except (NoAuthority, ValueError, TypeError, InvalidSignature):
        return False
    known = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    names = known.get_values_for_type(x509.DNSName), known.get_values_for_type(x509.IPAddress)
    return names == ([name], [ip_address(address)]) and leaf.not_valid_after_utc - now > RENEWED_AT


def _read(folder: Path, certificate: str, key: str) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    try:
        found = x509.load_pem_x509_certificate((folder / certificate).read_bytes())
        signer = serialization.load_pem_private_key((folder / key).read_bytes(), None)
    except (OSError, ValueError, TypeError) as amiss:
        raise NoAuthority(
            f"{folder / certificate} and its key cannot be read ({amiss}); {_ANOTHER}"
        ) from None
    if not isinstance(signer, ec.EllipticCurvePrivateKey) or signer.public_key() != found.public_key():
        raise NoAuthority(f"{folder / key} does not belong to {certificate}; {_ANOTHER}")
    return found, signer


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates, key_cert_sign=signs_certificates, crl_sign=signs_certificates,
        content_commitment=False, key_encipherment=False, data_encipherment=False, key_agreement=False,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _private(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _keep(folder: Path, name: str, content: bytes) -> None:
    """A key is never, for no moment, readable by anybody else: the folder is the owner's alone before it is written."""
    write_safely(folder / name, content)
    (folder / name).chmod(0o600)


def _common_name(certificate: x509.Certificate) -> str:
    return str(certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)


def authority_folder() -> Path:
    """Where this machine keeps its authority: beside no plan, so that sharing a plan never carries the key."""
    return Path.home() / ".topwire" / "own-phone"
