"""The grower's own phone: an authority that can vouch for nothing else, and the rows with no Wi-Fi at all."""

import base64
import hashlib
import socket
import ssl
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import BrowserContext, Page, expect, sync_playwright
from web.desk import Browser, Served, furnished
from web.rows import (
    OWN_NAME,
    RULES,
    PhoneServed,
    Serving,
    a_phone,
    kept,
    killed_while_sending,
    let_in,
    to_tree,
)
from web.test_phone import MARKS, bar, note_full_bloom

from topwire.web.phone import app as phone_app
from topwire.web.phone import authority
from topwire.web.phone.authority import LEAF_LASTS, NoAuthority, Paper, fingerprint, papers
from topwire.web.phone.certificate import FILE, make_certificate_app
from topwire.web.phone.desk_pages import PhoneDoor
from topwire.web.phone.guard import COOKIE, OWN_COOKIE

ADDRESS = "192.168.77.20"


@pytest.fixture(scope="module")
def paper(tmp_path_factory: pytest.TempPathFactory) -> Paper:
    return papers(tmp_path_factory.mktemp("own") / "authority", ADDRESS, OWN_NAME)


@pytest.fixture(scope="module")
def chromium(paper: Paper) -> Iterator[Chromium]:
    """A browser that trusts the pages' certificate, as a phone does that has installed its authority."""
    leaf = x509.load_pem_x509_certificate(paper.chain.read_bytes()).public_key()
    known = leaf.public_bytes(serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo)
    spki = base64.b64encode(hashlib.sha256(known).digest()).decode()
    trusts = f"--ignore-certificate-errors-spki-list={spki}"
    with sync_playwright() as play:
        args = ["--no-sandbox", RULES, trusts]
        found = play.chromium.launch(executable_path="/usr/bin/chromium", args=args)
        yield found
        found.close()


@pytest.fixture(scope="module")
def orchard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return furnished(tmp_path_factory.mktemp("own-phone") / "orchard")


@pytest.fixture
def rows(orchard: Path, paper: Paper) -> Iterator[PhoneServed]:
    (orchard / "records.db").unlink(missing_ok=True)
    (orchard / ".topwire" / "own_phones.json").unlink(missing_ok=True)
    with PhoneServed(orchard, paper=paper) as found:
        yield found


@pytest.fixture
def phone(chromium: Chromium) -> Iterator[BrowserContext]:
    with a_phone(chromium) as found:
        yield found


def on_the_phone(page: Page) -> None:
    """Waits until the application is kept on the phone."""
    expect(page.locator("main")).to_contain_text("the page starts there too")


def test_with_the_desk_gone_it_starts_again_and_a_note_is_sent_once(
    rows: PhoneServed, phone: BrowserContext
) -> None:
    page = let_in(phone, rows, "Ana")
    assert page.evaluate("isSecureContext")
    on_the_phone(page)
    (cookie,) = phone.cookies()
    assert (cookie["name"], cookie["secure"], cookie["httpOnly"]) == (OWN_COOKIE, True, True)
    rows.__exit__()
    page.reload()
    to_tree(page)
    note_full_bloom(page)
    bar(page, "1 note not yet sent")
    page.close(run_before_unload=False)
    page = phone.new_page()
    page.goto(rows.address)
    bar(page, "1 note not yet sent")
    bar(page, "out of reach")
    to_tree(page)
    note_full_bloom(page)
    page.reload()
    with rows.anew() as back:
        page.evaluate("keeper.send()")
        bar(page, "All notes sent")
        assert [one.who for one in kept(back.folder)] == ["Ana", "Ana"]


def test_reloaded_without_signal(rows: PhoneServed, phone: BrowserContext) -> None:
    page = let_in(phone, rows, "Ben")
    on_the_phone(page)
    phone.set_offline(True)
    for _ in range(2):
        page.reload()
        page.get_by_role("button", name="Find a tree").wait_for()
    to_tree(page)
    note_full_bloom(page)
    bar(page, "1 note not yet sent")
    phone.set_offline(False)
    bar(page, "All notes sent")
    assert len(kept(rows.folder)) == 1


def test_killed_during_a_send(rows: PhoneServed, phone: BrowserContext, paper: Paper) -> None:
    page = let_in(phone, rows, "Di")
    on_the_phone(page)
    rows.__exit__()
    page.evaluate(MARKS, 30)
    bar(page, "30 notes not yet sent")
    killed_while_sending(page, rows.folder, rows.port, str(paper.chain.parent), ADDRESS)
    assert 0 < len(kept(rows.folder)) < 30
    page.reload()  # and the phone's own page is thrown away meanwhile
    bar(page, "30 notes not yet sent")
    with rows.anew():
        page.evaluate("keeper.send()")
        bar(page, "All notes sent")
    marks = [getattr(one, "what", "") for one in kept(rows.folder)]
    assert sorted(marks) == sorted(f"mark {number}" for number in range(30))


