"""Where the web process can be reached: on this computer only, or on the local network too."""

from __future__ import annotations

import socket
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.errors import RequestError
from tracker.serve.certificates import Certificates

if TYPE_CHECKING:
    from tracker.serve.login import Login

LOCAL_ADDRESS, EVERY_ADDRESS = "127.0.0.1", "0.0.0.0"
FIRST_PORT, PORTS_TRIED = 8460, 20


@dataclass(frozen=True, kw_only=True, slots=True)
class Outlet:
    """One listening socket: its port, the names others reach this computer by (none: this computer only), and TLS."""

    port: int
    lan_names: tuple[str, ...] = ()
    certificates: Certificates | None = None
    certificate_page: str | None = None
    login: Login | None = None

    @property
    def listens_on(self) -> str:
        """The address to bind."""
        return EVERY_ADDRESS if self.lan_names else LOCAL_ADDRESS

    @property
    def hosts(self) -> list[str]:
        """Every Host a request may name."""
        return [LOCAL_ADDRESS, "localhost", *self.lan_names, *([self.login.host] if self.login else [])]

    @property
    def here(self) -> str:
        """The address for a browser on this computer."""
        return f"{self._scheme}://{'localhost' if self.certificates else LOCAL_ADDRESS}:{self.port}"

    @property
    def elsewhere(self) -> str | None:
        """The address for a phone on the same network, or None; with a login, the address it names."""
        if self.login:
            return self.login.origin
        return f"{self._scheme}://{self.lan_names[0]}:{self.port}" if self.lan_names else None

    @property
    def _scheme(self) -> str:
        return "https" if self.certificates else "http"


def lan_names() -> tuple[str, ...]:
    """The address of this computer on its network, then its names. Raises RequestError when there is no network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # Nothing is sent: connecting a datagram socket only asks which way out would be taken (RFC 5737 address).
            probe.connect(("192.0.2.1", 9))
            address = str(probe.getsockname()[0])
        except OSError as error:
            raise RequestError("This computer is not on any network, so no phone can reach it.") from error
    name = socket.gethostname()
    return (address, name, f"{name.partition('.')[0]}.local")


def free_port(wanted: int | None, *, address: str = LOCAL_ADDRESS) -> int:
    """The wanted port if it is free, or without one the first free of twenty. Raises RequestError."""
    for port in [wanted] if wanted is not None else range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((address, port))
            except OSError:
                continue
            return int(trial.getsockname()[1])
    raise RequestError(
        f"Port {wanted} is taken by another program. Leave --port out, or name another."
        if wanted is not None
        else f"The ports {FIRST_PORT} to {FIRST_PORT + PORTS_TRIED - 1} are all taken. Name another with --port."
    )
