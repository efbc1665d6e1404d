"""A phone in the rows: let in by a code and four digits, notes kept once whatever fails, rights that end at evening."""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from html import escape
from pathlib import Path
from typing import NamedTuple

import httpx
import pytest
from faces import invented
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import BrowserContext, Page, Route, expect, sync_playwright
from web.desk import Browser, Served, furnished
from web.rows import RULES, PhoneServed, a_phone, kept, killed_while_sending, let_in, to_tree

from topwire.ledger.findings import Job, JobKind, WorkText
from topwire.phenology.stages import SeasonStage
from topwire.records.entries import EntryKind, FruitPicked, How, SeenStage, StageSeen, WorkDone
from topwire.records.store import open_store
from topwire.season.findings import CultivarWeek, JobState, JobWeek, PickWeek
from topwire.season.picking import CRATE
from topwire.tell.reader import Reader
from topwire.values.estimate import Estimate
from topwire.values.units import UnitSystem
from topwire.web.phone.address import unfit
from topwire.web.phone.day import Days, _jobs
from topwire.web.phone.desk_pages import PhoneDoor
from topwire.web.phone.guard import COOKIE, LARGEST
from topwire.web.phone.pairing import CODE_LASTS, MOST_TRIES, Phones, evening_after


@pytest.fixture(scope="module")
def chromium() -> Iterator[Chromium]:
    with sync_playwright() as play:
        found = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox", RULES])
        yield found
        found.close()


@pytest.fixture(scope="module")
def orchard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return furnished(tmp_path_factory.mktemp("phone") / "orchard")


@pytest.fixture
def rows(orchard: Path) -> Iterator[PhoneServed]:
    (orchard / "records.db").unlink(missing_ok=True)
    (orchard / ".topwire" / "phones.json").unlink(missing_ok=True)
    with PhoneServed(orchard) as found:
        yield found


@pytest.fixture
def phone(chromium: Chromium) -> Iterator[BrowserContext]:
    with a_phone(chromium) as found:
        yield found


def bar(page: Page, says: str) -> None:
    expect(page.locator("#bar")).to_contain_text(says)


def note_full_bloom(page: Page) -> None:
    page.wait_for_timeout(750)  # a second press within 0.7 s is a glove's bounce
    page.get_by_role("button", name="full bloom").tap()
    expect(page.locator("#undo")).to_contain_text("full bloom")


def test_a_phone_is_let_in_and_a_note_is_kept(rows: PhoneServed, phone: BrowserContext) -> None:
    page = let_in(phone, rows, "Ana")
    assert not page.evaluate("isSecureContext")
    assert not page.evaluate("'randomUUID' in crypto")
    tree = to_tree(page)
    note_full_bloom(page)
    bar(page, "All notes sent")
    (entry,) = kept(rows.folder)
    assert isinstance(entry, StageSeen)
    assert (entry.where, entry.how, entry.who) == (tree, How.PHONE, "Ana")
    assert str(entry.stage) == "full bloom"
    assert entry.cultivar
    assert abs(entry.noted - datetime.now().astimezone()) < timedelta(minutes=1)
    # a figure by big steps, then taken back
    page.get_by_role("button", name="More to note").tap()
    page.get_by_role("button", name="clusters, counted").tap()
    for step in ("+50", "+10", "−1"):
        page.get_by_role("button", name=step, exact=True).tap()
    page.wait_for_timeout(750)
    page.get_by_role("button", name="Keep").tap()
    expect(page.locator("#undo")).to_contain_text("clusters, counted, 59")
    bar(page, "All notes sent")
    assert [getattr(one, "count", None) for one in kept(rows.folder)] == [None, 59]
    page.locator("#undo button").tap()
    bar(page, "All notes sent")
    page.wait_for_timeout(300)
    assert [one.KIND for one in kept(rows.folder)] == [EntryKind.STAGE]


