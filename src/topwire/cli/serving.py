"""topwire serve: the pages of one orchard, for a browser on this machine or, behind a passphrase, near it."""

import socket
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from topwire.web.phone.served import PhoneServers

HERE = "127.0.0.1"
PORT = 8730
PHONE_PORT = 8760
OWN_PORT = 8761  # and the next for the certificate
TRIED = 20  # ports above the usual one, where it is taken


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), default=".")
@click.option("--port", type=click.IntRange(1024, 65535), help=f"Port; else the first free from {PORT} on.")
@click.option(
    "--address",
    default=HERE,
    show_default=True,
    help="Of this machine, to be reached by; any but the usual asks a passphrase.",
)
@click.option("--new-passphrase", is_flag=True, help="Ask for a new passphrase instead of the kept one.")
@click.option(
    "--phone",
    is_flag=False,
    flag_value="",
    metavar="[ADDRESS]",
    help="Let phones in for a day, on this private address of this machine.",
)
@click.option("--phone-port", type=click.IntRange(1024, 65535), default=PHONE_PORT, show_default=True)
@click.option(
    "--own-phone",
    is_flag=False,
    flag_value="",
    metavar="[ADDRESS]",
    help="Let your own phone in over https, on this private address of this machine; it then works without Wi-Fi.",
)
@click.option("--own-phone-port", type=click.IntRange(1024, 65534), default=OWN_PORT, show_default=True)
@click.option("--name", default="", help="This machine's name on its network, “farm.local”, if not its own.")
@click.option(
    "--new-authority", is_flag=True, help="Forget the certificate on your phone; it installs another."
)
@click.option("--until", type=click.DateTime(["%H:%M"]), help="When phones are out again; else 21:00.")
@click.option("--browser/--no-browser", default=False, help="Open the page in the browser.")
def serve(
    folder: Path,
    port: int | None,
    address: str,
    new_passphrase: bool,
    phone: str | None,
    phone_port: int,
    own_phone: str | None,
    own_phone_port: int,
    name: str,
    new_authority: bool,
    until: datetime | None,
    browser: bool,
) -> None:
    """Show the orchard in FOLDER as pages in the browser, to look at, change and try; an empty FOLDER begins a plan.

    The pages are on this machine alone. With --address they are on your network too: plain http, so only on one you
    trust, and behind a passphrase. With --phone a crew's phones carry the rows for a day and send notes, no more: each
    reads a code at the page Phones and is let in there. With --own-phone your own phone does so over https: it takes a
    certificate once, and then starts in the rows with no Wi-Fi too.
    """
    import uvicorn

    from topwire.web.app import make_app
    from topwire.web.phone.served import configured

    folder.mkdir(parents=True, exist_ok=True)
    local = address in (HERE, "localhost", "::1")
    kept = "" if local else _passphrase(folder, new=new_passphrase)
    found = _bound(address, port)
    number = found.getsockname()[1]
    everywhere = address == "0.0.0.0"  # inside a container, whose port is published on its machine alone
    names = (HERE, "localhost", "[::1]") if local or everywhere else (address,)
    address = HERE if everywhere else address
    beside = [] if phone is None else [_phones(folder, phone, phone_port, until)]
    if own_phone is not None:
        beside.append(_own_phones(folder, own_phone, own_phone_port, name, anew=new_authority))
    app = make_app(
        folder,
        [f"{name}:{number}" for name in names],
        passphrase_hash=kept,
        phones=[one.door for one in beside],
    )
    shown = f"http://{f'[{address}]' if ':' in address else address}:{number}/"
    click.echo(f"The orchard in {folder} is at {shown}  (Ctrl+C ends it)")
    if not local:
        click.echo(
            "Whoever shares this network can see what is sent, the passphrase too: no guests' network."
        )
    for one in beside:
        click.echo(f"Phones on your own Wi-Fi are let in at {shown}phones, and reach {one.door.address}")
        if one.door.paper is None:
            click.echo("No guests' network: plain http.")
        else:
            click.echo(f"Your own phone first takes a certificate: {one.door.paper_at}")
    if beside:
        click.echo("A firewall of this machine has to let Python through.")
    if browser:
        click.launch(shown)
    with ExitStack() as running:
        for one in beside:
            running.enter_context(one)
        uvicorn.Server(configured(app)).run(sockets=[found])


def _phones(folder: Path, address: str, port: int, until: datetime | None) -> "PhoneServers":
    """The phones' server. Its port is not sought: a phone keeps unsent notes by address and port."""
    from topwire.web.phone.served import crew_of_a_day

    return crew_of_a_day(folder, _bound(_private(address, "--phone"), port), until.time() if until else None)


def _own_phones(folder: Path, address: str, port: int, name: str, *, anew: bool) -> "PhoneServers":
    from topwire.web.phone.authority import NoAuthority, authority_folder, local_name, papers
    from topwire.web.phone.served import own_phone

    chosen, name = _private(address, "--own-phone"), name or local_name()
    try:
        paper = papers(authority_folder(), chosen, name, anew=anew)
    except NoAuthority as wrong:
        raise click.UsageError(f"{wrong}.") from None
    return own_phone(folder, _bound(chosen, port), _bound(chosen, port + 1), paper, name)


def _private(address: str, option: str) -> str:
    from topwire.web.phone.address import fit_address

    try:
        return fit_address(address, option)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None


def _bound(address: str, port: int | None) -> socket.socket:
    """A socket at the first free port. A port that is taken is a sentence, not a traceback."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    for number in [port] if port else range(PORT, PORT + TRIED):
        found = socket.socket(family, socket.SOCK_STREAM)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((address, number))
            return found
        except OSError as error:
            found.close()
            said = error.strerror or str(error)
    where = f"{address}, port {port}" if port else f"{address}, ports {PORT} to {PORT + TRIED - 1}"
    raise click.ClickException(f"{where} cannot be used: {said}. Name another with --port or --address.")


def _passphrase(folder: Path, *, new: bool) -> str:
    """The kept hash, or that of a passphrase asked for now."""
    from topwire.engine.store import FOLDER
    from topwire.files.safely import write_safely
    from topwire.web.session import hashed, read_hash

    path = folder / FOLDER / "passphrase"
    found = "" if new else read_hash(path)
    while not found:
        try:
            found = hashed(click.prompt("Passphrase", hide_input=True, confirmation_prompt=True))
        except ValueError as short:
            click.echo(f"{short}.", err=True)
            continue
        path.parent.mkdir(exist_ok=True)
        write_safely(path, found.encode())
        path.chmod(0o600)
    return found
