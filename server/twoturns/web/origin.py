"""
Where a request comes from: an address that tells one stranger from another.

It is the address of the line, unless that is a proxy that the workshop names (`--proxy`). Then it
is what the proxy says: the right-most address of `X-Forwarded-For`, or of `Forwarded` (RFC 7239,
section 5.2), that is not a named proxy's. What stands left of it, the asker itself may have
written. A proxy writes one of the two headers and may pass the other on as the asker made it; so
where both are there and differ, neither is believed.
"""

import ipaddress
import re
from collections.abc import Iterable

from flask import current_app, request

Network = ipaddress.IPv4Network | ipaddress.IPv6Network

# Of a `forwarded-element` the node alone: `for="[2001:db8::1]:4711"`.
_FOR = re.compile(r'(?:^|;)\s*for\s*=\s*("(?:[^"\\]|\\.)*"|[^;]*)', re.IGNORECASE)
_PORT = re.compile(r"\A\[(.*)\](?::\d+)?\Z|\A([^:]*):\d+\Z")


def origin() -> str:
    """Return the neighbourhood that this request comes from."""
    proxies: tuple[Network, ...] = current_app.config["PROXIES"]
    line = request.remote_addr or ""
    said = {
        header: address
        for header, nodes in (
            ("X-Forwarded-For", _listed(request.headers.getlist("X-Forwarded-For"))),
            ("Forwarded", _nodes(request.headers.getlist("Forwarded"))),
        )
        if nodes and (address := client_of(line, nodes, proxies)) is not None
    }
    told = set(said.values())
    return neighbourhood(told.pop() if len(told) == 1 else line)


def client_of(line: str, nodes: list[str], proxies: Iterable[Network]) -> str | None:
    """
    Return who asked, of the nodes that proxies wrote from left to right; None if nobody may say.

    >>> near = [ipaddress.ip_network("10.0.0.0/8")]
    >>> client_of("10.0.0.1", ["203.0.113.9", "198.51.100.7", "10.0.0.2"], near)
    '198.51.100.7'
    >>> client_of("192.0.2.1", ["203.0.113.9"], near) is None
    True
    """
    trusted = list(proxies)
    if not _is_one_of(line, trusted):
        return None
    for node in reversed(nodes):
        if not _is_address(node):
            return None  # "unknown" or "_hidden": the proxy will not say
        if not _is_one_of(node, trusted):
            return node
    return None


def neighbourhood(address: str) -> str:
    """
    Return what of an address tells one stranger from another. Of IPv6 the first 64 bits: the rest
    is the host's own to choose (RFC 4291, section 2.5.1), and no site gets less (RFC 6177).

    >>> neighbourhood("2001:db8:1:2:aaaa::1"), neighbourhood("::ffff:192.0.2.7")
    ('2001:db8:1:2::/64', '192.0.2.7')
    """
    try:
        ip = ipaddress.ip_address(address)
    except ValueError:
        return address
    if ip.version == 4:
        return address
    return str(ip.ipv4_mapped or ipaddress.ip_network((int(ip), 64), strict=False))


def _listed(headers: list[str]) -> list[str]:
    return [_bare(one.strip()) for one in ",".join(headers).split(",") if one.strip()]


def _nodes(headers: list[str]) -> list[str]:
    """Return the nodes of `for=` in RFC 7239's header; an element without one will not say."""
    elements = re.findall(r'(?:[^,"]|"(?:[^"\\]|\\.)*")+', ",".join(headers))
    found = (_FOR.search(one) for one in elements)
    return [_bare(one[1].strip().strip('"')) if one else "unknown" for one in found]


def _bare(node: str) -> str:
    """Return a node without its port and brackets."""
    match = _PORT.match(node)
    return next(part for part in match.groups() if part is not None) if match else node


def _is_address(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True


def _is_one_of(address: str, networks: list[Network]) -> bool:
    try:
        ip = ipaddress.ip_address(address)
    except ValueError:
        return False
    ip = (ip.ipv4_mapped if ip.version == 6 else None) or ip
    return any(ip in network for network in networks)