def test_the_desk_away_and_back_loses_nothing_and_doubles_nothing(
    rows: PhoneServed, phone: BrowserContext
) -> None:
    page = let_in(phone, rows, "Ben")
    to_tree(page)
    rows.__exit__()
    for _ in range(3):
        note_full_bloom(page)
    bar(page, "3 notes not yet sent")
    bar(page, "out of reach")
    page.locator("#undo button").tap()  # has been on its way once: the desk could have it
    bar(page, "4 notes not yet sent")
    page.close(run_before_unload=False)
    # Out of reach the page opens from the phone's own store by its address, with its notes. (Chromium; a reload fails.)
    page = phone.new_page()
    page.goto(rows.address)
    bar(page, "4 notes not yet sent")
    with rows.anew() as back:  # started anew the same day: it still knows the phone
        page.evaluate("keeper.send()")
        bar(page, "All notes sent")
        assert len(kept(back.folder)) == 2
        with open_store(back.folder) as store:
            assert len(store.history()) == 4


def test_an_answer_that_is_lost_doubles_nothing(rows: PhoneServed, phone: BrowserContext) -> None:
    page = let_in(phone, rows, "Cy")
    to_tree(page)

    def swallow(route: Route) -> None:
        with Bare(rows) as same:
            same.headers["cookie"] = f"{COOKIE}={phone.cookies()[0]['value']}"
            assert same.post("/notes", json=route.request.post_data_json).json()["kept"]
        route.abort()  # the desk has kept it; the phone never hears so

    page.route("**/notes", swallow)
    note_full_bloom(page)
    bar(page, "out of reach")
    bar(page, "1 note not yet sent")
    assert len(kept(rows.folder)) == 1
    page.unroute("**/notes")
    page.evaluate("keeper.send()")
    bar(page, "All notes sent")
    assert len(kept(rows.folder)) == 1


MARKS = """async count => {
    for (let n = 0; n < count; n++) await keeper.keep({ kind: "pest", what: `mark ${n}` }, "mark");
}"""


def test_the_server_killed_during_a_send(rows: PhoneServed, phone: BrowserContext) -> None:
    page = let_in(phone, rows, "Di")
    rows.__exit__()
    page.evaluate(MARKS, 30)
    bar(page, "30 notes not yet sent")
    killed_while_sending(page, rows.folder, rows.port)
    some = len(kept(rows.folder))
    assert 0 < some < 30
    bar(page, "30 notes not yet sent")
    with rows.anew():
        page.evaluate("keeper.send()")
        bar(page, "All notes sent")
    marks = [getattr(one, "what", "") for one in kept(rows.folder)]
    assert sorted(marks) == sorted(f"mark {number}" for number in range(30))


def test_two_phones_at_once(rows: PhoneServed, chromium: Chromium) -> None:
    with a_phone(chromium) as first, a_phone(chromium) as second:
        pages = [let_in(first, rows, "Ana"), let_in(second, rows, "Ana")]
        for page in pages:
            page.evaluate(MARKS, 12)
        for page in pages:
            bar(page, "All notes sent")
    whose = [one.who for one in kept(rows.folder)]
    assert (whose.count("Ana"), whose.count("Ana 2")) == (12, 12)


def test_past_its_evening_a_phone_is_out_and_keeps_its_notes(orchard: Path, phone: BrowserContext) -> None:
    now = [datetime.now().astimezone()]
    with PhoneServed(orchard, Phones(orchard, now=lambda: now[0])) as served:
        page = let_in(phone, served, "Eve")
        before = len(kept(orchard))
        to_tree(page)
        now[0] = evening_after(now[0]) + timedelta(seconds=1)
        note_full_bloom(page)
        bar(page, "1 note not yet sent")
        bar(page, "not let in")
        assert len(kept(orchard)) == before
        page.goto(f"{served.address}#{served.phones.new_code()}")  # the next day, a new code
        page.locator(".digits").wait_for()
        assert served.phones.admit(page.locator(".digits").inner_text(), "Eve")
        bar(page, "All notes sent")
        assert len(kept(orchard)) == before + 1


