"""The addresses of this machine a phone near it could reach, and whether one is fit to be served on."""

import socket
from ipaddress import ip_address

# Asking the system for its way to these sends nothing; it tells this machine's own address on that way.
_PRIVATE_WAYS = ("192.168.255.254", "10.255.255.254", "172.31.255.254")


def private_addresses() -> tuple[str, ...]:
    """Private addresses of this machine, the likeliest first."""
    found: dict[str, None] = {}
    for way in _PRIVATE_WAYS:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
            try:
                asking.connect((way, 9))
                found[asking.getsockname()[0]] = None
            except OSError:
                continue
    try:
        for *_, where in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
            found[str(where[0])] = None
    except OSError:
        pass
    return tuple(one for one in found if not ip_address(one).is_loopback and not unfit(one))


def unfit(address: str) -> str:
    """Why phones are not served on this address; empty where they may be."""
    try:
        said = ip_address(address)
    except ValueError:
        return f"“{address[:60]}” is no address of a machine. Write it as 192.168.1.20."
    if said.version != 4:
        return "Name an address of four numbers, as 192.168.1.20."
    if said.is_unspecified or not said.is_private or said.is_link_local or said.is_multicast:
        return f"{address} is no private address: phones are served on your own network only."
    return ""


def fit_address(named: str, option: str = "--phone") -> str:
    """The named address, or the only private one of this machine. Raises ValueError with what would be right."""
    if not named:
        known = private_addresses()
        if len(known) == 1:
            return known[0]
        said = f"This machine has {', '.join(known)}." if known else "This machine is in no private network."
        raise ValueError(f"{said} Name the address phones shall reach: {option} 192.168.1.20")
    wrong = unfit(named)
    if wrong:
        raise ValueError(wrong)
    return named