def test_two_own_phones_at_once(rows: PhoneServed, chromium: Chromium) -> None:
    with a_phone(chromium) as first, a_phone(chromium) as second:
        pages = [let_in(first, rows, "Ana"), let_in(second, rows, "Ben")]
        first.set_offline(True)
        for page in pages:
            page.evaluate(MARKS, 12)
        bar(pages[0], "12 notes not yet sent")
        first.set_offline(False)
        for page in pages:
            page.evaluate("keeper.send()")
            bar(page, "All notes sent")
    whose = [one.who for one in kept(rows.folder)]
    assert (whose.count("Ana"), whose.count("Ben")) == (12, 12)


def test_another_application_at_the_desk_is_taken_over(
    rows: PhoneServed, phone: BrowserContext, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = let_in(phone, rows, "Fay")
    on_the_phone(page)
    rows.__exit__()
    monkeypatch.setattr(phone_app, "__version__", "99.0")
    with rows.anew():
        page.reload()
        expect(page.locator("html")).to_have_attribute("data-version", "99.0")
        on_the_phone(page)
        phone.set_offline(True)
        page.reload()
        page.get_by_role("button", name="Find a tree").wait_for()
        assert page.evaluate("document.documentElement.dataset.version") == "99.0"
        assert len(page.evaluate("caches.keys()")) == 1


def test_the_application_can_be_put_among_the_phones_own(rows: PhoneServed, phone: BrowserContext) -> None:
    page = let_in(phone, rows, "Gil")
    told = page.evaluate("fetch('/app.webmanifest').then(answer => answer.json())")
    assert told["display"] == "standalone"
    assert {icon["sizes"] for icon in told["icons"]} == {"192x192", "512x512"}
    for icon in told["icons"]:
        size = page.evaluate(
            "async at => (await createImageBitmap(await (await fetch(at)).blob())).width",
            icon["src"],
        )
        assert f"{size}x{size}" == icon["sizes"]
    asked = phone.new_cdp_session(page)
    errors = asked.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [one["errorId"] for one in errors if one["errorId"] != "in-incognito"] == []


def test_a_crews_key_is_none_here_and_there_is_no_other_page(rows: PhoneServed, paper: Paper) -> None:
    reach = {getattr(route, "path", "") for route in rows.app.routes}
    own = {"/worker.js", "/app.webmanifest"}
    assert reach == {"/", "/static", "/join", "/joined", "/day.json", "/notes", "/leave"} | own
    trusts = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    trusts.load_verify_locations(cadata=paper.authority)
    trusts.check_hostname = False  # reached as 127.0.0.1 here
    at = {"host": rows.host, "origin": f"https://{rows.host}"}
    with httpx.Client(
        base_url=f"https://127.0.0.1:{rows.port}", verify=trusts, headers=at, trust_env=False
    ) as asked:
        joined = asked.post("/join", json={"code": rows.phones.new_code()})
        said = joined.headers["set-cookie"]
        assert said.startswith(f"{OWN_COOKIE}=")
        assert "; Secure" in said
        asked.cookies.clear()
        assert rows.phones.admit(joined.json()["digits"], "Ana")
        key = said.partition(";")[0].partition("=")[2]
        assert asked.get("/day.json", headers={"cookie": f"{OWN_COOKIE}={key}"}).status_code == 200
        assert asked.get("/day.json", headers={"cookie": f"{COOKIE}={key}"}).status_code == 401
        for path in ("/", "/worker.js", "/app.webmanifest"):  # what a stranger gets
            assert "orchard" not in asked.get(path).text.lower()


def test_nobody_else_on_this_machine_reads_the_authoritys_key(paper: Paper) -> None:
    folder = paper.chain.parent
    assert folder.stat().st_mode & 0o077 == 0
    for path in folder.iterdir():
        assert path.stat().st_mode & 0o077 == 0, path
    assert b"PRIVATE" not in paper.authority


def greeted(paper: Paper, chain: Path, key: Path, host: str) -> str:
    """What a client that trusts this authority alone says to a server: empty where it is content (OpenSSL)."""
    here = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    here.load_cert_chain(chain, key)
    there = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    there.load_verify_locations(cadata=paper.authority)
    near, far = socket.socketpair()
    near.settimeout(10), far.settimeout(10)

    def serve() -> None:
        try:
            here.wrap_socket(near, server_side=True).close()
        except OSError:
            near.close()

    thread = threading.Thread(target=serve)
    thread.start()
    try:
        there.wrap_socket(far, server_hostname=host).close()
        return ""
    except ssl.SSLCertVerificationError as refused:
        return refused.verify_message
    finally:
        far.close()
        thread.join()


def test_the_authority_vouches_for_its_own_network_and_nothing_else(paper: Paper, tmp_path: Path) -> None:
    """RFC 5280, 4.2.1.10, as OpenSSL reads it: a leaf for the wide world, signed with the very key, is refused."""
    assert greeted(paper, paper.chain, paper.key, OWN_NAME) == ""
    assert greeted(paper, paper.chain, paper.key, ADDRESS) == ""
    assert "mismatch" in greeted(paper, paper.chain, paper.key, "other.local")
    signed, key = authority._read(paper.chain.parent, "authority.crt", "authority.key")
    now = datetime.now(UTC)
    for address, name in ((ADDRESS, "bank.example"), ("8.8.8.8", OWN_NAME), (ADDRESS, "other.local")):
        authority._make_leaf(tmp_path, signed, key, address, name, now)
        said = greeted(paper, tmp_path / "pages.crt", tmp_path / "pages.key", name)
        assert "permitted subtree violation" in said, (address, name)
    found = x509.load_der_x509_certificate(paper.authority)
    assert fingerprint(found) == paper.fingerprint
    assert hashlib.sha256(paper.authority).hexdigest().upper() == paper.fingerprint.replace(":", "")


def test_the_pages_certificate_is_renewed_without_the_phone(tmp_path: Path) -> None:
    first = papers(tmp_path / "a", ADDRESS, OWN_NAME)
    leaf = first.chain.read_bytes()
    assert papers(tmp_path / "a", ADDRESS, OWN_NAME).chain.read_bytes() == leaf
    later = datetime.now(UTC) + LEAF_LASTS / 2
    renewed = papers(tmp_path / "a", ADDRESS, OWN_NAME, now=later)
    assert renewed.chain.read_bytes() != leaf
    assert renewed.authority == first.authority
    moved = papers(
        tmp_path / "a", "192.168.77.21", OWN_NAME
    )  # another address in the network: nothing to install
    assert moved.authority == first.authority
    assert papers(tmp_path / "a", ADDRESS, OWN_NAME, anew=True).authority != first.authority
    made = x509.load_pem_x509_certificate(renewed.chain.read_bytes())
    assert made.not_valid_after_utc - made.not_valid_before_utc < timedelta(
        days=398
    )  # no phone takes longer ones


def test_what_cannot_be_vouched_for_is_told(tmp_path: Path) -> None:
    for address, name in (
        ("8.8.8.8", OWN_NAME),
        (ADDRESS, "farm.com"),
        (ADDRESS, "a b.local"),
        (ADDRESS, ".local"),
    ):
        with pytest.raises(NoAuthority):
            papers(tmp_path / "none", address, name)
    papers(tmp_path / "a", ADDRESS, OWN_NAME)
    with pytest.raises(NoAuthority, match=r"for farm.local, not for barn.local"):
        papers(tmp_path / "a", ADDRESS, "barn.local")
    with pytest.raises(NoAuthority, match="was good until"):
        papers(tmp_path / "a", ADDRESS, OWN_NAME, now=datetime.now(UTC) + timedelta(days=3000))
    (tmp_path / "a" / "authority.key").write_bytes(b"torn")
    with pytest.raises(NoAuthority, match="cannot be read"):
        papers(tmp_path / "a", ADDRESS, OWN_NAME)


def test_the_certificate_is_given_with_its_steps_and_no_secret(paper: Paper) -> None:
    app = make_certificate_app(paper, ADDRESS, OWN_NAME)
    with (
        Serving(lambda port: app) as served,
        httpx.Client(base_url=f"http://127.0.0.1:{served.port}", trust_env=False) as asked,
    ):
        asked.headers["host"] = f"{ADDRESS}:8762"
        page = asked.get("/")
        assert paper.fingerprint.replace(":", " ") in page.text
        assert "remove it" in page.text
        assert "unsafe" not in page.headers["content-security-policy"]
        given = asked.get(FILE)
        assert given.content == paper.authority
        assert given.headers["content-type"] == "application/x-x509-ca-cert"
        assert asked.get("/", headers={"host": "evil.example"}).status_code == 400
        assert asked.get("/day.json").status_code == 404


def test_the_desk_shows_the_certificate_and_lets_the_phone_in(rows: PhoneServed, paper: Paper) -> None:
    door = PhoneDoor(rows.address, rows.phones, paper, f"http://{ADDRESS}:8762/")
    with Served(rows.folder, phones=[door]) as served, Browser(served) as desk:
        page = desk.get("/phones").text
        assert paper.fingerprint.replace(":", " ") in page
        assert "Plain http" not in page
        assert desk.get("/phones/own/topwire-certificate.crt").content == paper.authority
        assert "<svg" in desk.get("/phones/own/certificate.svg").text
        assert desk.get("/phones/crew/code.svg").status_code == 409
        desk.fill("/phones/code", {"way": "own"})
        waiting = rows.phones.join(rows.phones.code())
        assert waiting is not None
        said = desk.fill("/phones/admit", {"way": "own", "digits": waiting.digits, "who": "Ana"}).text
        assert "Ana, until" in said
        assert rows.phones.all()[0].ends - datetime.now().astimezone() > timedelta(days=170)
        phone = rows.phones.find(waiting.key)
        assert phone is not None
        assert "Ana, until" not in desk.fill("/phones/forget", {"way": "own", "phone": phone.name}).text
    with httpx.Client(trust_env=False) as asked, pytest.raises(httpx.HTTPError):
        asked.get(f"http://127.0.0.1:{rows.port}/")  # plain http is not spoken here