class Bare(httpx.Client):
    """Asks as the phone's page does, without a browser."""

    def __init__(self, served: PhoneServed) -> None:
        self.own = {"host": served.host, "origin": f"http://{served.host}"}
        super().__init__(
            base_url=f"http://127.0.0.1:{served.port}", headers=self.own, trust_env=False, timeout=20
        )
        self.served = served

    def entered(self, who: str = "Ana") -> "Bare":
        """The same, let in."""
        answer = self.post("/join", json={"code": self.served.phones.new_code()})
        self.headers["cookie"] = answer.headers["set-cookie"].partition(";")[0]
        assert self.get("/day.json").status_code == 401  # the digits have not been said
        assert self.served.phones.admit(answer.json()["digits"], who)
        return self

    def note(self, **more: object) -> dict[str, object]:
        identity = f"00000000-0000-4000-8000-{self.served.port:06d}{len(json.dumps(more, default=str)):06d}"
        now = datetime.now().astimezone()
        return {
            "identity": identity,
            "day": now.date().isoformat(),
            "noted": now.isoformat(),
            "kind": "pest",
            "what": "scab",
            **more,
        }


def test_a_phone_reaches_rows_and_notes_and_nothing_else(rows: PhoneServed, orchard: Path) -> None:
    reach = {getattr(route, "path", "") for route in rows.app.routes}
    assert reach == {"/", "/static", "/join", "/joined", "/day.json", "/notes", "/leave"}
    with Bare(rows) as phone:
        phone.entered()
        found = phone.get("/day.json").json()
        assert found["rows"]
        for word in ("price", "money", "passphrase", "plan.yaml"):
            assert word not in json.dumps({**found, "jobs": []})
        for path in (
            "/plan",
            "/settings",
            "/trials",
            "/sheet/trellis.bill",
            "/run/plan",
            "/phones",
            "/map.json",
        ):
            assert phone.get(path).status_code == 404, path
            assert phone.post(path, json={}).status_code in (404, 405), path
        # nor does its cookie open the desk
        with Served(orchard) as desk, Browser(desk) as browser:
            browser.cookies.set(COOKIE, phone.headers["cookie"].partition("=")[2])
            assert browser.post("/plan", data={}, headers=browser.own).status_code in (404, 405, 409)


def test_without_the_digits_nothing_is_seen(rows: PhoneServed) -> None:
    with Bare(rows) as stranger:
        for path in ("/day.json", "/notes", "/plan"):
            assert stranger.get(path).status_code == 401, path
        assert stranger.post("/notes", json=[stranger.note()]).status_code == 401
        page = stranger.get("/").text
        assert "Wealthy" not in page
        assert "orchard" not in page.lower()
        assert kept(rows.folder) == ()


def test_a_code_is_good_once_and_for_minutes(tmp_path: Path) -> None:
    now = [datetime.now().astimezone()]
    phones = Phones(tmp_path, now=lambda: now[0])
    code = phones.new_code()
    assert phones.join("x" * len(code)) is None
    assert phones.join(code) is not None
    assert phones.join(code) is None
    code = phones.new_code()
    now[0] += CODE_LASTS
    assert phones.join(code) is None
    assert phones.waiting() == 0


def test_digits_are_tried_five_times(tmp_path: Path) -> None:
    phones = Phones(tmp_path)
    waiting = phones.join(phones.new_code())
    assert waiting is not None
    wrong = next(said for said in ("0000", "1111") if said != waiting.digits)
    for _ in range(MOST_TRIES):
        assert not phones.admit(wrong, "x")
    assert not phones.admit(waiting.digits, "x")
    assert phones.find(waiting.key) is None


def test_codes_are_tried_slowly(rows: PhoneServed) -> None:
    with Bare(rows) as stranger:
        codes = [stranger.post("/join", json={"code": "guess"}).status_code for _ in range(8)]
        assert codes == [403] * 6 + [429] * 2


