"""The port that is listened on, the machine's address, and how phones find it."""

import errno
import io
import os
import socket
import sys

from coaching.environment import BadEnvironmentError

_PORTS_TO_TRY = 20
_WAITING_CONNECTIONS = 1024
# An address set aside for documentation. Connecting a datagram socket to it sends nothing;
# the system only chooses the interface it would use.
_SOMEWHERE_ELSE = ("192.0.2.1", 9)


def open_port(address: str, port: int) -> socket.socket:
    """Return a socket that already listens, so that nobody can take the port in between.

    Raises:
        BadEnvironmentError: the port is taken or not allowed; names one that is free.
    """
    try:
        return _listen(address, port)
    except OSError as error:
        if error.errno not in {errno.EADDRINUSE, errno.EACCES}:
            message = f"Port {port} cannot be opened ({error.strerror}); try another with --port."
            raise BadEnvironmentError(message) from error
        why = "taken by another program"
        if error.errno == errno.EACCES:
            why = "not open to ordinary users"
        message = f"Port {port} is {why}; start with --port {_free_port(address, port)} instead."
        raise BadEnvironmentError(message) from error


def _listen(address: str, port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if os.name == "posix":  # elsewhere this option would let two programs share a port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((address, port))
        listener.listen(_WAITING_CONNECTIONS)
    except OSError:
        listener.close()
        raise
    return listener


def _free_port(address: str, taken: int) -> int:
    first = taken + 1 if taken >= 1024 else 8000
    for port in range(first, min(first + _PORTS_TO_TRY, 65536)):
        try:
            _listen(address, port).close()
        except OSError:
            continue
        return port
    with _listen(address, 0) as listener:
        return int(listener.getsockname()[1])


def lan_address() -> str:
    """Return this machine's address on its network.

    Raises:
        BadEnvironmentError: the machine is on no network.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_SOMEWHERE_ELSE)
            address = str(probe.getsockname()[0])
        except OSError:
            address = "127.0.0.1"
    if address.startswith("127.") or address == "0.0.0.0":  # noqa: S104 - compared, not bound
        message = (
            "This machine is on no network, so no phone could reach it; "
            "join one and start again, or start without --lan."
        )
        raise BadEnvironmentError(message)
    return address


def lan_hosts(address: str) -> list[str]:
    """Return the names under which phones may ask for this machine."""
    name = socket.gethostname().lower()
    full = name if "." in name else f"{name}.local"
    return list(dict.fromkeys([address, name, full]))


def qr_code(url: str) -> str:
    """Return a QR code of an address, drawn in characters for a terminal."""
    import segno

    drawn = io.StringIO()
    segno.make(url, error="l").terminal(out=drawn, compact=True)
    text = drawn.getvalue()
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return "(This terminal cannot show a QR code.)\n"
    return text
