"""A cluster of one's own by its address: a scheduler and a worker started as programs of their own, the connection
encrypted, certificates from an authority made here."""

import datetime
import ipaddress
import json
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from many.invented import write_places

from topwire.cli import main
from topwire.many.kept import KeptAnswers
from topwire.many.listed import read_places
from topwire.many.run import ManyWanted, to_do
from topwire.many.template import read_template
from topwire.many.work import do

WAIT = 120.0  # [s] for the programs to stand; they take two


def write_certificates(folder: Path) -> None:
    """An authority, and a certificate of its making for the loopback address."""
    folder.mkdir()
    now = datetime.datetime.now(datetime.UTC)
    authority_key, key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    authority_name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"authority of {folder.name}")])
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "loopback")])

    def certificate(
        subject: x509.Name, of: ec.EllipticCurvePrivateKey, *, authority: bool
    ) -> x509.Certificate:
        address = x509.IPAddress(ipaddress.ip_address("127.0.0.1"))
        return (
            x509.CertificateBuilder()
            .subject_name(subject)
            .issuer_name(authority_name)
            .public_key(of.public_key())
            .serial_number(x509.random_serial_number())
            .not_valid_before(now - datetime.timedelta(minutes=5))
            .not_valid_after(now + datetime.timedelta(days=1))
            .add_extension(x509.BasicConstraints(ca=authority, path_length=None), critical=True)
            .add_extension(x509.SubjectAlternativeName([address]), critical=False)
            .sign(authority_key, hashes.SHA256())
        )

    pem = serialization.Encoding.PEM
    made = certificate(authority_name, authority_key, authority=True)
    (folder / "authority.pem").write_bytes(made.public_bytes(pem))
    (folder / "certificate.pem").write_bytes(certificate(name, key, authority=False).public_bytes(pem))
    plain = serialization.PrivateFormat.PKCS8
    (folder / "key.pem").write_bytes(key.private_bytes(pem, plain, serialization.NoEncryption()))


def tls(folder: Path, kind: str) -> list[str]:
    """The files of a folder of certificates as words of the library's programs, or of ours."""
    words = {
        "theirs": ("--tls-ca-file", "--tls-cert", "--tls-key"),
        "ours": ("--tls-ca", "--tls-cert", "--tls-key"),
    }[kind]
    files = ("authority.pem", "certificate.pem", "key.pem")
    return [word for one, file in zip(words, files, strict=True) for word in (one, str(folder / file))]


def program(kind: str, folder: Path, *words: str) -> "subprocess.Popen[bytes]":
    """A scheduler or a worker by the library's own command, with the certificates of `folder`."""
    shared = [*tls(folder / "own", "theirs"), "--no-dashboard"]
    asked = [sys.executable, "-m", f"distributed.cli.dask_{kind}", *words, *shared]
    return subprocess.Popen(asked, stderr=subprocess.DEVNULL, cwd=folder)


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """The address of an encrypted scheduler with one worker, and the folder of its certificates."""
    folder = tmp_path_factory.mktemp("cluster")
    write_certificates(folder / "own")
    known = folder / "scheduler.json"
    started = [
        program(
            "scheduler", folder, "--host", "tls://127.0.0.1", "--port", "0", "--scheduler-file", str(known)
        )
    ]
    try:
        until = time.monotonic() + WAIT
        while not known.exists() and time.monotonic() < until:
            time.sleep(0.05)
        address = json.loads(known.read_text(encoding="utf-8"))["address"]
        started.append(
            program(
                "worker", folder, address, "--nthreads", "1", "--no-nanny", "--local-directory", str(folder)
            )
        )
        yield address, folder / "own"
    finally:
        for one in reversed(started):
            one.kill()
            one.wait()


@pytest.fixture(scope="module")
def county(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("county")
    write_places(folder, 3)
    return folder


def many(county: Path, out: Path, *words: str) -> Result:
    asked = [str(county / "places.csv"), "--plan", str(county / "template.yaml"), "--out", str(out)]
    return CliRunner().invoke(main, ["many", *asked, "--until", "place", *words])


def test_a_cluster_of_ones_own_answers_as_this_machine_does(
    cluster: tuple[str, Path], county: Path, tmp_path: Path
) -> None:
    address, own = cluster
    assert address.startswith("tls://")
    found = many(county, tmp_path, "--scheduler", address, *tls(own, "ours"))
    assert found.exit_code == 0, found.output
    asked = ManyWanted(
        read_places(county / "places.csv"), read_template(county / "template.yaml"), "", "place", county
    )
    here = do(asked.job(to_do(asked, KeptAnswers(county))[0]))
    kept = KeptAnswers(tmp_path)
    assert {id: kept.body(id) for id, *_ in here.answers} == {id: body for id, _, body in here.answers}


@pytest.mark.parametrize("whose", ["nobody's", "a stranger's"])
def test_without_its_certificates_nobody_is_let_in(
    cluster: tuple[str, Path], county: Path, tmp_path: Path, whose: str
) -> None:
    """A connection that is not encrypted by both sides' leave is told in a sentence, and nothing is answered."""
    address, _ = cluster
    if whose == "a stranger's":
        write_certificates(tmp_path / "stranger")
    words = tls(tmp_path / "stranger", "ours") if whose == "a stranger's" else []
    found = many(county, tmp_path / "out", "--scheduler", address, *words)
    assert found.exit_code == 2, found.output
    assert "no cluster answers there" in found.output
    assert "Traceback" not in found.output
    assert not list((tmp_path / "out").glob("places/*/*.json"))