def test_no_key_of_a_phone_lies_on_the_disk(tmp_path: Path) -> None:
    phones = Phones(tmp_path)
    waiting = phones.join(phones.new_code())
    assert waiting is not None
    assert phones.admit(waiting.digits, "Ana\n\x07")
    path = tmp_path / ".topwire" / "phones.json"
    assert waiting.key not in path.read_text(encoding="utf-8")
    assert path.stat().st_mode & 0o077 == 0
    again = Phones(tmp_path)
    found = again.find(waiting.key)
    assert found is not None
    assert found.who == "Ana"
    again.forget(found.name)
    assert Phones(tmp_path).find(waiting.key) is None


def test_only_the_phones_own_page_sends_notes(rows: PhoneServed) -> None:
    with Bare(rows) as phone:
        phone.entered()
        note = [phone.note()]
        for changed in ({"origin": "http://evil.example"}, {"origin": "null"}, {"host": "evil.example"}):
            assert phone.post("/notes", json=note, headers=changed).status_code in (403, 421), changed
        assert phone.post("/notes", data={"a": "1"}).status_code == 415  # all a foreign form can send
        crossed = {"sec-fetch-site": "cross-site"}
        assert phone.post("/notes", json=note, headers=crossed).status_code == 403
        large = [phone.note(remark="x" * LARGEST)]
        assert phone.post("/notes", json=large).status_code == 413
        for method in ("PUT", "DELETE", "OPTIONS"):
            assert phone.request(method, "/notes").status_code == 405
        for odd in ('{"a": 1}', "[[[", "[1, null, {}]"):
            answer = phone.post("/notes", content=odd, headers={"content-type": "application/json"})
            assert answer.status_code in (200, 400), odd
        assert kept(rows.folder) == ()


def test_a_phone_adds_and_takes_back_its_own_and_no_more(rows: PhoneServed) -> None:
    with open_store(rows.folder) as store:
        desk = StageSeen(day=datetime.now().date(), stage=SeenStage.FULL_BLOOM)
        store.append([desk])
    with Bare(rows) as ana, Bare(rows) as ben:
        ana.entered("Ana"), ben.entered("Ben")
        fine = ana.note()
        sent = [
            fine,
            ana.note(kind="sale", what="fruit", money=1.0),
            ana.note(kind="undo", corrects=desk.identity),
            ana.note(kind="stage", stage="pink", corrects=desk.identity),
            ana.note(kind="pick", mass=18.0, cultivar="No Such Apple"),
            ana.note(kind="pest", what="scab", share=7.0),
        ]
        for number, one in enumerate(sent):
            if one.get("kind") == "undo":
                one.pop("what")
            if one.get("kind") in ("stage", "pick"):
                one.pop("what")
            one["identity"] = f"00000000-0000-4000-8000-{number:012d}"
        said = ana.post("/notes", json=sent).json()
        assert said["kept"] == [fine["identity"]]
        assert set(said["refused"]) == {one["identity"] for one in sent[1:]}
        back = ben.note(kind="undo", corrects=fine["identity"])
        back.pop("what")
        assert ben.post("/notes", json=[back]).json()["kept"] == []
        assert len(kept(rows.folder)) == 2
        assert ana.post("/notes", json=[{**back, "how": "desk", "who": "Ben"}]).json()["kept"]
        assert [one.identity for one in kept(rows.folder)] == [desk.identity]


