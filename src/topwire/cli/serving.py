"""topwire serve: the pages of one orchard, for a browser on this machine or, behind a passphrase, near it."""

import socket
from contextlib import nullcontext
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from topwire.web.phone.served import PhonesServed

HERE = "127.0.0.1"
PORT = 8730
PHONE_PORT = 8760
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
@click.option("--until", type=click.DateTime(["%H:%M"]), help="When phones are out again; else 21:00.")
@click.option("--browser/--no-browser", default=False, help="Open the page in the browser.")
def serve(
    folder: Path,
    port: int | None,
    address: str,
    new_passphrase: bool,
    phone: str | None,
    phone_port: int,
    until: datetime | None,
    browser: bool,
) -> None:
    """Show the orchard in FOLDER as pages in the browser, to look at, change and try; an empty FOLDER begins a plan.

    The pages are on this machine alone. With --address they are on your network too: plain http, so only on one you
    trust, and behind a passphrase. With --phone a crew's phones carry the rows for a day and send notes, no more: each
    reads a code at the page Phones and is let in there.
    """
    import uvicorn

    from topwire.web.app import make_app
    from topwire.web.phone.served import configured

    folder.mkdir(parents=True, exist_ok=True)
    local = address in (HERE, "localhost", "::1")
    kept = "" if local else _passphrase(folder, new=new_passphrase)
    found = _bound(address, port)
    number = found.getsockname()[1]
    names = (HERE, "localhost", "[::1]") if local else (address,)
    door = None if phone is None else _phones(folder, phone, phone_port, until)
    app = make_app(
        folder,
        [f"{name}:{number}" for name in names],
        passphrase_hash=kept,
        phones=door.door if door else None,
    )
    shown = f"http://{f'[{address}]' if ':' in address else address}:{number}/"
    click.echo(f"The orchard in {folder} is at {shown}  (Ctrl+C ends it)")
    if not local:
        click.echo(
            "Whoever shares this network can see what is sent, the passphrase too: no guests' network."
        )
    if door is not None:
        click.echo(f"Phones on your own Wi-Fi are let in at {shown}phones, and reach {door.door.address}")
        click.echo("No guests' network: plain http. A firewall of this machine has to let Python through.")
    if browser:
        click.launch(shown)
    with door or nullcontext():
        uvicorn.Server(configured(app)).run(sockets=[found])


def _phones(folder: Path, address: str, port: int, until: datetime | None) -> "PhonesServed":
    """The phones' server. Its port is not sought: a phone keeps unsent notes by address and port."""
    from topwire.web.phone.address import fit_address
    from topwire.web.phone.served import PhonesServed

    try:
        chosen = fit_address(address)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    return PhonesServed(folder, _bound(chosen, port), until.time() if until is not None else None)


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
