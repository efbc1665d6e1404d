"""What docs/threats.md lists, each with its test: see the list there for what each one keeps off."""

import re
from pathlib import Path

import pytest
from web.desk import Browser, browsing

from topwire.web.guard import LARGEST_BODY
from topwire.web.session import hashed


def posts(browser: Browser) -> list[str]:
    return [
        route.path for route in browser.served.app.routes if "POST" in (getattr(route, "methods", None) or ())
    ]  # type: ignore[attr-defined]


def test_another_name_for_this_machine_reaches_nothing(browser: Browser) -> None:
    for host in ("evil.example", "127.0.0.1.evil.example:8730", "localhost:9999", "127.0.0.1"):
        assert browser.get("/", headers={"host": host}).status_code == 421


def test_every_form_wants_its_token_and_our_origin(browser: Browser) -> None:
    token = browser.token()
    assert len(posts(browser)) >= 4
    for path in posts(browser):
        own = browser.own
        assert browser.post(path, data={}, headers=own).status_code == 409, path
        assert browser.post(path, data={"token": "0" * 64}, headers=own).status_code == 409, path
        for origin in ("http://evil.example", "null", "", browser.own["origin"] + ".evil.example"):
            answer = browser.post(path, data={"token": token}, headers={"origin": origin})
            assert answer.status_code == 403, (path, origin)
        crossed = {**own, "sec-fetch-site": "cross-site"}
        assert browser.post(path, data={"token": token}, headers=crossed).status_code == 403


def test_a_token_of_another_browser_is_worth_nothing(browser: Browser) -> None:
    token = browser.token()
    browser.cookies.clear()
    answer = browser.post("/look", data={"token": token}, headers=browser.own)
    assert answer.status_code == 409


def test_pages_say_what_may_run_in_them(browser: Browser) -> None:
    for path in ("/", "/trellis", "/nosuch", "/static/style.css", "/picture/crop.svg"):
        answer = browser.get(path)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["x-frame-options"] == "DENY"


def test_no_script_and_no_style_stands_in_a_page(browser: Browser) -> None:
    for path in ("/", "/choice", "/ground", "/run", "/sources"):
        text = browser.get(path).text
        assert "<style" not in text
        assert " style=" not in text
        assert all("src=" in part.split(">")[0] for part in text.split("<script")[1:])
        assert " onclick" not in text


def test_a_body_larger_than_a_form_is_refused(browser: Browser) -> None:
    token = browser.token()
    own = browser.own
    large = {"token": token, "more": "x" * (LARGEST_BODY + 1)}
    assert browser.post("/look", data=large, headers=own).status_code == 413


def test_no_path_leads_out(browser: Browser) -> None:
    for path in (
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2f..%2fapp.py",
        "/sheet/..%2f..%2fplan.yaml",
        "/picture/..%2f..%2fetc%2fpasswd.svg",
    ):
        assert browser.get(path).status_code in (404, 405), path


def test_other_methods_are_refused(browser: Browser) -> None:
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"):
        assert browser.request(method, "/", headers=browser.own).status_code == 405


@pytest.fixture(scope="module")
def kept() -> str:
    return hashed("five apples in a crate")


def test_behind_a_passphrase_nothing_is_seen_before(folder: Path, kept: str) -> None:
    with browsing(folder, passphrase_hash=kept) as browser:
        for path in (
            "/",
            "/trellis",
            "/sheet/trellis.bill.csv",
            "/picture/crop.svg",
            "/run/state",
            "/map.json",
        ):
            assert browser.get(path, follow_redirects=False).headers.get("location") == "/enter", path
        token = browser.token("/enter")
        own = browser.own
        assert browser.post("/run/plan", data={"token": token}, headers=own).status_code == 403
        wrong = browser.post("/enter", data={"token": token, "passphrase": "five pears"}, headers=own)
        assert wrong.status_code == 403
        before = browser.cookies["topwire"]
        right = {"token": token, "passphrase": "five apples in a crate"}
        assert browser.post("/enter", data=right, headers=own).status_code == 200
        assert browser.cookies["topwire"] != before
        assert "Trellis" in browser.get("/trellis").text
        browser.fill("/leave")
        assert browser.get("/trellis", follow_redirects=False).status_code == 303


def test_passphrases_are_tried_slowly(folder: Path, kept: str) -> None:
    with browsing(folder, passphrase_hash=kept) as browser:
        token = browser.token("/enter")
        said = {"token": token, "passphrase": "a guess"}
        codes = [browser.post("/enter", data=said, headers=browser.own).status_code for _ in range(7)]
        assert codes == [403] * 5 + [429] * 2


def test_a_short_passphrase_is_none() -> None:
    with pytest.raises(ValueError, match="at least"):
        hashed("apple")


def test_every_threat_names_a_test_that_is_there() -> None:
    root = Path(__file__).parents[2]
    text = (root / "docs/threats.md").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.startswith("| ") and "what somebody" not in line]
    assert len(lines) > 10
    for line in lines:
        named = re.findall(r"`((?:tests/[\w/]+/)?test_\w+\.py)?::(test_\w+)`", line)
        assert named, line
        file = ""
        for path, name in named:
            file = path or file
            where = root / (file if file.startswith("tests/") else f"tests/web/{file}")
            assert f"def {name}(" in where.read_text(encoding="utf-8"), (file, name)