def test_a_forged_note_is_refused_and_holds_up_no_other(rows: PhoneServed) -> None:
    odd = (
        {"noted": "0001-01-01T00:00:00+14:00"}, {"what": "\ud800"}, {"identity": "\ud800"}, {"identity": 7},
        {"row": 10**30, "block": "A"}, {"share": float("nan")}, {"day": "9999-12-31"}, {"day": {}}, {"kind": []},
        {"what": "x" * 20_000}, {"block": ["A"]}, {"kind": "undo", "corrects": "\ud800"}, {"nonsense": 1},
        {"day": "0001-05-12"},
    )  # fmt: skip
    with Bare(rows) as phone:
        phone.entered()
        sent = [
            {**phone.note(), "identity": f"00000000-0000-4000-9000-{number:012d}", **more}
            for number, more in enumerate(({}, *odd, {}))
        ]
        answer = phone.post("/notes", content=json.dumps(sent), headers={"content-type": "application/json"})
        assert answer.status_code == 200, answer.text
        assert answer.json()["kept"] == [sent[0]["identity"], sent[-1]["identity"]]
        bad = {"content": '{"code": "\\ud800"}', "headers": {"content-type": "application/json"}}
        assert phone.post("/join", **bad).status_code == 403


def test_what_a_note_holds_cannot_run(rows: PhoneServed, phone: BrowserContext) -> None:
    page = let_in(phone, rows, "<img src=x onerror=alert(1)>")
    page.on("dialog", lambda _: pytest.fail("something ran"))
    expect(page.locator("main")).to_contain_text("<img src=x")
    assert page.locator("main img").count() == 0
    policy = httpx.get(
        f"http://127.0.0.1:{rows.port}/", headers={"host": rows.host}, trust_env=False
    ).headers["content-security-policy"]
    assert "unsafe" not in policy


def test_phones_are_served_on_a_private_address_only() -> None:
    for address in ("0.0.0.0", "8.8.8.8", "farm.lan", "my-orchard", "169.254.3.4", "224.0.0.1", "::"):
        assert unfit(address), address
    for address in ("192.168.1.20", "10.0.0.7", "172.16.4.4"):
        assert not unfit(address), address


def test_the_desk_shows_a_code_and_lets_a_phone_in(rows: PhoneServed) -> None:
    door = PhoneDoor(rows.address, rows.phones)
    with Served(rows.folder, phones=[door]) as served, Browser(served) as desk, Bare(rows) as phone:
        assert desk.get("/phones/crew/code.svg").status_code == 404
        assert "Let a phone read this" in desk.fill("/phones/code", {"way": "crew"}).text
        assert "<svg" in desk.get("/phones/crew/code.svg").text
        before = desk.get("/phones/state").headers["x-state"]
        answer = phone.post("/join", json={"code": rows.phones.code()})
        digits = answer.json()["digits"]
        assert desk.get("/phones/state").headers["x-state"] != before
        assert desk.fill("/phones/admit", {"way": "crew", "digits": "12345", "who": "Ana"}).status_code == 403
        spaced = f"{digits[:2]} {digits[2:]}"
        assert (
            "Ana, until" in desk.fill("/phones/admit", {"way": "crew", "digits": spaced, "who": "Ana"}).text
        )
        phone.headers["cookie"] = answer.headers["set-cookie"].partition(";")[0]
        assert phone.get("/day.json").status_code == 200
        gone = {"way": "crew", "phone": rows.phones.all()[0].name}
        assert "Ana, until" not in desk.fill("/phones/forget", gone).text
        assert phone.get("/day.json").status_code == 401


def test_the_rows_as_one_file_run_nothing_and_ask_nothing_of_a_network(browser: Browser) -> None:
    answer = browser.get("/phones/rows.html")
    assert answer.headers["content-disposition"].startswith("attachment")
    orchard = invented.orchard()
    assert orchard.layout is not None
    for run in orchard.layout.runs:
        assert f"<h2>{escape(run.block)} {run.row}</h2>" in answer.text
        assert escape(run.cultivar) in answer.text
    for word in ("<script", "http:", "https:", "src=", "url("):
        assert word not in answer.text


class WeekWithWork(NamedTuple):
    """As much of a week as a phone reads."""

    stages: tuple[CultivarWeek, ...]
    jobs: tuple[JobWeek, ...]
    picks: tuple[PickWeek, ...]
    works: tuple[WorkText, ...]


def tell_week(cultivar: str, rows: tuple[str, ...]) -> WeekWithWork:
    thin = Job(
        key="thin-2031", kind=JobKind.TABLE, work="thin", cultivar=cultivar, leaf=4, start="2031-06-01",
        end="2031-06-14", latest="2031-06-20", stage="petal_fall", days_after=20, after=(), slipped=0, hours=12.0,
        people=2, by_row=True,
    )  # fmt: skip
    work = WorkText("thin", "thin by hand", "one fruit a cluster", "Ladder on firm ground.", "ladder")
    days, mass = Estimate(250.0, 255.0, 260.0), Estimate(80.0, 100.0, 120.0)
    return WeekWithWork(
        stages=(CultivarWeek(cultivar, 9, SeasonStage.RIPE, False, None, None, None),),
        jobs=(JobWeek(thin, JobState.NOW, "2031-06-01", "2031-06-14", 0.0, 12.0, rows, ()),),
        picks=(PickWeek(cultivar, days, days, mass, 90.0, 60.0, rows, 4, 2.0),),
        works=(work,),
    )


def test_a_row_in_which_a_harvest_has_begun_has_no_tick_on_the_phone() -> None:
    week = tell_week("Gala", ("South 8, 1 to 80",))
    (thin,) = week.jobs
    row, pick = ("South 8",), replace(thin.job, kind=JobKind.PICK)
    told = [replace(thin, part_done=row), replace(thin, job=pick, part_done=row)]
    told.append(replace(told[-1], state=JobState.DONE))
    found = _jobs(week._replace(jobs=tuple(told)), Reader(UnitSystem.METRIC))  # type: ignore[arg-type]
    assert [line["done_rows"] for line in found] == [["South 8"], [], ["South 8"]]


def test_a_job_is_ticked_row_by_row_and_a_pick_noted(
    rows: PhoneServed, phone: BrowserContext, monkeypatch: pytest.MonkeyPatch
) -> None:
    orchard = invented.orchard()
    assert orchard.layout is not None
    run = orchard.layout.runs[0]
    row = f"{run.block} {run.row}"
    found = tell_week(run.cultivar, (f"{row}, trees 1 to 3",))
    monkeypatch.setattr(Days, "_week", lambda self, day: (found, ""))
    page = let_in(phone, rows, "Ana")
    page.get_by_role("button", name="Jobs").tap()
    page.get_by_role("button", name="thin by hand").tap()
    expect(page.locator("main")).to_contain_text("Ladder on firm ground.")
    page.get_by_role("button", name=row, exact=True).tap()
    expect(page.get_by_role("button", name=f"✓ {row}")).to_have_attribute("aria-pressed", "true")
    page.wait_for_timeout(750)
    page.get_by_role("button", name="Home").tap()
    page.get_by_role("button", name="Pick").tap()
    page.get_by_role("button", name=run.cultivar).first.tap()
    page.get_by_role("button", name="press", exact=True).tap()
    page.get_by_role("button", name="+5", exact=True).tap()
    page.get_by_role("button", name="+0.5", exact=True).tap()
    page.get_by_role("button", name="Keep").tap()
    expect(page.locator("#undo")).to_contain_text("6.5 crates, press")
    bar(page, "All notes sent")
    job, pick = kept(rows.folder)
    assert isinstance(job, WorkDone)
    assert (job.job, job.where) == ("thin-2031", row)
    assert isinstance(pick, FruitPicked)
    assert pick.mass == pytest.approx(6.5 * CRATE)
    assert (str(pick.grade), pick.cultivar, pick.crates) == ("press", run.cultivar, None)


def test_without_phones_the_page_says_how(browser: Browser) -> None:
    assert "--phone" in browser.get("/phones").text
    assert browser.fill("/phones/code", {"way": "crew"}).status_code == 409
